package rivals

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"

	"sunstoker/control"
)

// lab runs years, as many at once as there are processors.
type lab struct {
	slots chan struct{}
}

func newLab() *lab { return &lab{slots: make(chan struct{}, runtime.GOMAXPROCS(0))} }

// points runs settings of a sweep, as many at once as the lab allows, and adds
// them to its curve in their order.
func (l *lab) points(ctx context.Context, g *ground, s *sweep, c Curve, settings ...float64) (Curve, error) {
	out, errs := make([]Outcome, len(settings)), make([]error, len(settings))
	var group sync.WaitGroup
	for i, x := range settings {
		group.Go(func() {
			l.slots <- struct{}{}
			defer func() { <-l.slots }()
			out[i], errs[i] = g.run(ctx, s.with(x))
		})
	}
	group.Wait()
	if err := errors.Join(errs...); err != nil {
		return c, fmt.Errorf("%s: %w", g.Name(), err)
	}
	for i, x := range settings {
		c = append(c, Point{x, out[i]})
	}
	return c, nil
}

// mostRounds bounds the refinement of a curve.
const mostRounds = 6

// curve sweeps a rival through a case, and closer around the targets until its
// neighbours there are close.
func (l *lab) curve(ctx context.Context, g *ground, s *sweep) (Curve, error) {
	c, err := l.points(ctx, g, s, nil, s.first...)
	for range mostRounds {
		if err != nil {
			break
		}
		more := s.next(c)
		if len(more) == 0 {
			break
		}
		c, err = l.points(ctx, g, s, c, more...)
	}
	return c, err
}

// searchMissed is the share of heat missed at which windows are chosen, between
// the targets.
const searchMissed = 0.0025

// mostMoves bounds how often the best windows are moved.
const mostMoves = 2

// searchWindows looks for the best windows of a year: a coarse grid, then the
// best ones with an edge moved by an hour, as long as that helps. Each is judged
// at its own set temperature, the one that misses as much as the others do. The
// film stands in for the house here: what is found is run under the controller.
func (f *film) searchWindows(ctx context.Context) (control.Windows, error) {
	var best tried
	known, some := []tried(nil), startingFrom(windowGrid, usualSetC)
	for move := 0; len(some) > 0; move++ {
		if err := f.try(ctx, some, settleRuns-min(move, 1)); err != nil {
			return nil, err
		}
		known = append(known, some...)
		before := best.kWh
		best = slices.MinFunc(known, func(a, b tried) int { return cmp.Compare(a.kWh, b.kWh) })
		if best.kWh == before || move == mostMoves {
			break
		}
		some = slices.DeleteFunc(startingFrom(neighbours(best.windows), best.setC), func(t tried) bool {
			return slices.ContainsFunc(known, func(k tried) bool { return slices.Equal(k.windows, t.windows) })
		})
	}
	return best.windows, nil
}

// tried are windows with the set temperature at which they miss as much as was
// looked for, and what they need there; +Inf if no temperature does it.
type tried struct {
	windows control.Windows
	setC    float64
	kWh     float64
}

func startingFrom(all []control.Windows, setC float64) []tried {
	some := make([]tried, len(all))
	for i, w := range all {
		some[i] = tried{w, setC, math.Inf(1)}
	}
	return some
}

// try finds temperature and electricity of windows.
func (f *film) try(ctx context.Context, some []tried, runs int) error {
	errs := make([]error, len(some))
	var group sync.WaitGroup
	slots := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i := range some {
		group.Go(func() {
			slots <- struct{}{}
			defer func() { <-slots }()
			errs[i] = f.settle(ctx, &some[i], runs)
		})
	}
	group.Wait()
	return errors.Join(errs...)
}

// settleRuns is how many years the settling takes; one less where a neighbour's
// temperature is known.
const settleRuns = 3

// settle looks for the set temperature at which windows miss as much as is
// looked for, from the one they come with.
func (f *film) settle(ctx context.Context, t *tried, runs int) error {
	const usualSlope, furthestK = 0.25, 10 // of the logarithm of missed heat a kelvin
	c, setC := Curve(nil), t.setC
	for range runs {
		o, err := f.windows(ctx, t.windows, setC)
		if err != nil {
			return err
		}
		last := Point{setC, o}
		c = append(c, last)
		slope := usualSlope
		if n := len(c); n > 1 && last.Setting != c[n-2].Setting {
			slope = max(0.05, -(logMissed(last)-logMissed(c[n-2]))/(last.Setting-c[n-2].Setting))
		}
		setC += max(-furthestK, min(furthestK, (logMissed(last)-math.Log(searchMissed))/slope))
		setC = max(coolestSetC, min(hottestSetC, setC))
	}
	if kWh := c.At(searchMissed); !math.IsNaN(kWh) {
		t.kWh = kWh
	}
	t.setC = setC
	return nil
}

// logMissed is the logarithm of the share missed, with a floor for a year in
// which nothing is.
func logMissed(p Point) float64 {
	const least = 1e-4
	return math.Log(max(least, p.Missed))
}

// neighbours are windows with one edge moved by an hour.
func neighbours(w control.Windows) []control.Windows {
	var all []control.Windows
	for i := range w {
		for _, move := range []control.Window{{From: -60}, {From: 60}, {To: -60}, {To: 60}} {
			moved := slices.Clone(w)
			moved[i].From = (moved[i].From + move.From + dayMinutes) % dayMinutes
			moved[i].To = cmp.Or((moved[i].To+move.To+dayMinutes)%dayMinutes, dayMinutes)
			if moved[i].From != moved[i].To%dayMinutes {
				all = append(all, moved)
			}
		}
	}
	return all
}
