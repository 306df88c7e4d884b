package sensors

import (
	"math"
	"sync/atomic"
)

// latest is the hand-over from the reader of a bus to whoever asks.
type latest struct {
	sample atomic.Pointer[Sample]
}

var neverRead = Sample{
	Value: math.NaN(),
	Never: true,
	Fault: &Fault{Kind: NotYetRead},
}

func newLatest() *latest {
	l := &latest{}
	l.sample.Store(&neverRead)
	return l
}

// Latest implements [Probe].
func (l *latest) Latest() Sample { return *l.sample.Load() }

func (l *latest) publish(sample Sample) { l.sample.Store(&sample) }
