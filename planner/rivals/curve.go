package rivals

import (
	"math"
	"slices"
)

// Point is one run of a rival's sweep.
type Point struct {
	Setting float64 // what was swept
	Outcome
}

// Curve is the sweep of one rival in one case.
type Curve []Point

// frontier are the points that no other beats in both comfort and electricity,
// the most comfortable first.
func (c Curve) frontier() Curve {
	f := slices.Clone(c)
	slices.SortStableFunc(f, func(a, b Point) int {
		switch {
		case a.Missed != b.Missed:
			if a.Missed < b.Missed {
				return -1
			}
			return 1
		case a.HeaterKWh < b.HeaterKWh:
			return -1
		case a.HeaterKWh > b.HeaterKWh:
			return 1
		}
		return 0
	})
	least := math.Inf(1)
	return slices.DeleteFunc(f, func(p Point) bool {
		beaten := p.HeaterKWh >= least
		least = min(least, p.HeaterKWh)
		return beaten
	})
}

// At is the electricity in kWh at a share of heat missed, by straight lines
// between the points of the frontier; NaN where no point is that comfortable. A
// curve whose cheapest point is more comfortable still costs what that costs.
func (c Curve) At(missed float64) float64 {
	f := c.frontier()
	i := slices.IndexFunc(f, func(p Point) bool { return p.Missed > missed })
	switch {
	case len(f) == 0 || i == 0:
		return math.NaN()
	case i < 0:
		return f[len(f)-1].HeaterKWh
	}
	a, b := f[i-1], f[i]
	return a.HeaterKWh + (missed-a.Missed)/(b.Missed-a.Missed)*(b.HeaterKWh-a.HeaterKWh)
}

// bracket gives the settings next to a share of heat missed: the cheapest point
// that is that comfortable, and the next one that is not. ok is false when one
// of them is missing.
func (c Curve) bracket(missed float64) (good, bad Point, ok bool) {
	f := c.frontier()
	i := slices.IndexFunc(f, func(p Point) bool { return p.Missed > missed })
	if i <= 0 {
		return good, bad, false
	}
	return f[i-1], f[i], true
}
