package household

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"sunstoker/sim/noise"
)

// Visit is guests over a span of days.
type Visit struct {
	Span
	Persons float64
}

// People are persons whose days differ, by a seed.
type People struct {
	// Persons live there, 0.5 to 50.
	Persons float64
	// LitresAt60 is the hot water a person uses on a mean day, in litres at
	// 60 degC over cold water of 10 degC, 5 to 200. Planning figures: 40 simple,
	// 45 medium, 55 high (SIA 385/2, 2015, read second hand).
	LitresAt60 float64
	// WinterMore is the share by which they use more at the turn of the year than
	// on a mean day, and less half a year later, 0 to 0.5; in the south it is the
	// other way round.
	WinterMore float64
	Southern   bool
	Seed       uint64
	Holidays   []Span  // days on which nobody is at home
	Guests     []Visit // days with more persons
}

// Validate returns an error that names what is out of range.
func (p People) Validate() error {
	switch {
	case !(p.Persons >= 0.5 && p.Persons <= 50):
		return fmt.Errorf("household: %g persons; give 0.5 to 50", p.Persons)
	case !(p.LitresAt60 >= 5 && p.LitresAt60 <= 200):
		return fmt.Errorf("household: %g litres a day and person at 60 degC; give 5 to 200", p.LitresAt60)
	}
	if !(p.WinterMore >= 0 && p.WinterMore <= 0.5) {
		return fmt.Errorf("household: a share of %g more hot water in winter; give 0 to 0.5", p.WinterMore)
	}
	for _, h := range p.Holidays {
		if h.backwards() {
			return fmt.Errorf("household: a holiday ends on %v before it begins on %v", h.Last, h.First)
		}
	}
	for _, g := range p.Guests {
		if g.backwards() || !(g.Persons > 0 && g.Persons <= 100) {
			return fmt.Errorf("household: guests from %v to %v, %g persons; give days in order and up to 100 persons", g.First, g.Last, g.Persons)
		}
	}
	return nil
}

// use is a kind of draw with its part of a person's daily heat.
type use struct {
	share                 float64
	leastLitres, mostLtrs float64 // mixed water of one draw
	flowLMin, tapC        float64
	hours                 [24]float64 // how likely each hour of a working day is
}

// Invented kinds of use; the shares add up to 1.
var uses = [...]use{
	{share: 0.20, leastLitres: 1, mostLtrs: 4, flowLMin: 4, tapC: 38, // hands and basin
		hours: [24]float64{6: 3, 7: 4, 8: 2, 9: 1, 10: 1, 11: 1, 12: 3, 13: 2, 14: 1, 15: 1, 16: 1, 17: 2, 18: 3, 19: 3, 20: 2, 21: 3, 22: 2, 23: 0.5}},
	{share: 0.15, leastLitres: 5, mostLtrs: 15, flowLMin: 5, tapC: 50, // dishes
		hours: [24]float64{7: 1, 8: 2, 12: 1, 13: 3, 18: 1, 19: 4, 20: 3, 21: 1}},
	{share: 0.53, leastLitres: 30, mostLtrs: 60, flowLMin: 8, tapC: 40, // shower
		hours: [24]float64{5: 1, 6: 5, 7: 6, 8: 2, 17: 1, 18: 2, 19: 2, 20: 2, 21: 3, 22: 2}},
	{share: 0.12, leastLitres: 100, mostLtrs: 150, flowLMin: 12, tapC: 40, // bath
		hours: [24]float64{18: 1, 19: 2, 20: 3, 21: 2}},
}

// usefulBelowTapK is how much colder than wanted water still serves people.
const usefulBelowTapK = 2

// weekendLater is how much later the hours come on Saturday and Sunday.
const weekendLater = 90 * time.Minute

// Day implements Source.
func (p People) Day(date Date, into []Draw) []Draw {
	persons := p.personsOn(date)
	if persons == 0 {
		return into
	}
	random := noise.NewStream(noise.DeriveN(p.Seed, date.number()))
	free := date.weekday() == time.Saturday || date.weekday() == time.Sunday
	heatJ := persons * p.season(date) * p.LitresAt60 * waterJPerLK * (60 - planningColdC)
	first := len(into)
	for i := range uses {
		u := &uses[i]
		meanJ := (u.leastLitres + u.mostLtrs) / 2 * waterJPerLK * (u.tapC - planningColdC)
		for range poisson(&random, u.share*heatJ/meanJ) {
			into = append(into, u.draw(&random, free))
		}
	}
	slices.SortFunc(into[first:], func(a, b Draw) int { return cmp.Compare(a.At, b.At) })
	return into
}

// UsualWinterMore is how much more hot water is used in midwinter: 10 %.
//
// Source: monthly volume factors of the United Kingdom's SAP 2009 and 2012,
// Table 1c (read second hand), 1.10 in January and 0.90 in July.
const UsualWinterMore = 0.1

// season is the use of a date by that of a mean day.
func (p People) season(date Date) float64 {
	yearDay := float64(date.number()-Date{date.Year, 1, 1}.number()) + 1
	wave := p.WinterMore * math.Cos(2*math.Pi*yearDay/365.25)
	if p.Southern {
		wave = -wave
	}
	return 1 + wave
}

func (p People) personsOn(date Date) float64 {
	for _, h := range p.Holidays {
		if h.Holds(date) {
			return 0
		}
	}
	persons := p.Persons
	for _, g := range p.Guests {
		if g.Holds(date) {
			persons += g.Persons
		}
	}
	return persons
}

func (u *use) draw(random *noise.Stream, free bool) Draw {
	litres := random.Between(u.leastLitres, u.mostLtrs)
	at := u.hour(random)
	if free {
		at += weekendLater
	}
	return Draw{
		At:       min(at, 24*time.Hour-time.Second),
		For:      time.Duration(litres / u.flowLMin * float64(time.Minute)),
		FlowLMin: u.flowLMin,
		TapC:     u.tapC,
		UsefulC:  u.tapC - usefulBelowTapK,
	}
}

// hour picks a time of a working day by the weights of the hours.
func (u *use) hour(random *noise.Stream) time.Duration {
	sum := 0.0
	for _, w := range u.hours {
		sum += w
	}
	left := random.Float64() * sum
	for hour, w := range u.hours {
		if left < w {
			return time.Duration((float64(hour) + left/w) * float64(time.Hour))
		}
		left -= w
	}
	return 12 * time.Hour
}

// poisson draws a count with the given mean by multiplying even numbers; large
// means are taken in parts, so the product does not underflow.
func poisson(random *noise.Stream, mean float64) int {
	count := 0
	for mean > 0 {
		part := math.Min(mean, 20)
		mean -= part
		limit := math.Exp(-part)
		for product := random.Float64(); product > limit; product *= random.Float64() {
			count++
		}
	}
	return count
}
