package planner

import (
	"context"
	"math"
	"os"
	"reflect"
	"strings"
	"testing"
	"time"

	"sunstoker/sim/weather"
	"sunstoker/site"
)

// shortJobs are months of one house with tanks of many sizes.
func shortJobs(t testing.TB, n int) []Job {
	t.Helper()
	w := weather.NorthItaly()
	jobs := make([]Job, n)
	for i := range jobs {
		s := *exampleSite(t, "house-with-winter")
		s.Systems = append([]site.System(nil), s.Systems...)
		s.Systems[0].Tank.VolumeL = 150 + 10*float64(i)
		jobs[i] = Job{Site: &s, Options: RunOptions{Weather: w, Start: newYear.In(s.Zone), Step: LongestStep, Months: 1}}
	}
	return jobs
}

// TestSweepKeepsOrder: the same results in the order of the jobs, whatever the
// number of workers, and a bad job spoils no other.
func TestSweepKeepsOrder(t *testing.T) {
	t.Parallel()
	jobs := shortJobs(t, 5)
	jobs[3].Options.Months = 99
	alone := Sweep(context.Background(), jobs, 1)
	many := Sweep(context.Background(), jobs, 3)
	for i := range jobs {
		if i == 3 {
			if alone[i].Err == nil || many[i].Err == nil || !strings.Contains(many[i].Err.Error(), "99 months") {
				t.Errorf("the bad job gives the errors %v and %v", alone[i].Err, many[i].Err)
			}
			continue
		}
		if alone[i].Err != nil || !reflect.DeepEqual(alone[i], many[i]) {
			t.Errorf("job %d: %+v alone, %+v beside others", i, alone[i], many[i])
		}
		if i > 0 && i != 4 && alone[i].Year.Months[0].TankLossKWh == alone[i-1].Year.Months[0].TankLossKWh {
			t.Errorf("jobs %d and %d gave the same year", i-1, i)
		}
	}
}

func TestSweepCalledOff(t *testing.T) {
	ended, stop := context.WithCancel(context.Background())
	stop()
	for i, r := range Sweep(ended, shortJobs(t, 3), 2) {
		if r.Err == nil {
			t.Errorf("job %d ran all the same", i)
		}
	}
	if got := Sweep(context.Background(), nil, 0); len(got) != 0 {
		t.Errorf("%d results of no jobs", len(got))
	}
}

// wholeSweep, set to anything, makes BenchmarkSweep run what the bar is about.
const wholeSweep = "SUNSTOKER_WHOLE_SWEEP"

// BenchmarkSweep runs 64 jobs by one worker and by two. The time of one by that of
// two, reported, is at least 1.9 on two idle processors. Both take turns, and the
// quickest round of each counts, since a busy machine only ever adds.
//
// The bar is 64 years in steps of 10 s. They take minutes, so that it takes as
// many months in steps of 30 s unless it is told otherwise:
//
//	SUNSTOKER_WHOLE_SWEEP=1 go test -run '^$' -bench Sweep -benchtime 1x -timeout 1h ./planner
func BenchmarkSweep(b *testing.B) {
	jobs, rounds := shortJobs(b, 64), 2
	if os.Getenv(wholeSweep) != "" {
		rounds = 1
		for i := range jobs {
			jobs[i].Options.Step, jobs[i].Options.Months = 10*time.Second, 12
		}
	}
	least := [2]time.Duration{math.MaxInt64, math.MaxInt64}
	for b.Loop() {
		for range rounds {
			for i := range least {
				begin := time.Now()
				for _, r := range Sweep(context.Background(), jobs, i+1) {
					if r.Err != nil {
						b.Fatal(r.Err)
					}
				}
				least[i] = min(least[i], time.Since(begin))
			}
		}
	}
	b.ReportMetric(0, "ns/op") // of both together, of no use
	b.ReportMetric(least[0].Seconds(), "s-one-worker")
	b.ReportMetric(least[1].Seconds(), "s-two-workers")
	b.ReportMetric(least[0].Seconds()/least[1].Seconds(), "one/two")
}
