package trial

import (
	"context"
	"fmt"
	"time"

	"sunstoker/dashboard"
	"sunstoker/station/bench"
)

// Outcome is what came of one expectation.
type Outcome struct {
	At    time.Duration // of its step
	Words string
	Took  time.Duration // until it was met; until it was given up when it was not
	Wrong string        // what was seen instead; empty when it was met
}

// Result is what came of a script.
type Result struct {
	Script   *Script
	Outcomes []Outcome     // in the order of the script
	Length   time.Duration // until all was decided
}

// Failed counts the expectations that were not met.
func (r *Result) Failed() (n int) {
	for _, o := range r.Outcomes {
		if o.Wrong != "" {
			n++
		}
	}
	return n
}

// look is the time from one look at the daemon to the next.
const look = time.Second

// world is where a script runs: a plant and a daemon, in virtual or in real time.
type world interface {
	// to moves plant and daemon on to an instant of the script.
	to(ctx context.Context, at time.Duration) error
	// now is what the daemon shows; nil while it is away by an order.
	now(ctx context.Context) (*dashboard.Now, error)
	// board does what an order says that is about the daemon or its board.
	board(ctx context.Context, words string) error
}

// pending is an expectation that is not decided.
type pending struct {
	*Expectation
	outcome *Outcome
	met     bool          // it is so, and must stay so
	metAt   time.Duration // since when
}

// run goes through a script.
func run(ctx context.Context, s *Script, plant *bench.Plant, w world) (*Result, error) {
	r := &Result{Script: s}
	total := 0
	for _, step := range s.Steps {
		total += len(step.Expect)
	}
	r.Outcomes = make([]Outcome, 0, total) // pointed into: it must not move
	steps := s.Steps
	var open []pending
	for at := time.Duration(0); len(steps)+len(open) > 0; at += look {
		r.Length = at
		if err := w.to(ctx, at); err != nil {
			return nil, err
		}
		var err error
		if open, err = decide(ctx, w, plant, open, at); err != nil {
			return nil, err
		}
		for ; len(steps) > 0 && steps[0].At <= at; steps = steps[1:] {
			step := &steps[0]
			for _, words := range step.Do {
				if err := obey(ctx, w, plant, words); err != nil {
					return nil, fmt.Errorf("%s: at %v: %q: %w", s.File, at, words, err)
				}
			}
			for i := range step.Expect {
				e := &step.Expect[i]
				r.Outcomes = append(r.Outcomes, Outcome{At: step.At, Words: e.Words})
				open = append(open, pending{Expectation: e, outcome: &r.Outcomes[len(r.Outcomes)-1]})
			}
		}
	}
	return r, nil
}

func obey(ctx context.Context, w world, plant *bench.Plant, words string) error {
	if bench.TouchesBoard(words) {
		return w.board(ctx, words)
	}
	return order(plant, words)
}

// decide looks at the daemon and gives the expectations that are still open.
func decide(ctx context.Context, w world, plant *bench.Plant, open []pending, at time.Duration) ([]pending, error) {
	if len(open) == 0 {
		return nil, nil
	}
	now, err := w.now(ctx)
	if err != nil {
		return nil, err
	}
	var still []pending
	for _, p := range open {
		if !p.decided(now, plant, at) {
			still = append(still, p)
		}
	}
	return still, nil
}

// decided looks whether an expectation has come true or has failed by now.
func (p *pending) decided(now *dashboard.Now, plant *bench.Plant, at time.Duration) bool {
	is, seen := p.meets(now, plant)
	since := at - p.outcome.At
	switch {
	case p.met && !is:
		p.outcome.Took, p.outcome.Wrong = since, fmt.Sprintf("it held for %v of %v: %s", at-p.metAt, p.Hold, seen)
		return true
	case is && !p.met:
		p.met, p.metAt, p.outcome.Took = true, at, since
	case !is && since >= p.Within:
		p.outcome.Took, p.outcome.Wrong = since, seen
		return true
	}
	return p.met && at-p.metAt >= p.Hold
}
