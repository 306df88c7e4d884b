package campaign

import (
	"cmp"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
)

// TestOneFailure tells all of the failures in whose name the words of
// SUNSTOKER_FAILURE are, one line a run: verdict, when and by what it was told,
// and how much the plant suffered beside its healthy twin. SUNSTOKER_SCENE and
// SUNSTOKER_HOUSE keep to scenes and houses with those words, SUNSTOKER_VERDICT to
// verdicts that begin so. For whoever works
// on a finding:
//
//	SUNSTOKER_FAILURE="check valve" SUNSTOKER_SCENE=frosty go test ./planner/campaign -run TestOneFailure -v
func TestOneFailure(t *testing.T) {
	words := os.Getenv("SUNSTOKER_FAILURE")
	if words == "" {
		t.Skip("for whoever works on a finding: set SUNSTOKER_FAILURE")
	}
	has := func(name, words string) bool { return strings.Contains(strings.ToLower(name), strings.ToLower(words)) }
	var trials []pair
	for i := range failures {
		f := &failures[i]
		if !has(f.Part+": "+f.Fails, words) {
			continue
		}
		for _, h := range houses(t) {
			for k := range scenes {
				if !has(h.Name, os.Getenv("SUNSTOKER_HOUSE")) || !has(scenes[k].Name, os.Getenv("SUNSTOKER_SCENE")) {
					continue
				}
				for _, s := range f.Switches {
					if !h.tries(s) {
						continue
					}
					trials = append(trials, pair{failure: *f, trial: newTrial(h, &scenes[k], s)})
				}
			}
			for k := range seasons {
				if !f.lasts(&seasons[k]) || !has(h.Name, os.Getenv("SUNSTOKER_HOUSE")) || !has(seasons[k].Name, os.Getenv("SUNSTOKER_SCENE")) {
					continue
				}
				for _, s := range f.Switches {
					if h.tries(s) {
						trials = append(trials, pair{failure: *f, trial: seasonTrial(h, &seasons[k], s)})
					}
				}
			}
		}
	}
	var w twins
	lines := make([]string, len(trials))
	err := onAllCores(t.Context(), len(trials), func(i int) (err error) {
		lines[i], err = w.tell(&trials[i])
		return err
	}, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range lines {
		if strings.HasPrefix(line, os.Getenv("SUNSTOKER_VERDICT")) && line != "" {
			fmt.Println(line)
		}
	}
}

// tell runs a trial and says what came of it; empty when it means nothing in its
// house.
func (w *twins) tell(p *pair) (string, error) {
	res, err := w.try(&p.failure, p.trial)
	if err != nil || res == nil {
		return "", err
	}
	rec, _, err := p.trial.Run()
	if err != nil {
		return "", err
	}
	twin, err := w.of(p.trial)
	if err != nil {
		return "", err
	}
	var b strings.Builder
	fmt.Fprintf(&b, "%s | %s | %s | %s", res.Verdict, p.trial.switches(), p.trial.House.Name, p.trial.Scene.Name)
	if res.Told {
		fmt.Fprintf(&b, "\n    after %s: %s: %s", about(res.After), res.Key, res.Message)
	}
	for _, h := range res.Hazards {
		fmt.Fprintf(&b, "\n    %s: %.1f %s, its twin %.1f", h, rec.Harm.Amount[h], hazardTable[h].unit, twin.Harm.Amount[h])
	}
	for _, s := range slices.SortedStableFunc(slices.Values(rec.spans), func(a, b span) int { return cmp.Compare(a.from, b.from) }) {
		if !twin.had(s.kind, s.from, s.from) {
			fmt.Fprintf(&b, "\n    from %v to %v: %s: %s", s.from-p.trial.strikes(), s.to-p.trial.strikes(), s.kind, s.text)
		}
	}
	return b.String(), nil
}
