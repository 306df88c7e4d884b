//go:build mutants

package control

import (
	"cmp"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"sort"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"
)

// mutantSuite is what mutants are tried with: the tests, each with the mutants
// that it comes by. A mutant is tried by these alone, the cheap ones first.
type mutantSuite struct {
	program string
	tests   []mutantTest // cheapest first
}

type mutantTest struct {
	name    string
	work    time.Duration // processor time
	reached map[int]bool  // by mutant.Pair
}

// kept tells whether a test holds kept texts against what is. These tests notice
// most of all mutants, mostly at once, and come first.
func (test mutantTest) kept() bool {
	return strings.HasPrefix(test.name, "TestTable") || test.name == "TestSweeps"
}

// mutantDearest is the work from which a test is left out: a mutant that survives
// costs the work of all tests that come by it, and the long ones see little that
// the sweeps do not.
const mutantDearest = 100 * time.Millisecond

// newMutantSuite runs each test by itself with no mutant alive.
func newMutantSuite(t *testing.T, program string) *mutantSuite {
	t.Helper()
	list, err := exec.Command(program, "-test.list", "^Test").Output()
	if err != nil {
		t.Fatal(err)
	}
	s := &mutantSuite{program: program}
	var dear []string
	for name := range strings.FieldsSeq(string(list)) {
		if !strings.HasPrefix(name, "Test") {
			continue
		}
		reached := filepath.Join(t.TempDir(), "reached")
		work, why := s.run(0, []string{name}, reachedVariable+"="+reached)
		if why != "" {
			t.Fatalf("with no mutant alive a test fails: %s", why)
		}
		ids, err := os.ReadFile(reached)
		if err != nil {
			t.Fatal(err)
		}
		test := mutantTest{name, work, map[int]bool{}}
		if work > mutantDearest && !test.kept() {
			dear = append(dear, name)
			continue
		}
		for text := range strings.FieldsSeq(string(ids)) {
			id, err := strconv.Atoi(text)
			if err != nil {
				t.Fatal(err)
			}
			test.reached[id] = true
		}
		s.tests = append(s.tests, test)
	}
	slices.SortStableFunc(s.tests, func(a, b mutantTest) int {
		if a.kept() != b.kept() {
			return map[bool]int{true: -1, false: 1}[a.kept()]
		}
		return cmp.Compare(a.work, b.work)
	})
	var whole time.Duration
	for _, test := range s.tests {
		whole += test.work
	}
	t.Logf("%d tests, %.1f s of work", len(s.tests), whole.Seconds())
	t.Logf("left out for their work: %s", strings.Join(dear, ", "))
	return s
}

// cameBy lists the tests that come by a mutant.
func (s *mutantSuite) cameBy(m mutant) (tests []mutantTest) {
	for _, test := range s.tests {
		if test.reached[m.Pair] {
			tests = append(tests, test)
		}
	}
	return tests
}

// verdict says of a mutant that was not noticed how it survived.
func (s *mutantSuite) verdict(m mutant) string {
	switch {
	case excused(m) != "":
		return "survives, as it must: " + excused(m)
	case len(s.cameBy(m)) == 0:
		return "survives, and no test comes by it"
	}
	return "survives"
}

// tryAll gives the mutants that no test noticed.
func (s *mutantSuite) tryAll(t *testing.T, all []mutant) (survivors []mutant) {
	var lock sync.Mutex
	var group sync.WaitGroup
	next := make(chan mutant)
	for range runtime.GOMAXPROCS(0) {
		group.Go(func() {
			for m := range next {
				if !s.notices(m) {
					t.Logf("%s: %s", s.verdict(m), m)
					lock.Lock()
					survivors = append(survivors, m)
					lock.Unlock()
				}
			}
		})
	}
	for _, m := range all {
		next <- m
	}
	close(next)
	group.Wait()
	sort.Slice(survivors, func(i, k int) bool { return survivors[i].ID < survivors[k].ID })
	return survivors
}

// mutantBatch is the work after which the tests of one run are enough: the
// cheaper ones notice most mutants, and save the others.
const mutantBatch = 200 * time.Millisecond

// notices tells whether some test fails with the mutant alive.
func (s *mutantSuite) notices(m mutant) bool {
	var names []string
	var work time.Duration
	for _, test := range s.cameBy(m) {
		names = append(names, test.name)
		if work += test.work; work < mutantBatch {
			continue
		}
		if _, why := s.run(m.ID, names); why != "" {
			return true
		}
		names, work = nil, 0
	}
	if len(names) == 0 {
		return false
	}
	_, why := s.run(m.ID, names)
	return why != ""
}

// mutantPatience is when a mutant that does not end counts as noticed; the
// program bounds its own work, see mutantMain.
const mutantPatience = 5 * time.Minute

// run runs tests with one mutant alive, 0 for none, and gives what they say of
// it, or nothing when they pass.
func (s *mutantSuite) run(id int, tests []string, environment ...string) (work time.Duration, why string) {
	ctx, cancel := context.WithTimeout(context.Background(), mutantPatience)
	defer cancel()
	run := exec.CommandContext(ctx, s.program, "-test.run", "^("+strings.Join(tests, "|")+")$", "-test.failfast", "-test.short",
		"-rapid.checks=40", "-rapid.seed=1", "-rapid.nofailfile", "-rapid.shrinktime=0s")
	run.Env = append(os.Environ(), mutantVariable+"="+strconv.Itoa(id), "GOMAXPROCS=1", "SUNSTOKER_PROOF=")
	run.Env = append(run.Env, environment...)
	text, err := run.CombinedOutput()
	if run.ProcessState != nil {
		work = run.ProcessState.UserTime()
	}
	if err == nil {
		return work, ""
	}
	return work, fmt.Sprintf("%v\n%s", err, text)
}
