package trial

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/pelletier/go-toml/v2"

	"sunstoker/control"
	"sunstoker/sim/household"
	"sunstoker/site"
	"sunstoker/station/bench"
)

// Script is a test as its file tells it.
type Script struct {
	File  string
	Name  string
	Site  *site.Site
	Start time.Time
	TankC float64 // 0: as plants usually begin
	Begin []string
	Steps []Step // by time
}

// Step is what happens at an instant.
type Step struct {
	At     time.Duration
	Do     []string
	Expect []Expectation
}

// The file's own shape.
type (
	scriptFile struct {
		Name, Site, Start, Tank string
		Begin                   []string
		Step                    []stepFile
	}
	stepFile struct {
		At     span
		Do     []string
		Expect []expectFile
	}
	expectFile struct {
		System, Output, Level, Because string
		Driven                         string
		Reading, Quality, Above, Below string
		Finding                        string
		NoFinding                      string `toml:"no_finding"`
		Within, Hold                   span
	}
	span struct{ time.Duration }
)

// UnmarshalText reads "5s" or "1h30m".
func (s *span) UnmarshalText(text []byte) error {
	d, err := time.ParseDuration(string(text))
	if err != nil || d < 0 {
		return fmt.Errorf("%q is no length of time; write such as 5s, 3m or 1h30m", text)
	}
	s.Duration = d
	return nil
}

// Load reads a script. The error says what is wrong with which step.
func Load(path string) (*Script, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	s, err := parse(path, text)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return s, nil
}

func parse(path string, text []byte) (*Script, error) {
	var file scriptFile
	decoder := toml.NewDecoder(strings.NewReader(string(text)))
	if err := decoder.DisallowUnknownFields().Decode(&file); err != nil {
		return nil, plain(err)
	}
	s := &Script{File: path, Name: file.Name, Begin: file.Begin}
	if s.Name == "" || file.Site == "" {
		return nil, errors.New("a script needs a name and a site")
	}
	var err error
	if s.Site, err = site.Load(filepath.Join(filepath.Dir(path), file.Site)); err != nil {
		return nil, err
	}
	const form = "2006-01-02 15:04"
	if s.Start, err = time.ParseInLocation(form, file.Start, s.Site.Zone); err != nil {
		return nil, fmt.Errorf("start: %q is no time; write it as %s", file.Start, form)
	}
	if file.Tank != "" {
		if s.TankC, err = control.Celsius.Parse(file.Tank); err != nil {
			return nil, fmt.Errorf("tank: %w", err)
		}
	}
	for i, f := range file.Step {
		step := Step{At: f.At.Duration, Do: f.Do}
		for _, e := range f.Expect {
			want, err := expectation(s.Site, &e)
			if err != nil {
				return nil, fmt.Errorf("step %d, at %v: %w", i+1, step.At, err)
			}
			step.Expect = append(step.Expect, want)
		}
		if len(step.Do)+len(step.Expect) == 0 {
			return nil, fmt.Errorf("step %d, at %v: it neither does nor expects anything", i+1, step.At)
		}
		s.Steps = append(s.Steps, step)
	}
	slices.SortStableFunc(s.Steps, func(a, b Step) int { return int(a.At - b.At) })
	return s, s.rehearse()
}

// rehearse gives the orders to a plant of its own, so that a mistake in one of
// them is told before anything is waited for.
func (s *Script) rehearse() error {
	plant, err := s.plant()
	if err != nil {
		return err
	}
	for _, step := range s.Steps {
		plant.Advance(step.At)
		for _, words := range step.Do {
			_, daemon, err := awayBy(words)
			if !daemon {
				err = order(plant, words)
			}
			if err != nil {
				return fmt.Errorf("at %v: %q: %w", step.At, words, err)
			}
		}
	}
	return nil
}

// plant is the house of the script at its start.
func (s *Script) plant() (*bench.Plant, error) {
	plant, err := bench.New(s.Site, bench.Options{Start: s.Start, TankC: s.TankC, People: household.Nobody{}, Sky: bench.Sky{AirC: 15}, Seed: 1})
	if err != nil {
		return nil, err
	}
	for _, words := range s.Begin {
		if err := order(plant, words); err != nil {
			return nil, fmt.Errorf("begin: %q: %w", words, err)
		}
	}
	return plant, nil
}

// order gives an order to a plant with its simulated board.
func order(plant *bench.Plant, words string) error {
	if bench.TouchesBoard(words) {
		_, err := plant.OrderBoard(words)
		return err
	}
	_, err := plant.Order(words)
	return err
}

// away is what an order makes of the daemon.
type away struct {
	dies bool          // killed; else it ends as by an end signal
	span time.Duration // until it is started again
}

// startedAfter is how long the service manager takes to start the daemon anew
// (RestartSec of its unit).
const startedAfter = 2 * time.Second

// awayBy reads "daemon restarts" and "daemon dies", maybe "for 5m"; other orders are
// about something else.
func awayBy(words string) (a away, daemon bool, err error) {
	what, daemon := strings.CutPrefix(strings.TrimSpace(words), "daemon ")
	if !daemon {
		return away{}, false, nil
	}
	if rest, restarts := strings.CutPrefix(what, "restarts"); restarts {
		a.span, err = bench.AwayFor(rest, startedAfter)
	} else {
		a.dies = true
		a.span, err = bench.DiesFor(what, startedAfter)
	}
	if err != nil {
		return away{}, true, fmt.Errorf("%w; write daemon restarts, or daemon dies for 5m", err)
	}
	return a, true, nil
}

// plain says where in a file the library has stumbled.
func plain(err error) error {
	if strict, unknown := errors.AsType[*toml.StrictMissingError](err); unknown {
		first := &strict.Errors[0]
		row, _ := first.Position()
		return fmt.Errorf("line %d: the key %q is not known", row, strings.Join(first.Key(), "."))
	}
	if wrong, ours := errors.AsType[*toml.DecodeError](err); ours {
		row, _ := wrong.Position()
		return fmt.Errorf("line %d: %s", row, strings.TrimPrefix(wrong.Error(), "toml: "))
	}
	return err
}
