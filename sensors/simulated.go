package sensors

import (
	"errors"
	"math"
	"sync"
	"time"
)

type simulated struct {
	turn sync.Mutex
	now  func() time.Duration
	read func() (float64, error)
}

// NewSimulated makes a probe out of a function, for a plant that exists in
// memory only. Each Latest calls read once, one caller at a time, so read must
// return at once; now gives the instant. An error of read becomes the sample's
// fault, as it is when it already is a *Fault and else of kind ReadFailed; a
// value that is no finite number becomes a fault of kind Malformed.
func NewSimulated(now func() time.Duration, read func() (float64, error)) Probe {
	return &simulated{now: now, read: read}
}

// Latest implements [Probe].
func (s *simulated) Latest() Sample {
	s.turn.Lock()
	defer s.turn.Unlock()
	taken := s.now()
	value, err := s.read()
	if err != nil {
		return Sample{Value: math.NaN(), Taken: taken, Fault: asFault(err, taken)}
	}
	if math.IsNaN(value) || math.IsInf(value, 0) {
		fault := faultf(Malformed, "the simulated plant gave %v", value)
		fault.Since = taken
		return Sample{Value: math.NaN(), Taken: taken, Fault: fault}
	}
	return Sample{Value: value, Taken: taken}
}

func asFault(err error, at time.Duration) *Fault {
	var fault *Fault
	if errors.As(err, &fault) {
		return fault
	}
	return &Fault{Kind: ReadFailed, Since: at, Cause: err}
}
