package campaign

import (
	"context"
	"runtime"
	"sync"
	"time"
)

// twins keeps the healthy twin of every house, scene, step and length.
type twins struct {
	mu  sync.Mutex
	all map[twinKey]*twinRun
}

type twinKey struct {
	house       *House
	scene       *Scene
	step, lasts time.Duration
}

type twinRun struct {
	once sync.Once
	rec  *Record
	err  error
}

// of is the healthy twin of a trial. It is run once.
func (w *twins) of(t Trial) (*Record, error) {
	key := twinKey{t.House, t.Scene, t.Step, t.Lasts}
	w.mu.Lock()
	if w.all == nil {
		w.all = map[twinKey]*twinRun{}
	}
	twin := w.all[key]
	if twin == nil {
		twin = &twinRun{}
		w.all[key] = twin
	}
	w.mu.Unlock()
	twin.once.Do(func() {
		t.Faults, t.Without = nil, nil
		twin.rec, _, twin.err = t.Run()
	})
	return twin.rec, twin.err
}

// try runs a trial and its twin and judges what came of it; nil when the fault
// means nothing in the house.
func (w *twins) try(f *Failure, t Trial) (*Result, error) {
	rec, ok, err := t.Run()
	if err != nil || !ok {
		return nil, err
	}
	twin, err := w.of(t)
	if err != nil {
		return nil, err
	}
	res := compare(f, t, rec, twin)
	if len(f.Covers) > 0 && len(severe(res.Hazards)) == 0 {
		if res.Bare, err = w.bare(f, t); err != nil {
			return nil, err
		}
	}
	res.judge()
	return &res, nil
}

// bare runs a trial without the parts that are said to cover it, held against
// a healthy house that lacks them too.
func (w *twins) bare(f *Failure, t Trial) ([]Hazard, error) {
	t.Without = f.Covers
	rec, ok, err := t.Run()
	if err != nil || !ok {
		return nil, err
	}
	healthyOne := t
	healthyOne.Faults = nil
	twin, _, err := healthyOne.Run()
	if err != nil {
		return nil, err
	}
	return severe(compare(f, t, rec, twin).Hazards), nil
}

// Campaign runs every failure that the simulator can switch on, in the houses
// and scenes given, and the slow ones in the long runs too, on all cores. Results
// stand in the order of the table, then of houses, scenes and switches, however many
// cores there are.
func Campaign(ctx context.Context, houses []*House, scenes []Scene, progress func(done, all int)) ([]Result, error) {
	type job struct {
		failure *Failure
		trial   Trial
	}
	var jobs []job
	for i := range failures {
		for _, h := range houses {
			for k := range scenes {
				for _, s := range failures[i].Switches {
					if !h.tries(s) {
						continue
					}
					jobs = append(jobs, job{&failures[i], newTrial(h, &scenes[k], s)})
				}
			}
			for k := range seasons {
				for _, s := range failures[i].Switches {
					if failures[i].lasts(&seasons[k]) && h.tries(s) {
						jobs = append(jobs, job{&failures[i], seasonTrial(h, &seasons[k], s)})
					}
				}
			}
		}
	}
	var w twins
	found := make([]*Result, len(jobs))
	err := onAllCores(ctx, len(jobs), func(i int) (err error) {
		found[i], err = w.try(jobs[i].failure, jobs[i].trial)
		return err
	}, progress)
	if err != nil {
		return nil, err
	}
	results := make([]Result, 0, len(jobs))
	for _, r := range found {
		if r != nil {
			results = append(results, *r)
		}
	}
	return results, nil
}

// onAllCores does numbered work on as many goroutines as there are cores, until
// one fails or ctx ends.
func onAllCores(ctx context.Context, n int, work func(i int) error, progress func(done, all int)) error {
	var (
		mu         sync.Mutex
		next, done int
		failed     error
		wait       sync.WaitGroup
	)
	take := func() (int, bool) {
		mu.Lock()
		defer mu.Unlock()
		if next >= n || failed != nil {
			return 0, false
		}
		if failed = ctx.Err(); failed != nil {
			return 0, false
		}
		next++
		return next - 1, true
	}
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for i, ok := take(); ok; i, ok = take() {
				err := work(i)
				mu.Lock()
				if failed == nil {
					failed = err
				}
				done++
				if progress != nil {
					progress(done, n)
				}
				mu.Unlock()
			}
		})
	}
	wait.Wait()
	return failed
}
