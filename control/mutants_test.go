//go:build mutants

package control

import (
	"encoding/json"
	"flag"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"sort"
	"strings"
	"testing"
)

var (
	mutantSample = flag.Int("mutants", 0, "try only so many mutants, drawn by seed; 0 tries all")
	mutantFiles  = flag.String("mutantfiles", "", "try only mutants of files whose name holds this, or one of these, with commas between")
	mutantSeed   = flag.Uint64("mutantseed", 1, "seed of the sample")
)

// mutantsKilled is the share of mutants that the tests must notice.
const mutantsKilled = 0.95

// unmutated are the files whose mistakes harm nobody, or that other packages
// test.
var unmutated = map[string]string{
	"words.go":  "sentences; a test fills in every one",
	"doc.go":    "no code",
	"unit.go":   "read and written by the tests of package site",
	"reason.go": "how figures are written",
}

// TestProofMutants breaks the package in one place at a time and sees whether its
// tests notice: every comparison is shifted by its border and turned round, and
// and or are exchanged, every figure is halved and made half as large again.
// All mutants are built into one test program; the environment says which one
// is alive.
func TestProofMutants(t *testing.T) {
	folder := t.TempDir()
	made, err := mutate(".", folder, func(name string) bool { return unmutated[name] == "" })
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range outlived(made.mutants) {
		t.Errorf("an excuse for a place that is not there: %q, %s in %s", e.line, e.what, e.file)
	}
	program := filepath.Join(folder, "control.test")
	build := exec.Command("go", "test", "-c", "-overlay", made.overlay, "-o", program, ".")
	if text, err := build.CombinedOutput(); err != nil {
		t.Fatalf("the mutants can't be built: %v\n%s", err, text)
	}
	suite := newMutantSuite(t, program)
	chosen := chooseMutants(made.mutants)
	t.Logf("%d mutants, %d of them tried", len(made.mutants), len(chosen))
	survivors := suite.tryAll(t, chosen)
	killed := len(chosen) - len(survivors)
	byFile := map[string]int{}
	known := 0
	for _, m := range survivors {
		if excused(m) != "" {
			known++
			continue
		}
		byFile[m.File]++
	}
	for _, name := range slices.Sorted(maps.Keys(byFile)) {
		t.Logf("%s: %d survivors", name, byFile[name])
	}
	share := float64(killed) / float64(len(chosen)-known)
	t.Logf("proof: mutants tried = %d mutants", len(chosen))
	t.Logf("proof: mutants that change nothing, with the reason = %d mutants", known)
	t.Logf("proof: share of the others that the tests notice = %.1f %%", 100*share)
	if share < mutantsKilled {
		t.Errorf("%.1f %% of the mutants were noticed, want %.0f %%", 100*share, 100*mutantsKilled)
	}
}

func chooseMutants(all []mutant) []mutant {
	var chosen []mutant
	for _, m := range all {
		for part := range strings.SplitSeq(*mutantFiles, ",") {
			if strings.Contains(m.File, part) {
				chosen = append(chosen, m)
				break
			}
		}
	}
	if *mutantSample > 0 && *mutantSample < len(chosen) {
		r := rand.New(rand.NewPCG(*mutantSeed, 0))
		r.Shuffle(len(chosen), func(i, k int) { chosen[i], chosen[k] = chosen[k], chosen[i] })
		chosen = chosen[:*mutantSample]
		sort.Slice(chosen, func(i, k int) bool { return chosen[i].ID < chosen[k].ID })
	}
	return chosen
}

// mutation is the outcome of mutate.
type mutation struct {
	overlay string // file for the -overlay option
	mutants []mutant
}

// mutate writes mutated copies of a package's files into a folder.
func mutate(from, to string, wanted func(file string) bool) (*mutation, error) {
	m := newMutator()
	if err := m.load(from); err != nil {
		return nil, err
	}
	replace := map[string]string{}
	for _, f := range m.files {
		name := filepath.Base(f.path)
		if !wanted(name) {
			continue
		}
		path := filepath.Join(to, name)
		if err := os.WriteFile(path, m.mutated(f), 0o644); err != nil {
			return nil, err
		}
		replace[f.path] = path
	}
	whole, err := filepath.Abs(from)
	if err != nil {
		return nil, err
	}
	for name, text := range map[string]string{"mutant_switch.go": mutantSwitch, "mutant_main_test.go": mutantMain} {
		helper := filepath.Join(to, name)
		if err := os.WriteFile(helper, []byte(text), 0o644); err != nil {
			return nil, err
		}
		replace[filepath.Join(whole, name)] = helper
	}
	overlay, err := json.Marshal(map[string]any{"Replace": replace})
	if err != nil {
		return nil, err
	}
	path := filepath.Join(to, "overlay.json")
	return &mutation{overlay: path, mutants: m.mutants}, os.WriteFile(path, overlay, 0o644)
}
