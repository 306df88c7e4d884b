package planner

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"

	"sunstoker/site"
)

// Job is one run of a sweep.
type Job struct {
	Site    *site.Site // may be shared between jobs
	Options RunOptions // the weather may be shared between jobs
	// Progress and Observers, which may be nil, are for RunYear; they are called on
	// the goroutine of a worker.
	Progress  func(done float64)
	Observers func(*Run) []func(*Run)
}

// Result is what came of a job: a year or an error.
type Result struct {
	Year *Year
	Err  error
}

// Sweep runs jobs on so many workers at once; zero means one a processor. The
// results stand in the order of the jobs and do not depend on the number of
// workers. When ctx ends, jobs that are not done carry its error.
func Sweep(ctx context.Context, jobs []Job, workers int) []Result {
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	results := make([]Result, len(jobs))
	var next atomic.Int64
	var group sync.WaitGroup
	for range min(workers, len(jobs)) {
		group.Go(func() {
			for {
				i := int(next.Add(1)) - 1
				if i >= len(jobs) {
					return
				}
				results[i] = jobs[i].run(ctx)
			}
		})
	}
	group.Wait()
	return results
}

func (j *Job) run(ctx context.Context) Result {
	if err := ctx.Err(); err != nil {
		return Result{Err: err}
	}
	r, err := NewRun(j.Site, j.Options)
	if err != nil {
		return Result{Err: err}
	}
	var observers []func(*Run)
	if j.Observers != nil {
		observers = j.Observers(r)
	}
	y, err := RunYear(ctx, r, j.Progress, observers...)
	return Result{y, err}
}
