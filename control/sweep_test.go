package control

import (
	"fmt"
	"math"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// A sweep is a story that shows where the borders of the rules lie: one reading
// moves by exact steps through all of them, up and down, while the others stand,
// and the trace says at which value what has changed, and why. Sweeps lie under
// testdata/sweeps and use the orders of a story; those of this file are mostly
// theirs.

func isHeater(o Output) bool { return o.Actuator == BackupHeater }

func withProbes(places ...Place) func(*Plan) {
	return func(p *Plan) {
		for i := range p.Systems {
			for _, place := range places {
				p.Probes = append(p.Probes, Probe{i, place})
			}
		}
	}
}

func withoutProbe(place Place) func(*Plan) {
	return func(p *Plan) {
		p.Probes = slices.DeleteFunc(p.Probes, func(pr Probe) bool { return pr.Place == place })
	}
}

func TestSweeps(t *testing.T) {
	files, err := filepath.Glob("testdata/sweeps/*.txt")
	if err != nil || len(files) < 10 {
		t.Fatalf("%d sweeps, %v", len(files), err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txt"), func(t *testing.T) { holdTale(t, file) })
	}
}

// orderSweep reads "collector 20 °C to 80 °C and back by 0.5 K, 3 s each": the
// value moves by such steps, and stands for so long on each of them; ", 3 h each by
// 1 min" tells time in longer steps.
func (s *story) orderSweep(rest string) error {
	if err := s.begin(); err != nil {
		return err
	}
	probe, rest, err := s.readingNamed(rest)
	if err != nil {
		return err
	}
	unit := s.plan.Probes[probe].Place.Unit()
	way, how, _ := strings.Cut(rest, " by ")
	fromText, toText, _ := strings.Cut(way, " to ")
	toText, back := strings.CutSuffix(toText, " and back")
	byText, eachText, timed := strings.Cut(how, ", ")
	from, err := unit.Parse(fromText)
	if err != nil {
		return err
	}
	to, err := unit.Parse(toText)
	if err != nil {
		return err
	}
	if unit == Celsius {
		unit = Kelvin
	}
	by, err := unit.Parse(byText)
	if err != nil {
		return err
	}
	each, stride := time.Second, time.Second
	if timed {
		eachText, strideText, strides := strings.Cut(eachText, " each by ")
		if strides {
			if stride, err = storySpan(strideText); err != nil {
				return err
			}
		}
		if each, err = storySpan(strings.TrimSuffix(eachText, " each")); err != nil {
			return err
		}
	}
	s.sweep(probe, from, to, by, each, stride)
	if back {
		s.sweep(probe, to, from, by, each, stride)
	}
	s.marked = ""
	return nil
}

// sweep steps without flicker, so that thresholds are met exactly.
func (s *story) sweep(probe int, from, to, by float64, each, stride time.Duration) {
	if to < from {
		by = -by
	}
	s.long = false
	for n := range int(math.Round((to-from)/by)) + 1 {
		s.value[probe] = math.Round(1e6*(from+float64(n)*by)) / 1e6
		for after := stride; after <= each; after += stride {
			s.wall.Time = s.wall.Time.Add(stride)
			s.marked = s.ofSystem(s.plan.Probes[probe].System) + s.plan.Probes[probe].Place.Words() + " " + s.plan.Probes[probe].Place.Unit().Format(s.value[probe])
			if each > stride {
				s.marked += fmt.Sprintf(", after %v", after)
			}
			s.step(stride, 0)
		}
	}
}

// again reads "55 times": all orders since the last empty line are carried
// out again, and only what is found is written down.
func (s *story) again(rest string) error {
	times, err := strconv.Atoi(strings.TrimSuffix(rest, " times"))
	if err != nil {
		return err
	}
	s.terse = true
	defer func() { s.terse = false }()
	for range times {
		for _, order := range s.since {
			if err := s.do(order); err != nil {
				return err
			}
		}
	}
	return nil
}

// orderAge reads "collector 20 s": its samples come so late from now on.
func (s *story) orderAge(rest string) error {
	probe, text, err := s.readingNamed(rest)
	if err != nil {
		return err
	}
	s.age[probe], err = storySpan(text)
	return err
}

// orderSupply reads "2 kW": what the heaters may draw together, as if the site
// file had changed.
func (s *story) orderSupply(rest string) (err error) {
	if err = s.begin(); err == nil {
		s.c.plan.SupplyW, err = Watt.Parse(rest)
	}
	return err
}

// orderBoard reads "is well", "bus stuck for 10 s", "unsaved for 5 min", "history
// unwritten", "memory lost", "backup heater can't be driven": one fault of the board at a time.
func (s *story) orderBoard(rest string) error {
	if err := s.begin(); err != nil {
		return err
	}
	var b Board
	what, text, _ := strings.Cut(rest, " for ")
	length, err := time.Duration(0), error(nil)
	if text != "" {
		length, err = storySpan(text)
	}
	switch what {
	case "is well":
	case "bus stuck":
		b.StuckBus, b.StuckFor = "the bus of the test house", length
	case "unsaved":
		b.Unsaved, b.UnsavedFor = "no room", length
	case "memory lost":
		b.MemoryLost = "the file ends too early"
	case "supply sags":
		b.SupplyLow, b.SupplySags = true, 3
	case "history unwritten":
		b.Unwritten = "no room for it"
	case "storage read-only":
		b.StorageReadOnly = true
	case "watchdog asleep":
		b.Watchdog = "nobody feeds it"
	case "stranger":
		b.Stranger = "a probe that nobody knows"
	case "copied probe":
		b.ProbeNotes = []string{"", "not of the maker's pattern"}
	default:
		if text, is := strings.CutPrefix(what, "at "); is {
			b.TempC, err = Celsius.Parse(text)
			break
		}
		if text, is := strings.CutPrefix(what, "storage of "); is {
			b.StorageKnown = true
			_, err = fmt.Sscanf(text, "%g MB", &b.StorageFreeMB)
			break
		}
		output, _, unknown := s.outputNamed(what)
		if unknown != nil {
			return unknown
		}
		b.OutputFaults = make([]string, output+1)
		b.OutputFaults[output] = "held by another program"
	}
	s.c.Tell(b)
	return err
}

// orderAway reads "2 h": how long no program had run before the last start, told
// now.
func (s *story) orderAway(rest string) error {
	away, err := storySpan(rest)
	s.c.WasAway(away)
	return err
}

// orderFound writes all that is found now, in its order.
func (s *story) orderFound(string) error {
	for i := range s.out.Findings {
		f := &s.out.Findings[i]
		line := fmt.Sprintf("%s: %s: %s, for %v: %s", f.Kind.Urgency(), s.nameOf(f), f.Evidence, f.For, f.Detail)
		s.trace = append(s.trace, strings.TrimSuffix(line, ": "))
	}
	return nil
}

// orderLitres writes how much hot water is left.
func (s *story) orderLitres(string) error {
	for i := range s.plan.Systems {
		litres, ok := s.c.HotLitres(i)
		s.trace = append(s.trace, fmt.Sprintf("%shot litres: %.1f, known: %v", s.ofSystem(i), litres, ok))
	}
	return nil
}

// orderMemory writes down what the controller remembers of systems and outputs,
// "of readings", or "of signs", which are learned: all that is not zero.
func (s *story) orderMemory(rest string) error {
	st := &s.c.st
	switch rest {
	case "of readings":
		for i := range st.Probes {
			s.remember(&st.Probes[i], "signs")
		}
	case "of signs":
		s.remember(&st.House, "")
		for i := range st.Systems {
			s.remember(&st.Systems[i].Signs, "")
		}
		for i := range st.Probes {
			s.remember(&st.Probes[i].Signs, "")
		}
	default:
		for i := range st.Systems {
			s.remember(&st.Systems[i], "signs")
		}
		for i := range st.Outputs {
			s.remember(&st.Outputs[i], "")
		}
	}
	return nil
}

// remember writes down what is not zero, but for the part that is left out.
func (s *story) remember(of any, without string) {
	s.trace = append(s.trace, "memory: "+told(of, without))
}

// told lists the fields of what is pointed to that are not zero.
func told(of any, without ...string) string {
	var words []string
	eachField(reflect.ValueOf(of).Elem(), func(name string, v reflect.Value) {
		if part, _, _ := strings.Cut(name, "."); !slices.Contains(without, part) && !v.IsZero() {
			words = append(words, name+" "+plainly(v))
		}
	})
	return strings.Join(words, ", ")
}

// eachField walks the fields of a struct, and of the structs in it, by their
// JSON names.
func eachField(v reflect.Value, do func(name string, v reflect.Value)) {
	for i := range v.NumField() {
		name, _, _ := strings.Cut(v.Type().Field(i).Tag.Get("json"), ",")
		if f := v.Field(i); f.Kind() == reflect.Struct {
			eachField(f, func(inner string, v reflect.Value) { do(name+"."+inner, v) })
		} else {
			do(strings.TrimSuffix(name, "_ns"), f)
		}
	}
}

func plainly(v reflect.Value) string {
	switch x := v.Interface().(type) {
	case float64:
		return fmt.Sprintf("%.7g", x)
	default:
		return fmt.Sprint(x)
	}
}
