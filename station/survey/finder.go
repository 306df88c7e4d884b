package survey

import "math"

// How a probe in the hand is told from the others (common practice, no source): a
// hand has some 33 °C, noise of a probe is some hundredths of a kelvin, and what
// the sun or a pipe does meanwhile to others stays behind a hand.
const (
	warmedK   = 2.0 // that it must have risen
	aheadK    = 1.5 // and more than any other
	HandWarmC = 28  // °C; a probe above this hardly warms in a hand
	warmTwice = 2   // looks in a row that must say so: no single wild sample decides
)

// Finder looks for the one probe that warms in a hand, look by look. The zero value is
// ready.
type Finder struct {
	lows  map[string]float64 // °C, the lowest since the search began
	ahead string             // who was ahead at the last look
	times int                // for how many looks
}

// Verdict is what a look came to.
type Verdict uint8

// The verdicts.
const (
	Nobody  Verdict = iota // yet
	Several                // more than one warms
	Found
)

// Look takes the newest values in °C by name and tells who warms; a probe without
// a value takes no part.
func (f *Finder) Look(values map[string]float64) (name string, v Verdict) {
	if f.lows == nil {
		f.lows = map[string]float64{}
	}
	first, second := math.Inf(-1), math.Inf(-1)
	for who, value := range values {
		low, known := f.lows[who]
		if !known || value < low {
			low = value
			f.lows[who] = low
		}
		switch rise := value - low; {
		case rise > first:
			name, first, second = who, rise, first
		case rise > second:
			second = rise
		}
	}
	switch {
	case first < warmedK:
		f.times = 0
		return "", Nobody
	case first-second < aheadK && second >= warmedK:
		f.times = 0
		return "", Several
	case first-second < aheadK:
		return "", Nobody
	}
	if name != f.ahead {
		f.ahead, f.times = name, 0
	}
	if f.times++; f.times < warmTwice {
		return "", Nobody
	}
	return name, Found
}
