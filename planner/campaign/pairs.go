package campaign

import (
	"context"
	"slices"

	"sunstoker/sim/noise"
)

// Pairs tries pairs of failures at once, drawn by a seed: two switches of
// different failures, a house and a scene. The same seed draws the same pairs.
func Pairs(ctx context.Context, houses []*House, seed uint64, n int, progress func(done, all int)) ([]Result, error) {
	trials := drawPairs(houses, seed, n)
	var w twins
	results := make([]Result, len(trials))
	err := onAllCores(ctx, len(trials), func(i int) error {
		res, err := w.try(&trials[i].failure, trials[i].trial)
		if err != nil {
			return err
		}
		results[i] = *res
		return w.excuse(houses, &trials[i], &results[i])
	}, progress)
	return results, err
}

// pair is two failures that happen at once.
type pair struct {
	failure Failure // both as one
	parts   []*Failure
	trial   Trial
}

// excuse takes back an open verdict where all severe harm comes from the one of
// the two that software can't see, or is told of by an alarm. The unseen one is
// tried by itself, on this day and then in all houses on all days: an element
// without water burns by itself too, once the heater is wanted.
func (w *twins) excuse(houses []*House, p *pair, res *Result) error {
	if res.Verdict != Open {
		return nil
	}
	left := severe(res.Hazards)
	for i, f := range p.parts {
		if f.Sight != Unseen {
			continue
		}
		alone := []Trial{newTrial(p.trial.House, p.trial.Scene, p.trial.Faults[i])}
		for _, h := range houses {
			for k := range scenes {
				alone = append(alone, newTrial(h, &scenes[k], p.trial.Faults[i]))
			}
		}
		for _, t := range alone {
			if len(left) == 0 {
				break
			}
			one, err := w.try(f, t)
			if err != nil {
				return err
			}
			if one != nil {
				left = slices.DeleteFunc(left, func(h Hazard) bool { return slices.Contains(one.Hazards, h) })
			}
		}
	}
	switch waited := res.waited(left); {
	case len(left) == 0:
		res.Verdict = Fitting
	case len(left) < len(severe(res.Hazards)) && waited < never:
		res.Verdict = toldWith(waited)
	}
	return nil
}

// drawPairs draws until there are n pairs that mean something in their house.
func drawPairs(houses []*House, seed uint64, n int) []pair {
	random := noise.NewStream(noise.Derive(seed, "pairs"))
	pick := func(of int) int { return int(random.Float64() * float64(of)) }
	var trials []pair
	for len(trials) < n {
		a, b := &failures[pick(len(failures))], &failures[pick(len(failures))]
		h, sc := houses[pick(len(houses))], &scenes[pick(len(scenes))]
		if a == b || len(a.Switches) == 0 || len(b.Switches) == 0 {
			continue
		}
		first, second := a.Switches[pick(len(a.Switches))], b.Switches[pick(len(b.Switches))]
		t := newTrial(h, sc, first, second)
		if _, fits, err := t.plan(); err == nil && fits {
			trials = append(trials, pair{both(a, b), []*Failure{a, b}, t})
		}
	}
	return trials
}

// both is two failures as one. Software is held to account for what it can see
// of either.
func both(a, b *Failure) Failure {
	return Failure{
		Part: a.Part + " and " + b.Part, Fails: a.Fails + "; " + b.Fails,
		Dangers: slices.Concat(a.Dangers, b.Dangers), Severity: max(a.Severity, b.Severity), Sight: max(a.Sight, b.Sight),
		Tells: slices.Concat(a.Tells, b.Tells), Fit: joined(a.Fit, b.Fit), Covers: slices.Concat(a.Covers, b.Covers),
	}
}

func joined(a, b string) string {
	if a == "" || b == "" || a == b {
		return a + b
	}
	return a + "; " + b
}
