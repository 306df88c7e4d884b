package campaign

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"sunstoker/control"
	"sunstoker/sim"
)

// TestEveryFaultOfTheSimulatorStandsInTheTable, and every switch of the table is
// one that the simulator knows.
func TestEveryFaultOfTheSimulatorStandsInTheTable(t *testing.T) {
	used := map[string]bool{}
	var use func(f *Failure, s Switch)
	use = func(f *Failure, s Switch) {
		if s.Person != Nothing {
			if s.Kind != "" || s.Place != "" {
				t.Errorf("%s, %s: a person's doing is no fault %q", f.Part, f.Fails, s.Kind)
			}
			return
		}
		used[s.Kind] = true
		kind := slices.IndexFunc(sim.FaultKinds(), func(k sim.FaultKind) bool { return k.Name == s.Kind })
		if kind < 0 {
			t.Errorf("%s, %s: the simulator has no fault %q", f.Part, f.Fails, s.Kind)
		} else if sim.FaultKinds()[kind].OfProbe() != (s.Place != "") {
			t.Errorf("%s, %s: %q with the place %q", f.Part, f.Fails, s.Kind, s.Place)
		}
		for _, w := range s.With {
			use(f, w)
		}
	}
	for i := range failures {
		for _, s := range failures[i].Switches {
			use(&failures[i], s)
		}
	}
	for _, k := range sim.FaultKinds() {
		if !used[k.Name] {
			t.Errorf("the fault %q stands behind no failure", k.Name)
		}
	}
}

// TestFailureTableIsWhole: each row says what a person must know of it.
func TestFailureTableIsWhole(t *testing.T) {
	if len(failures) < 80 {
		t.Errorf("%d failures", len(failures))
	}
	seen := map[string]bool{}
	code := regexp.MustCompile(`\b[A-Z]{1,3}\d+\b`)
	for i := range failures {
		f := &failures[i]
		name := f.Part + ": " + f.Fails
		switch {
		case f.Part == "" || f.Fails == "" || len(f.Dangers) == 0 || f.Severity == 0:
			t.Errorf("%s: not whole", name)
		case seen[name]:
			t.Errorf("%s: twice", name)
		case len(f.Switches) == 0 && (f.Elsewhere == "" || len(f.Tests) == 0 && f.Fit == ""):
			t.Errorf("%s: is not tried, and nothing says what covers it", name)
		case f.Severity >= PlantDestroyed && f.Sight == Unseen && f.Fit == "":
			t.Errorf("%s: software can't see it, and nothing must be fitted", name)
		case f.Sight != Unseen && len(f.Switches) > 0 && len(f.Tells) == 0 && len(f.Tests) == 0:
			t.Errorf("%s: nothing tells of it", name)
		case len(f.Covers) > 0 && f.Fit == "":
			t.Errorf("%s: covered by parts that nobody is asked to fit", name)
		case code.MatchString(f.Fails):
			t.Errorf("%s: speaks in codes", name)
		}
		seen[name] = true
	}
}

// TestTestsThatAreNamedExist: a row that leans on a test names a real one.
func TestTestsThatAreNamedExist(t *testing.T) {
	for i := range failures {
		for _, name := range failures[i].Tests {
			folder, test, _ := strings.Cut(name, ".")
			files, err := filepath.Glob(filepath.Join("../..", folder, "*_test.go"))
			if err != nil {
				t.Fatal(err)
			}
			found := slices.ContainsFunc(files, func(file string) bool {
				text, err := os.ReadFile(file)
				return err == nil && strings.Contains(string(text), "\nfunc "+test+"(")
			})
			if !found {
				t.Errorf("%s, %s: there is no test %s", failures[i].Part, failures[i].Fails, name)
			}
		}
	}
}

// TestWhatTellsIsKnown lists the findings that the table waits for.
func TestWhatTellsIsKnown(t *testing.T) {
	known := map[string]bool{}
	for _, k := range control.FindingKinds() {
		known[k.String()] = true
	}
	for w := range 256 {
		known[control.Words(w).Key()] = true
	}
	for i := range failures {
		for _, key := range failures[i].Tells {
			if !known[key] {
				t.Logf("%s, %s: waits for the finding %q, which is not there yet", failures[i].Part, failures[i].Fails, key)
			}
		}
	}
}
