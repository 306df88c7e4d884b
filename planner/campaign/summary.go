package campaign

import (
	"maps"
	"slices"
	"time"
)

// Summary is what came of a failure in all its runs.
type Summary struct {
	Failure  *Failure
	Verdict  Verdict
	Runs     int           // in the houses of the usual fit
	Mattered int           // of them, those in which the plant felt it
	ToldIn   int           // of them, those in which it was told
	Hazards  []Hazard      // that came about in any of them
	Bare     []Hazard      // that came about only with parts taken away
	Worst    *Result       // a run that has the verdict
	Median   time.Duration // until it was told
	Longest  time.Duration
	Says     *Result   // the run with the usual message
	Harmed   int       // runs in which people or plant came to harm and it was told
	Late     int       // of them, those in which it was told after the harm had begun
	Alarmed  int       // of them, those in which an alarm of the harm itself came first
	Latest   *Result   // the run in which harm had been there the longest when it was told
	Never    []string  // ways in which it was switched on, felt and told in no run
	Stuck    []*Result // runs that did not come back to normal
	Words    int       // runs that a person's word has brought back
	More     []*Result // runs in which probes beyond the usual fit told it
	Long     []*Result // the long runs of what is slow to show
}

// Summarize puts the results of each failure together, in the table's order.
func Summarize(results []Result) []Summary {
	all := make([]Summary, len(failures))
	for i := range failures {
		all[i] = summaryOf(&failures[i], results)
	}
	return all
}

func summaryOf(f *Failure, results []Result) Summary {
	s := Summary{Failure: f}
	var told []*Result
	usual := false
	for i := range results {
		usual = usual || results[i].Failure == f && !results[i].Trial.House.more
	}
	for i := range results {
		r := &results[i]
		if r.Failure != f {
			continue
		}
		// What no house of the usual fit has is tried with more probes alone.
		if usual && r.Trial.House.more {
			if r.Told {
				s.More = append(s.More, r)
			}
			continue
		}
		if r.Trial.long() {
			s.Long = append(s.Long, r)
			if r.Verdict < ToldTooLate {
				continue
			}
		}
		s.add(r)
		if r.Told {
			told = append(told, r)
		}
	}
	if len(told) == 0 {
		told = s.toldInLong()
	}
	s.listen(told)
	s.neverTold(results)
	s.judge()
	return s
}

// neverTold finds the ways of a failure that are told in no run at all, which others
// of the same failure would hide.
func (s *Summary) neverTold(results []Result) {
	felt, told := map[string]bool{}, map[string]bool{}
	for i := range results {
		if r := &results[i]; r.Failure == s.Failure {
			way := r.Trial.switches()
			felt[way] = felt[way] || r.Effect || len(r.Hazards) > 0
			told[way] = told[way] || r.Told
		}
	}
	for _, way := range slices.Sorted(maps.Keys(felt)) {
		if felt[way] && !told[way] {
			s.Never = append(s.Never, way)
		}
	}
}

func (s *Summary) add(r *Result) {
	s.Runs++
	if r.Effect || len(r.Hazards) > 0 {
		s.Mattered++
	}
	if r.Told {
		s.ToldIn++
	}
	s.addHarm(r)
	s.Hazards = union(s.Hazards, r.Hazards)
	s.Bare = union(s.Bare, r.Bare)
	if len(r.Words) > 0 {
		s.Words++
	}
	if len(r.Stuck) > 0 || r.Hunts {
		s.Stuck = append(s.Stuck, r)
	}
	if s.Worst == nil || r.Verdict > s.Worst.Verdict || r.Verdict == s.Worst.Verdict && len(severe(r.Hazards)) > len(severe(s.Worst.Hazards)) {
		s.Worst = r
	}
}

// addHarm counts a run in which harm came about and was told of.
func (s *Summary) addHarm(r *Result) {
	waited := r.waited(severe(r.Hazards))
	if len(severe(r.Hazards)) == 0 || waited == never {
		return
	}
	s.Harmed++
	if r.byAlarm() {
		s.Alarmed++
	}
	if !r.late() {
		return
	}
	s.Late++
	if s.Latest == nil || waited > s.Latest.waited(severe(s.Latest.Hazards)) {
		s.Latest = r
	}
}

func (s *Summary) listen(told []*Result) {
	if len(told) == 0 {
		return
	}
	slices.SortStableFunc(told, func(a, b *Result) int { return int(a.After/time.Second - b.After/time.Second) })
	s.Median, s.Longest = told[len(told)/2].After, told[len(told)-1].After
	counts := map[string]int{}
	for _, r := range told {
		counts[r.Key]++
	}
	for _, r := range told {
		if s.Says == nil || counts[r.Key] > counts[s.Says.Key] {
			s.Says = r
		}
	}
}

// judge gives the failure the verdict of its worst run. One that software should
// see, that mattered and was never told counts as not told however harmless it was.
func (s *Summary) judge() {
	if s.Worst == nil {
		return
	}
	s.Verdict = s.Worst.Verdict
	if s.Verdict < Unheard && s.Failure.Sight != Unseen && s.ToldIn == 0 && s.Mattered > 0 && len(s.Failure.Tells) > 0 {
		s.Verdict = Unheard
	}
	if s.Verdict == NothingSeen && s.ToldIn > 0 {
		s.Verdict = Told
	}
	if (s.Verdict == Unheard || s.Verdict == NothingSeen) && s.toldAfterWeeks() {
		s.Verdict = ToldLate
	}
}

// toldAfterWeeks tells whether every switch was told of in the long run, in each
// house that lost anything by it and in one at least.
func (s *Summary) toldAfterWeeks() bool {
	heard := map[string]bool{}
	for _, r := range s.Long {
		if r.Verdict >= Unheard {
			return false
		}
		heard[r.Trial.switches()] = heard[r.Trial.switches()] || r.Told
	}
	for _, told := range heard {
		if !told {
			return false
		}
	}
	return len(heard) > 0
}

func (s *Summary) toldInLong() (told []*Result) {
	for _, r := range s.Long {
		if r.Told {
			told = append(told, r)
		}
	}
	return told
}

func union(a, b []Hazard) []Hazard {
	for _, h := range b {
		if !slices.Contains(a, h) {
			a = append(a, h)
		}
	}
	slices.Sort(a)
	return a
}
