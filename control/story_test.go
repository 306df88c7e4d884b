package control

import (
	"errors"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// A story is a day or a week of a house, written down to be read: what happens
// to it, what is expected, and what the controller does about it. DEVELOPERS.md
// explains how stories are written.

var update = flag.Bool("update", false, "write the traces of the stories anew; read what has changed before it is kept")

const traceIndent = "    "

func TestStories(t *testing.T) {
	files, err := filepath.Glob("testdata/stories/*.txt")
	if err != nil || len(files) < 10 {
		t.Fatalf("%d stories, %v", len(files), err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txt"), func(t *testing.T) {
			text, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if !strings.Contains(string(text), "\n> expect ") {
				t.Error("the story expects nothing")
			}
			holdTale(t, file)
		})
	}
}

// holdTale tells a file's story anew and holds it against what is written.
func holdTale(t *testing.T, file string) {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	got, err := tellStory(string(text))
	if err != nil {
		t.Errorf("%s:%v", file, err)
	}
	holdGolden(t, file, string(text), got)
}

// holdGolden holds a text against the one that is kept in a file.
func holdGolden(t *testing.T, file, kept, got string) {
	t.Helper()
	switch {
	case got == kept:
	case *update:
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	default:
		t.Errorf("%s is told otherwise now; look at the difference after: go test ./control -run %s -update\n%s",
			file, strings.Split(t.Name(), "/")[0], firstDifference(kept, got))
	}
}

// firstDifference shows where two texts part.
func firstDifference(was, is string) string {
	a, b := strings.Split(was, "\n"), strings.Split(is, "\n")
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return fmt.Sprintf("line %d was: %s\nand is:     %s", i+1, a[i], b[i])
		}
	}
	return "one of them is longer"
}

// tellStory carries a story out and gives it back with its traces as they are
// now. The errors name their lines.
func tellStory(text string) (string, error) {
	var s story
	var out strings.Builder
	var errs []error
	for i, line := range strings.SplitAfter(text, "\n") {
		if strings.HasPrefix(line, traceIndent) {
			continue // of an earlier telling
		}
		out.WriteString(line)
		if strings.TrimSpace(line) == "" {
			s.since = s.since[:0]
		}
		order, is := strings.CutPrefix(strings.TrimSpace(line), "> ")
		if !is {
			continue
		}
		if err := s.do(order); err != nil {
			errs = append(errs, fmt.Errorf("%d: %w", i+1, err))
			if !strings.HasPrefix(order, "expect ") {
				return text, errors.Join(errs...)
			}
		}
		if !strings.HasPrefix(order, "again ") {
			s.since = append(s.since, order)
		}
		for _, seen := range s.trace {
			out.WriteString(traceIndent + seen + "\n")
		}
		s.trace = s.trace[:0]
	}
	return out.String(), errors.Join(errs...)
}

// story is a house under way.
type story struct {
	plan  Plan
	c     *Controller // nil until the first reading is set
	wall  Wall
	value []float64       // per probe
	dead  []bool          // per probe: unplugged
	age   []time.Duration // per probe: how late its samples come
	given []Reading       // in this step
	out   *Outcome

	ran     time.Duration
	started time.Duration // how long it had run at the last start
	long    bool          // on a long way: why nothing is asked for is not told each time

	trace    []string
	since    []string        // orders since the last empty line
	terse    bool            // only what is found is written
	marked   string          // stands before what is written, instead of the time
	first    bool            // nothing is written yet
	outputs  []part          // as they were last written
	readings []part          // likewise
	found    []Finding       // likewise
	day      string          // likewise, the date
	hot      []time.Duration // per system, age of the last heat-up
}

// part is what a change is seen by, of an output or a reading.
type part struct {
	value float64
	why   Words
	idle  bool // nothing asks for the output
}

// begin makes the controller once the house is described.
func (s *story) begin() error {
	if s.c != nil {
		return nil
	}
	if len(s.plan.Systems) == 0 {
		return fmt.Errorf(`a story begins with a house: "> house glycol, tempering valve"`)
	}
	c, err := New(s.plan)
	s.c, s.first = c, true
	s.value, s.dead = make([]float64, len(s.plan.Probes)), make([]bool, len(s.plan.Probes))
	s.age, s.given = make([]time.Duration, len(s.plan.Probes)), make([]Reading, len(s.plan.Probes))
	s.outputs, s.readings = make([]part, len(s.plan.Outputs)), make([]part, len(s.plan.Probes))
	s.hot = make([]time.Duration, len(s.plan.Systems))
	return err
}

// run goes on by such steps; to names where readings go meanwhile, evenly.
func (s *story) run(length, by time.Duration, to map[int]float64) {
	steps := int(length / by)
	from := slices.Clone(s.value)
	for n := 1; n <= steps; n++ {
		for probe, end := range to {
			s.value[probe] = from[probe] + (end-from[probe])*float64(n)/float64(steps)
		}
		s.wall.Time = s.wall.Time.Add(by)
		s.step(by, 0.01*float64(n%2)) // real probes flicker
	}
}

// step hands the readings to the controller.
func (s *story) step(elapsed time.Duration, flicker float64) {
	for i, pr := range s.plan.Probes {
		s.given[i] = Reading{Value: s.value[i], Age: s.age[i]}
		if pr.Place.Unit() == Celsius {
			s.given[i].Value += flicker
		}
		if s.dead[i] {
			s.given[i] = Reading{Fault: "no answer"}
		}
	}
	s.out = s.c.Step(elapsed, s.wall, s.given)
	s.look()
	s.ran += elapsed
}

// look writes down what has changed in this step; of a speed, when it passes a
// fifth of full.
func (s *story) look() {
	for i := range s.out.Decisions {
		d := &s.out.Decisions[i]
		was, is := s.outputs[i], part{math.Ceil(5*d.Level) / 5, d.Reason.Words, len(d.Votes) == 0}
		s.outputs[i] = is
		if quiet := s.terse || s.long && was.idle && is.idle; s.first || is != was && !quiet {
			o := s.plan.Outputs[i]
			s.write(s.ofSystem(o.System) + o.Actuator.Words() + " " + levelWords(d.Level) + ": " + d.Reason.String())
		}
	}
	settling := s.ran-s.started < time.Minute // readings settle after every start
	for i := range s.out.Readings {
		j := &s.out.Readings[i]
		if is := (part{value: float64(j.Quality), why: j.Why.Words}); is != s.readings[i] {
			s.readings[i] = is
			if !settling && !s.terse {
				pr := s.plan.Probes[i]
				s.write(strings.TrimSuffix(s.ofSystem(pr.System)+pr.Place.Words()+" reading "+j.Quality.String()+": "+j.Why.String(), ": "))
			}
		}
	}
	s.first = false
	s.lookAtFindings()
	for i := range s.c.st.Systems {
		if age := s.c.st.Systems[i].HygieneSince; age < s.hot[i] {
			s.write(s.ofSystem(i) + "hygiene heat-up held to its end")
		}
		s.hot[i] = s.c.st.Systems[i].HygieneSince
	}
}

func levelWords(level float64) string {
	switch level {
	case 0:
		return "off"
	case 1:
		return "on"
	}
	return fmt.Sprintf("at %.0f %%", 100*level)
}

// lookAtFindings writes down what was found, and what is no longer.
func (s *story) lookAtFindings() {
	same := func(a, b Finding) bool {
		return a.Kind == b.Kind && a.System == b.System && a.Place == b.Place && a.Actuator == b.Actuator
	}
	if slices.EqualFunc(s.found, s.out.Findings, same) {
		return
	}
	among := func(list []Finding, f Finding) bool {
		return slices.ContainsFunc(list, func(other Finding) bool { return same(f, other) })
	}
	for _, f := range s.out.Findings {
		if !among(s.found, f) {
			s.write("found: " + s.nameOf(&f) + ": " + f.Evidence.String())
		}
	}
	for _, f := range s.found {
		if !among(s.out.Findings, f) {
			s.write("no longer found: " + s.nameOf(&f))
		}
	}
	s.found = slices.Clone(s.out.Findings)
}

func (s *story) nameOf(f *Finding) string {
	name := s.ofSystem(f.System) + f.Kind.Title()
	switch f.About {
	case AboutProbe:
		name += " (" + f.Place.Words() + ")"
	case AboutOutput:
		name += " (" + f.Actuator.Words() + ")"
	}
	return name
}

// ofSystem begins a name; a house with one system needs no name for it.
func (s *story) ofSystem(system int) string {
	if system == House || len(s.plan.Systems) == 1 {
		return ""
	}
	return s.plan.Systems[system].Name + ", "
}

func (s *story) write(line string) {
	if s.marked != "" {
		s.trace = append(s.trace, s.marked+": "+line)
		return
	}
	local := s.wall.Time.In(s.zone())
	stamp := local.Format("15:04:05")
	if !s.wall.Trusted {
		stamp = "--:--:--"
	} else if day := local.Format("Monday 2006-01-02"); day != s.day {
		s.day = day
		s.trace = append(s.trace, day)
	}
	s.trace = append(s.trace, stamp+" "+line)
}

func (s *story) zone() *time.Location {
	if s.plan.Zone == nil {
		return time.UTC
	}
	return s.plan.Zone
}
