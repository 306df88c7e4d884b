package campaign

import (
	"bytes"
	"context"
	"encoding/csv"
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"sunstoker/sim/noise"
)

// update writes the verdicts anew: `make campaign`.
var update = flag.Bool("update", false, "write the campaign's verdicts anew")

// whole tells whether tests go through all of it, and not a sample.
func whole() bool { return os.Getenv("SUNSTOKER_PROOF") != "" }

const (
	verdictsFile = "../../deploy/failure-verdicts.md"
	runsFile     = "testdata/runs.csv"
	campaignSeed = 1
)

func houses(t testing.TB) []*House {
	t.Helper()
	all, err := Houses()
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// TestProofCampaign runs every failure in every house and scene, and holds what
// came of it against what installers read, or writes that anew. A verdict that has
// become worse fails in either case, once.
func TestProofCampaign(t *testing.T) {
	if !whole() {
		t.Skip("takes minutes: make campaign")
	}
	results, err := Campaign(context.Background(), houses(t), Scenes(), progress("runs"))
	if err != nil {
		t.Fatal(err)
	}
	worse, _ := worseThan(writtenRuns(t), writtenPage(t), results)
	for _, what := range worse {
		t.Error(what)
	}
	golden(t, verdictsFile, func(b *bytes.Buffer) error { return WriteVerdicts(b, results) })
	golden(t, runsFile, func(b *bytes.Buffer) error { return WriteRuns(b, results) })
	t.Logf("proof: failures of the trade = %d failures", len(failures))
	t.Logf("proof: runs of the campaign = %d runs", len(results))
	counts := map[Verdict]int{}
	for _, s := range Summarize(results) {
		counts[s.Verdict]++
		if s.Verdict >= Unheard {
			t.Logf("%s: %s: %s (%s, %s, %s): %v", s.Verdict, s.Failure.Part, s.Failure.Fails, s.Worst.Trial.switches(), s.Worst.Trial.House.Name, s.Worst.Trial.Scene.Name, s.Worst.Hazards)
		}
		for _, r := range s.Stuck {
			t.Logf("not back to normal: %s: %s (%s, %s, %s): %v", s.Failure.Part, s.Failure.Fails, r.Trial.switches(), r.Trial.House.Name, r.Trial.Scene.Name, r.Stuck)
		}
	}
	for i := range results {
		if r := &results[i]; r.Verdict == Open && len(severe(r.Hazards)) > 0 {
			t.Logf("open run: %s: %s (%s, %s, %s): %v; it said %v", r.Failure.Part, r.Failure.Fails, r.Trial.switches(), r.Trial.House.Name, r.Trial.Scene.Name, severe(r.Hazards), r.Also)
		}
	}
	for v := NotTried; v <= Open; v++ {
		t.Logf("proof: failures: %s = %d failures", v, counts[v])
	}
}

// TestHealthyTwinsAreHealthy: nothing severe happens in a house in which nothing
// fails, whatever the scene.
func TestHealthyTwinsAreHealthy(t *testing.T) {
	for _, h := range houses(t) {
		for i := range scenes {
			rec, _, err := newTrial(h, &scenes[i]).Run()
			if err != nil {
				t.Fatal(err)
			}
			for hazard := range numHazards {
				if hazard.Severe() && rec.Harm.Amount[hazard] > 0 {
					t.Errorf("%s, %s: %v without any fault, %g %s", h.Name, scenes[i].Name, hazard, rec.Harm.Amount[hazard], hazardTable[hazard].unit)
				}
			}
		}
	}
}

// mostUntold is how many of a thousand pairs may cost comfort or energy untold: a
// first failure that hides a second one, which is told when the first is mended. It
// is what was last seen and may fall.
const mostUntold = 27

// TestProofPairs throws pairs of failures.
func TestProofPairs(t *testing.T) {
	n := 16
	switch {
	case whole():
		n = 1000
	case testing.Short():
		n = 4
	}
	results, err := Pairs(context.Background(), houses(t), campaignSeed, n, nil)
	if err != nil {
		t.Fatal(err)
	}
	again, err := Pairs(context.Background(), houses(t), campaignSeed, 3, nil)
	if err != nil {
		t.Fatal(err)
	}
	for i := range again {
		if got, want := fmt.Sprint(again[i].name(), again[i].Hazards), fmt.Sprint(results[i].name(), results[i].Hazards); got != want {
			t.Errorf("the same seed gave %s, then %s", want, got)
		}
	}
	t.Logf("proof: pairs of failures = %d pairs", len(results))
	counts := map[Verdict]int{}
	for i := range results {
		r := &results[i]
		counts[r.Verdict]++
		if r.Verdict == Open {
			t.Errorf("open: %s (%s, %s): %v", r.Trial.switches(), r.Trial.House.Name, r.Trial.Scene.Name, severe(r.Hazards))
		}
	}
	if n := counts[Unheard]; n > mostUntold {
		t.Errorf("%d pairs cost comfort or energy untold, and were %d", n, mostUntold)
	}
	for v := NothingSeen; v <= Open; v++ {
		t.Logf("proof: pairs: %s = %d pairs", v, counts[v])
	}
}

// TestVerdictsAreFresh runs a sample of the campaign and holds it against the
// verdicts that installers read: none has become worse. Each run of the tests
// takes the same sample; `make campaign` takes all and writes what is better.
func TestVerdictsAreFresh(t *testing.T) {
	if testing.Short() {
		t.Skip("long simulations")
	}
	written := writtenRuns(t)
	page, err := os.ReadFile(verdictsFile)
	if err != nil {
		t.Fatal(err)
	}
	for i := range failures {
		if f := &failures[i]; !strings.Contains(string(page), "**"+f.Part+":** "+f.Fails) {
			t.Errorf("%s says nothing of %q, %q; run `make campaign`", verdictsFile, f.Part, f.Fails)
		}
	}
	trials := sampleOf(houses(t))
	found := make([]*Result, len(trials))
	var w twins
	err = onAllCores(context.Background(), len(trials), func(i int) (err error) {
		found[i], err = w.try(&trials[i].failure, trials[i].trial)
		return err
	}, nil)
	if err != nil {
		t.Fatal(err)
	}
	var results []Result
	for _, r := range found {
		if r != nil {
			results = append(results, *r)
		}
	}
	worse, unknown := worseThan(written, nil, results)
	for _, what := range append(worse, unknown...) {
		t.Error(what)
	}
	for i := range results {
		r := &results[i]
		if want, known := written[r.key()]; known && r.Verdict < want {
			t.Logf("%s: the verdict is better than written, %q, and was %q; `make campaign` writes it", r.key(), r.Verdict, want)
		}
	}
}

// TestThePageIsNoBetterThanItsRuns: no failure has a better verdict on the page than
// one of its runs in a house of the usual fit.
func TestThePageIsNoBetterThanItsRuns(t *testing.T) {
	page := writtenPage(t)
	more := map[string]bool{}
	for _, h := range houses(t) {
		more[h.Name] = h.more
	}
	for name, run := range writtenRuns(t) {
		of := strings.Split(name, "|")
		verdict, known := page[of[0]+": "+of[1]]
		if verdict == ToldLate && !slices.ContainsFunc(seasons, func(sc Scene) bool { return sc.Name == of[4] }) {
			verdict = Unheard // in days it may be missed
		}
		if !known || run > verdict && !more[of[3]] {
			t.Errorf("%s: %q, and the page says %q", name, run, verdict)
		}
	}
}

// TestAWorseVerdictIsSeen: of a run, and of a failure as a whole.
func TestAWorseVerdictIsSeen(t *testing.T) {
	f := &failures[0]
	r := Result{Failure: f, Trial: newTrial(houses(t)[0], &scenes[0], f.Switches[0]), Told: true, Effect: true}
	for _, c := range []struct {
		run, page, now Verdict
		worse          int
	}{{Told, Told, Told, 0}, {Open, Open, Told, 0}, {Told, Told, LeftToParts, 2}, {Told, Open, LeftToParts, 1}, {NothingSeen, NothingSeen, Told, 0}, {LeftToParts, Covered, LeftToParts, 1}, {NotTried, Open, NothingSeen, 0}} {
		r.Verdict = c.now
		runs := map[string]Verdict{r.key(): c.run}
		page := map[string]Verdict{f.Part + ": " + f.Fails: c.page}
		if c.run == NotTried {
			runs = nil
		}
		worse, unknown := worseThan(runs, page, []Result{r})
		if len(worse) != c.worse || len(unknown) > 0 != (runs == nil) {
			t.Errorf("run %q, page %q, now %q: %q, unknown %q", c.run, c.page, c.now, worse, unknown)
		}
	}
}

// worseThan tells which runs, and which failures as a whole, have become worse than
// what is written of them, and which runs nothing is written of. A nil page is not
// looked at.
func worseThan(runs, page map[string]Verdict, results []Result) (worse, unknown []string) {
	for i := range results {
		r := &results[i]
		switch want, known := runs[r.key()]; {
		case !known:
			unknown = append(unknown, fmt.Sprintf("%s: %s does not know it; run `make campaign`", r.key(), runsFile))
		case r.Verdict > max(want, Told): // what is told of is no worse for being harmless
			worse = append(worse, fmt.Sprintf("%s: the verdict has become worse, %q, and was %q: %v", r.key(), r.Verdict, want, r.Hazards))
		}
	}
	if page == nil {
		return worse, unknown
	}
	for _, s := range Summarize(results) {
		if want, known := page[s.Failure.Part+": "+s.Failure.Fails]; known && s.Runs > 0 && s.Verdict > max(want, Told) {
			worse = append(worse, fmt.Sprintf("%s: %s: the page's verdict has become worse, %q, and was %q", s.Failure.Part, s.Failure.Fails, s.Verdict, want))
		}
	}
	return worse, unknown
}

// key names a run as the written ones are named.
func (res *Result) key() string {
	return strings.Join(append(res.name(), res.Trial.Scene.Name), "|")
}

// sampleOf draws a run of each failure that is tried.
func sampleOf(all []*House) []pair {
	random := noise.NewStream(noise.Derive(campaignSeed, "sample"))
	pick := func(of int) int { return int(random.Float64() * float64(of)) }
	var trials []pair
	for i := range failures {
		f := &failures[i]
		for len(f.Switches) > 0 {
			h, s := all[pick(len(all))], f.Switches[pick(len(f.Switches))]
			t := newTrial(h, &scenes[pick(len(scenes))], s)
			if _, fits, err := t.plan(); err == nil && fits && h.tries(s) {
				trials = append(trials, pair{failure: *f, trial: t})
				break
			}
		}
	}
	return trials
}

// writtenRuns are the verdicts by what failed, how, where and when.
func writtenRuns(t *testing.T) map[string]Verdict {
	t.Helper()
	f, err := os.Open(runsFile)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	verdicts := map[string]Verdict{}
	for _, row := range rows[1:] {
		for i, verdict := range row[4:] {
			if v := slices.Index(verdictWords[:], verdict); v >= 0 {
				verdicts[strings.Join(row[:4], "|")+"|"+rows[0][4+i]] = Verdict(v)
			}
		}
	}
	return verdicts
}

// writtenPage are the verdicts that installers read, by part and failure.
func writtenPage(t *testing.T) map[string]Verdict {
	t.Helper()
	text, err := os.ReadFile(verdictsFile)
	if err != nil {
		t.Fatal(err)
	}
	verdicts := map[string]Verdict{}
	for _, line := range strings.Split(string(text), "\n") {
		cells := strings.Split(line, " | ")
		if len(cells) < 7 || !strings.HasPrefix(line, "| **") {
			continue
		}
		name := strings.Replace(strings.TrimPrefix(cells[0], "| **"), ":**", ":", 1)
		verdict := strings.Trim(cells[2], "*")
		v := slices.Index(verdictWords[:], verdict)
		if strings.HasPrefix(verdict, "covered by ") {
			v = int(Covered)
		}
		if v < 0 {
			t.Errorf("%s: no verdict is called %q", name, verdict)
			continue
		}
		verdicts[name] = Verdict(v)
	}
	return verdicts
}

// golden holds a file against what is to be in it, or writes it.
func golden(t *testing.T, name string, write func(*bytes.Buffer) error) {
	t.Helper()
	var b bytes.Buffer
	if err := write(&b); err != nil {
		t.Fatal(err)
	}
	if *update {
		if err := os.WriteFile(name, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	written, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(written, b.Bytes()) {
		t.Errorf("%s is out of date; run `make campaign` and read what changed", name)
	}
}

// progress tells on the terminal how far it is, every twentieth part.
func progress(what string) func(done, all int) {
	return func(done, all int) {
		if done*20/all != (done-1)*20/all {
			fmt.Fprintf(os.Stderr, "%d of %d %s\n", done, all, what)
		}
	}
}
