package campaign

import (
	"slices"
	"testing"
	"time"

	"sunstoker/control"
)

// TestTellingAfterTheHarmIsNoTellingInTime: neither by its cause nor by an alarm of
// the harm, and the verdict says so.
func TestTellingAfterTheHarmIsNoTellingInTime(t *testing.T) {
	f := &failures[0]
	trial := newTrial(houses(t)[0], &scenes[0], f.Switches[0])
	kind := control.FoundProbeSilent
	if !slices.Contains(f.Tells, kind.String()) {
		t.Fatalf("%s: %s does not tell of it; take another failure", f.Fails, kind)
	}
	unseen := Failure{Sight: Unseen}
	// An alarm of the harm that the failure's row waits for is an alarm all the same.
	waits := Failure{Sight: Compared, Tells: []string{control.FoundFrostNotHelped.String()}}
	for _, c := range []struct {
		failure       *Failure
		told, alarmed time.Duration // from the strike; 0: not
		want          Verdict
		byAlarm       bool
	}{
		{f, 1 * time.Hour, 0, LeftToParts, false},
		{f, 2 * time.Hour, 0, LeftToParts, false},
		{f, 3 * time.Hour, 0, ToldTooLate, false},
		{f, 3 * time.Hour, time.Hour, LeftToParts, false},
		{f, 0, time.Hour, LeftToParts, true},
		{f, 0, 3 * time.Hour, ToldTooLate, true},
		{f, 0, 0, Open, false},
		{&unseen, 0, time.Hour, Fitting, false},
		{&waits, 0, time.Hour, LeftToParts, true},
		{&waits, 0, 3 * time.Hour, ToldTooLate, true},
	} {
		rec, twin := &Record{}, &Record{}
		add := func(kind control.FindingKind, after time.Duration) {
			if after > 0 {
				rec.spans = append(rec.spans, span{kind: kind, from: trial.strikes() + after, to: trial.repaired()})
			}
		}
		add(kind, c.told)
		add(control.FoundFrostNotHelped, c.alarmed)
		rec.Harm.Amount[LoopBurst], rec.Harm.First[LoopBurst] = 100, trial.strikes()+2*time.Hour
		res := compare(c.failure, trial, rec, twin)
		res.judge()
		if res.Verdict != c.want || res.late() != (c.want == ToldTooLate) || res.byAlarm() != c.byAlarm {
			t.Errorf("harm after 2 h, told after %v, alarm after %v: %q, by alarm %v", c.told, c.alarmed, res.Verdict, res.byAlarm())
		}
		s := summaryOf(c.failure, []Result{res})
		if late := c.want == ToldTooLate; s.Late > 0 != late || (s.Latest != nil) != late || s.Alarmed > 0 != c.byAlarm {
			t.Errorf("harm after 2 h, told after %v, alarm after %v: the page counts %d late, %d by alarm", c.told, c.alarmed, s.Late, s.Alarmed)
		}
	}
}

// TestAWayThatIsNeverToldIsNotHidden by other ways of the same failure.
func TestAWayThatIsNeverToldIsNotHidden(t *testing.T) {
	f := failures[0]
	f.Switches = []Switch{{Kind: "told"}, {Kind: "felt, not told"}, {Kind: "not felt"}}
	s := Summary{Failure: &f}
	var results []Result
	for i := range f.Switches {
		results = append(results, Result{
			Failure: &f, Trial: Trial{House: &House{}, Scene: &scenes[0], Faults: f.Switches[i : i+1]}, Effect: i < 2, Told: i == 0,
		})
	}
	s.neverTold(results)
	if !slices.Equal(s.Never, []string{"felt, not told"}) {
		t.Errorf("never told: %q", s.Never)
	}
}
