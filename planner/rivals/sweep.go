package rivals

import (
	"cmp"
	"math"
	"slices"

	"sunstoker/control"
)

// Targets are the shares of heat missed at which rivals are compared.
var Targets = []float64{0.001, 0.005}

// sweep is a rival with one setting left open; a higher one is more comfortable.
type sweep struct {
	with           func(setting float64) func(*control.Settings)
	first          []float64 // settings tried first, ascending
	lowest, widest float64   // where the sweep may go beyond them, and in what strides
	highest        float64
	closest        float64 // settings nearer than this are not told apart
}

// Set temperatures in degC: what is tried first, the range, and where a search
// begins. The houses' tank limit stands above all of them.
const (
	coolestSetC = 38
	hottestSetC = 74
	usualSetC   = 57
)

var coarseSetC = []float64{46, CommonSetC, 63, 71}

// temperatures is a sweep of set temperatures.
func temperatures(with func(setC float64) func(*control.Settings)) *sweep {
	return &sweep{with: with, first: coarseSetC, lowest: coolestSetC, highest: hottestSetC, widest: 4, closest: 0.5}
}

// atWindows is the sweep of fixed windows.
func atWindows(w control.Windows) *sweep {
	return temperatures(func(setC float64) func(*control.Settings) { return windows(w, setC) })
}

// next are the settings to try next: beyond the ends of a curve that does not
// reach a target, and in the middle of its crossings.
func (s *sweep) next(c Curve) []float64 {
	var wanted []float64
	for _, missed := range Targets {
		x, ok := s.beyond(c, missed)
		if !ok {
			x, ok = s.between(c, missed)
		}
		if ok && !slices.ContainsFunc(wanted, func(w float64) bool { return math.Abs(w-x) < s.closest/2 }) {
			wanted = append(wanted, x)
		}
	}
	return wanted
}

// beyond is the next setting where a curve lies on one side of a target alone.
func (s *sweep) beyond(c Curve, missed float64) (setting float64, ok bool) {
	least := slices.MinFunc(c, func(a, b Point) int { return cmp.Compare(a.Setting, b.Setting) })
	most := slices.MaxFunc(c, func(a, b Point) int { return cmp.Compare(a.Setting, b.Setting) })
	comfortable := func(p Point) bool { return p.Missed <= missed }
	switch {
	case !slices.ContainsFunc(c, comfortable) && most.Setting < s.highest:
		return min(s.highest, most.Setting+s.widest), true
	case comfortable(least) && least.Setting > s.lowest:
		return max(s.lowest, least.Setting-s.widest), true
	}
	return 0, false
}

// closeEnough is the share of electricity by which neighbours of a crossing may
// differ.
const closeEnough = 0.02

// between is the setting to try next for a target: the middle of its crossing.
func (s *sweep) between(c Curve, missed float64) (setting float64, ok bool) {
	good, bad, ok := c.bracket(missed)
	if !ok || math.Abs(good.Setting-bad.Setting) <= s.closest || good.HeaterKWh-bad.HeaterKWh <= closeEnough*bad.HeaterKWh {
		return 0, false
	}
	x := (good.Setting + bad.Setting) / 2
	return x, !slices.ContainsFunc(c, func(p Point) bool { return math.Abs(p.Setting-x) < s.closest/2 })
}
