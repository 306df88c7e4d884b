package control

import "time"

// Reading is what a probe's driver says, before it is judged.
type Reading struct {
	Value float64       // in the unit of the place; ignored when Fault is set
	Age   time.Duration // how long ago it was taken
	Fault string        // the driver's words when it has no value, else empty
}

// Quality says how far a reading can be trusted.
type Quality uint8

// The qualities of a reading. The zero value is the one that is never used
// to switch anything.
const (
	Missing Quality = iota // there is no value, or it is too old
	Suspect                // there is a value that can't be believed
	Good
)

var qualityWords = [...]string{"missing", "suspect", "good"}

// String is the quality in one word.
func (q Quality) String() string {
	if int(q) < len(qualityWords) {
		return qualityWords[q]
	}
	return "unknown"
}

// Judged is a reading after it was judged.
type Judged struct {
	Value    float64       // in the unit of the place; for show only unless Quality is Good
	Age      time.Duration // of the value
	Quality  Quality
	HeldOver bool   // the newest sample was bad, and the last good value stands in
	Why      Reason // why it is not good; none when it is
	Fault    string // the driver's own words, when it had any
}

// OK tells whether a rule may use the value. It takes a pointer because it is
// asked some thirty times a step, and a value would be copied each time.
func (j *Judged) OK() bool { return j.Quality == Good }

// Wall is the wall clock as the board knows it.
type Wall struct {
	Time    time.Time
	Trusted bool // false while the clock is not set: schedules then idle
}
