package household

import (
	"time"
)

// Draw is one opening of a tap on some day.
type Draw struct {
	// At is the wall time of day, 0 to below 24 h.
	At time.Duration
	// For is how long the tap runs.
	For time.Duration
	// FlowLMin is the mixed water at the tap in litres a minute.
	FlowLMin float64
	// TapC is the temperature wanted at the tap in degC.
	TapC float64
	// UsefulC is the temperature in degC from which the water is of use.
	UsefulC float64
}

// Litres is the mixed water of the whole draw.
func (d Draw) Litres() float64 { return d.FlowLMin * d.For.Minutes() }

// HeatJ is the heat in J of the whole draw above cold water.
func (d Draw) HeatJ(coldC float64) float64 { return d.Litres() * waterJPerLK * (d.TapC - coldC) }

// waterJPerLK is the heat capacity of a litre of drinking water, the figure
// behind the litres of the tapping profiles.
const waterJPerLK = 4180

// planningColdC is the cold inlet that planning figures and tapping profiles
// refer to (for the profiles from memory).
const planningColdC = 10

// Source gives the draws of a day.
type Source interface {
	// Day appends the draws of the calendar date to into, sorted by time, and
	// returns it. The same date gives the same draws.
	Day(date Date, into []Draw) []Draw
}

// Nobody is a Source without a draw: what is drawn is opened by hand.
type Nobody struct{}

// Day implements Source.
func (Nobody) Day(_ Date, into []Draw) []Draw { return into }

// Date is a calendar date.
type Date struct {
	Year  int
	Month time.Month
	Day   int
}

// DateOf is the date of an instant in its own zone.
func DateOf(t time.Time) Date {
	year, month, day := t.Date()
	return Date{year, month, day}
}

// number counts days from 1 January 1970.
func (d Date) number() int64 {
	return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC).Unix() / 86400
}

func (d Date) weekday() time.Weekday {
	return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC).Weekday()
}

// next is the day after.
func (d Date) next() Date {
	return DateOf(time.Date(d.Year, d.Month, d.Day+1, 0, 0, 0, 0, time.UTC))
}

// at is the instant of a wall time of day in a zone.
func (d Date) at(timeOfDay time.Duration, zone *time.Location) time.Time {
	return time.Date(d.Year, d.Month, d.Day, 0, 0, int(timeOfDay/time.Second), int(timeOfDay%time.Second), zone)
}

// Span is a run of days, both ends included. With the year 0 at both ends it
// comes every year, and may run over the turn of the year.
type Span struct{ First, Last Date }

// yearly tells of a span that comes every year.
func (s Span) yearly() bool { return s.First.Year == 0 && s.Last.Year == 0 }

// backwards tells of a span that ends before it begins.
func (s Span) backwards() bool { return !s.yearly() && s.Last.number() < s.First.number() }

// inYear counts up through a year, with gaps.
func (d Date) inYear() int { return int(d.Month)*100 + d.Day }

// Holds tells whether a date lies in the span.
func (s Span) Holds(d Date) bool {
	if s.yearly() {
		n, first, last := d.inYear(), s.First.inYear(), s.Last.inYear()
		if first > last {
			return n >= first || n <= last
		}
		return n >= first && n <= last
	}
	n := d.number()
	return n >= s.First.number() && n <= s.Last.number()
}
