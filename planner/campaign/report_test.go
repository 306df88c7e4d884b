package campaign

import (
	"bytes"
	"strings"
	"testing"
	"time"
)

// TestThePageListsWhatIsToldTooLate: with the run in which it came the latest, and
// nothing where all was told in time.
func TestThePageListsWhatIsToldTooLate(t *testing.T) {
	f := &failures[0]
	for after, want := range map[time.Duration]string{
		5 * time.Hour: "in 1 of 1 runs with harm. Latest in \"a house\", sunny day, by \"" + f.Switches[0].String() + "\": loop frozen solid, told of 3 h after it had begun.",
		time.Hour:     "## Told only after the harm had begun\n\nNothing.",
	} {
		r := Result{
			Failure: f, Trial: newTrial(&House{Name: "a house"}, &scenes[0], f.Switches[0]),
			Hazards: []Hazard{LoopBurst}, Told: true, After: after, Key: "probe_silent",
		}
		r.First[LoopBurst], r.Alarm[LoopBurst] = r.Trial.strikes()+2*time.Hour, never
		r.judge()
		var page bytes.Buffer
		if err := WriteVerdicts(&page, []Result{r}); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(page.String(), want) {
			t.Errorf("harm after 2 h, told after %v: the page does not say %q", after, want)
		}
	}
}
