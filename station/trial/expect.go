package trial

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"sunstoker/control"
	"sunstoker/dashboard"
	"sunstoker/site"
	"sunstoker/station/bench"
)

// Expectation is something that must come to be.
type Expectation struct {
	Words  string // as a person says it
	Within time.Duration
	Hold   time.Duration

	// meets tells whether it is so, and what was seen instead. now is nil while no
	// daemon answers.
	meets func(now *dashboard.Now, plant *bench.Plant) (is bool, seen string)
}

// shows is an expectation of what the daemon shows.
func shows(meets func(now *dashboard.Now) (bool, string)) func(*dashboard.Now, *bench.Plant) (bool, string) {
	return func(now *dashboard.Now, _ *bench.Plant) (bool, string) {
		if now == nil {
			return false, "no daemon answers"
		}
		return meets(now)
	}
}

// usualWithin is how long an expectation may take that does not say.
const usualWithin = 5 * time.Second

// expectation reads one out of a script.
func expectation(s *site.Site, f *expectFile) (Expectation, error) {
	system, err := systemOf(s, f.System)
	if err != nil {
		return Expectation{}, err
	}
	e := Expectation{Within: f.Within.Duration, Hold: f.Hold.Duration}
	if e.Within == 0 {
		e.Within = usualWithin
	}
	named := 0
	for _, kind := range []struct {
		name string
		read func(*Expectation, *site.Site, int, *expectFile) error
	}{{f.Output, ofOutput}, {f.Driven, ofDriven}, {f.Reading, ofReading}, {f.Finding, ofFinding}, {f.NoFinding, ofNoFinding}} {
		if kind.name == "" {
			continue
		}
		named++
		if err := kind.read(&e, s, system, f); err != nil {
			return Expectation{}, err
		}
	}
	if named != 1 {
		return Expectation{}, errors.New("an expectation names one of output, driven, reading, finding and no_finding")
	}
	if f.System != "" {
		e.Words = f.System + ": " + e.Words
	}
	e.Words += fmt.Sprintf(" within %v", e.Within)
	if e.Hold > 0 {
		e.Words += fmt.Sprintf(", for %v", e.Hold)
	}
	return e, nil
}

func systemOf(s *site.Site, name string) (int, error) {
	if name == "" {
		return 0, nil
	}
	i := slices.IndexFunc(s.Systems, func(o site.System) bool { return o.Name == name })
	if i < 0 {
		return 0, fmt.Errorf("the site has no system %q", name)
	}
	return i, nil
}

// ofOutput expects a level, and maybe a reason.
func ofOutput(e *Expectation, s *site.Site, system int, f *expectFile) error {
	if _, err := outputNamed(s, system, f.Output, f.Level); err != nil {
		return err
	}
	reasons := strings.Split(f.Because, " or ")
	e.Words = f.Output + " " + f.Level
	if f.Because != "" {
		e.Words += " because " + f.Because
	}
	e.meets = shows(func(now *dashboard.Now) (bool, string) {
		for _, o := range now.Systems[system].Outputs {
			if o.Words != f.Output {
				continue
			}
			is := onOff(o.LevelRatio)
			return is == f.Level && (f.Because == "" || slices.Contains(reasons, o.Reason.Key)),
				fmt.Sprintf("it is %s because %s (%s)", is, o.Reason.Text, o.Reason.Key)
		}
		return false, "the daemon has no such output"
	})
	return nil
}

// ofDriven expects a level of what is in the plant, whatever the daemon shows.
func ofDriven(e *Expectation, s *site.Site, system int, f *expectFile) error {
	i, err := outputNamed(s, system, f.Driven, f.Level)
	if err != nil {
		return err
	}
	if f.Because != "" {
		return errors.New("what is driven gives no reason; expect that of the output")
	}
	e.Words = f.Driven + " driven " + f.Level
	e.meets = func(_ *dashboard.Now, plant *bench.Plant) (bool, string) {
		is := onOff(plant.Level(i))
		return is == f.Level, "it is driven " + is
	}
	return nil
}

func onOff(level float64) string {
	if level > 0 {
		return "on"
	}
	return "off"
}

// outputNamed finds an output that is to have a level.
func outputNamed(s *site.Site, system int, name, level string) (int, error) {
	i := slices.IndexFunc(s.Plan.Outputs, func(o control.Output) bool { return o.System == system && o.Actuator.Words() == name })
	if i < 0 {
		return 0, fmt.Errorf("there is no output %q", name)
	}
	if level != "on" && level != "off" {
		return 0, fmt.Errorf("the %s cannot be %q; write on or off", name, level)
	}
	return i, nil
}

// ofReading expects a quality, or a value between bounds.
func ofReading(e *Expectation, s *site.Site, system int, f *expectFile) error {
	i := slices.IndexFunc(s.Plan.Probes, func(p control.Probe) bool {
		return p.Place.Words() == f.Reading && (p.System == system || p.System == control.House)
	})
	if i < 0 {
		return fmt.Errorf("there is no reading %q", f.Reading)
	}
	place := s.Plan.Probes[i].Place
	above, err := bound(f.Above, place, math.Inf(-1))
	if err != nil {
		return err
	}
	below, err := bound(f.Below, place, math.Inf(1))
	if err != nil {
		return err
	}
	bounded := f.Above+f.Below != ""
	switch {
	case f.Quality == "" && !bounded:
		return fmt.Errorf("of the %s neither quality nor bounds are given", f.Reading)
	case !slices.Contains([]string{"", "good", "suspect", "missing"}, f.Quality):
		return fmt.Errorf("a reading cannot be %q; write good, suspect or missing", f.Quality)
	}
	e.Words = "reading " + strings.Join(strings.Fields(f.Reading+" "+f.Quality), " ")
	if f.Above != "" {
		e.Words += " above " + f.Above
	}
	if f.Below != "" {
		e.Words += " below " + f.Below
	}
	e.meets = shows(func(now *dashboard.Now) (bool, string) {
		for _, r := range slices.Concat(now.Systems[system].Readings, now.Readings) {
			if r.Place != place.String() {
				continue
			}
			value, words := math.NaN(), "none"
			if r.Value != nil {
				value, words = *r.Value, place.Unit().Format(*r.Value)
			}
			fits := !bounded || r.Quality == "good" && value > above && value < below
			return fits && (f.Quality == "" || r.Quality == f.Quality), fmt.Sprintf("it is %s, %s %s", r.Quality, words, r.Fault)
		}
		return false, "the daemon has no such reading"
	})
	return nil
}

func bound(text string, p control.Place, otherwise float64) (float64, error) {
	if text == "" {
		return otherwise, nil
	}
	return p.Unit().Parse(text)
}

func ofFinding(e *Expectation, _ *site.Site, _ int, f *expectFile) error {
	if err := isFinding(f.Finding); err != nil {
		return err
	}
	e.Words = "finding " + f.Finding
	e.meets = shows(func(now *dashboard.Now) (bool, string) {
		return slices.Contains(shown(now), f.Finding), "shown are " + list(shown(now))
	})
	return nil
}

func ofNoFinding(e *Expectation, _ *site.Site, _ int, f *expectFile) error {
	if f.NoFinding != anyFinding {
		if err := isFinding(f.NoFinding); err != nil {
			return err
		}
	}
	e.Words = "no finding " + f.NoFinding
	e.meets = shows(func(now *dashboard.Now) (bool, string) {
		kinds := shown(now)
		return !slices.Contains(kinds, f.NoFinding) && (f.NoFinding != anyFinding || len(kinds) == 0), "shown are " + list(kinds)
	})
	return nil
}

const anyFinding = "any"

func isFinding(key string) error {
	for _, k := range control.FindingKinds() {
		if k.String() == key {
			return nil
		}
	}
	return fmt.Errorf("there is no finding %q", key)
}

// shown are the keys of the findings that the daemon shows.
func shown(now *dashboard.Now) (kinds []string) {
	for _, f := range now.Findings {
		kinds = append(kinds, f.Kind)
	}
	return kinds
}

func list(words []string) string {
	if len(words) == 0 {
		return "none"
	}
	return strings.Join(words, ", ")
}
