package campaign

import (
	"slices"
	"testing"
	"time"

	"sunstoker/control"
)

// TestTellingAfterTheHarmIsNoTellingInTime: the page says how often it came too late.
func TestTellingAfterTheHarmIsNoTellingInTime(t *testing.T) {
	f := &failures[0]
	trial := newTrial(houses(t)[0], &scenes[0], f.Switches[0])
	kind := control.FoundProbeSilent
	if !slices.Contains(f.Tells, kind.String()) {
		t.Fatalf("%s: %s does not tell of it; take another failure", f.Fails, kind)
	}
	for harmAt, late := range map[time.Duration]bool{time.Hour: true, 3 * time.Hour: false} {
		rec, twin := &Record{}, &Record{}
		rec.spans = []span{{kind: kind, from: trial.strikes() + 2*time.Hour, to: trial.repaired()}}
		rec.Harm.Amount[LoopBurst], rec.Harm.First[LoopBurst] = 100, trial.strikes()+harmAt
		if res := compare(f, trial, rec, twin); !res.Told || res.Late != late {
			t.Errorf("harm after %v, told after 2 h: told %v, late %v", harmAt, res.Told, res.Late)
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
