package survey

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"log/slog"
	"slices"
	"strings"
	"time"

	"sunstoker/control"
	"sunstoker/sensors"
	"sunstoker/site"
	"sunstoker/station"
)

// Options describe a survey.
type Options struct {
	Site   *site.Site // nil: whatever can be found
	Text   []byte     // of the site's file
	Folder string     // of the 1-wire tree when there is no site; the kernel's when empty
	Device string     // folder of the kernel's devices; /dev when empty
	In     io.Reader  // lines typed by the installer; nil for none
	Out    io.Writer
	Redraw bool // Out is a terminal: the list stays in its place
	Log    *slog.Logger
	Build  station.BuildOptions
}

// beat is the time from one list to the next, that of a bus's pass.
const beat = 2 * time.Second

// Survey shows the list again and again until the context ends, and then gives
// what was found out about probes, as edits of a site file. The end of In ends
// nothing.
func Survey(ctx context.Context, clock station.Clock, o Options) ([]site.Edit, error) {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	s := &session{surveyed: surveyed{options: o, clock: clock}, out: &screen{to: o.Out, redraw: o.Redraw}}
	if err := s.openOthers(ctx); err != nil {
		return nil, err
	}
	if o.Site == nil {
		s.notes = append(s.notes, otherBuses(o.Device)...)
	}
	s.out.say("Type a place, such as tank_top, warm its probe in the hand, and it is named. Ctrl-C ends.")
	typed := lines(ctx, o.In)
	member := clock.Join("the survey", station.TickTurn)
	defer member.Leave()
	for at := member.Now(); ; at += beat {
		if err := s.lookAtTree(ctx); err != nil {
			return nil, err
		}
		s.read(typed)
		s.search(member.Now())
		s.show(member.Now())
		if member.Wait(ctx, at+beat) != nil {
			return s.edits(), nil
		}
	}
}

// session is a survey with what the installer has asked for.
type session struct {
	surveyed
	out      *screen
	wanted   *control.Probe // place that is looked for; nil when none is
	finder   Finder
	begun    time.Duration
	doubtful bool // several warm, and that was said
	assigned []assignment
}

// assignment is a probe that was found to be at a place.
type assignment struct {
	to control.Probe
	point
}

// lines gives what is typed, line by line.
func lines(ctx context.Context, in io.Reader) <-chan string {
	typed := make(chan string, 16)
	if in == nil {
		return typed
	}
	go EachLine(ctx, in, typed) // a read that blocks is left behind when the program ends
	return typed
}

// EachLine hands on line by line what is typed, until its end or that of the context.
func EachLine(ctx context.Context, in io.Reader, typed chan<- string) {
	for scan := bufio.NewScanner(in); scan.Scan(); {
		select {
		case typed <- scan.Text():
		case <-ctx.Done():
			return
		}
	}
}

// read takes up the newest place that was typed.
func (s *session) read(typed <-chan string) {
	for {
		select {
		case line := <-typed:
			s.out.typed()
			if line = strings.TrimSpace(line); line == "" {
				continue
			}
			at, err := s.placeOf(line)
			if err != nil {
				s.out.say(err.Error())
				continue
			}
			s.wanted, s.finder, s.doubtful, s.begun = &at, Finder{}, false, s.clock.Now()
			s.out.say("Hold the probe of the " + s.words(at) + " in the hand now, and no other.")
		default:
			return
		}
	}
}

// placeOf reads "tank_top" or "tank top", after the system's name where there are
// several systems.
func (s *session) placeOf(text string) (control.Probe, error) {
	plain := func(name string) string { return strings.ToLower(strings.ReplaceAll(name, "_", " ")) }
	text = plain(text)
	var names []string
	for _, place := range control.Places() {
		if place.Unit() != control.Celsius {
			continue
		}
		names = append(names, place.String())
		system, fits := strings.CutSuffix(text, place.Words())
		system = strings.TrimSpace(system)
		if !fits {
			continue
		}
		switch {
		case place.OfHouse() && system == "":
			return control.Probe{System: control.House, Place: place}, nil
		case system == "" && (s.options.Site == nil || len(s.options.Site.Systems) == 1):
			return control.Probe{Place: place}, nil
		case s.options.Site == nil:
			continue // circulation return ends as coil return does not, but a name may
		}
		for i := range s.options.Site.Systems {
			if plain(s.options.Site.Systems[i].Name) == system {
				return control.Probe{System: i, Place: place}, nil
			}
		}
		return control.Probe{}, fmt.Errorf("the house has several systems; write the name of one first, such as %s %s", s.options.Site.Systems[0].Name, place)
	}
	return control.Probe{}, fmt.Errorf("%q is no place of a thermometer; write one of %s", text, strings.Join(names, ", "))
}

func (s *session) words(p control.Probe) string {
	words := p.Place.Words()
	if s.options.Site != nil && len(s.options.Site.Systems) > 1 && p.System >= 0 {
		words += " of " + s.options.Site.Systems[p.System].Name
	}
	return words
}

// patience is how long the hand has.
const patience = 2 * time.Minute

// search looks whether the probe in the hand can be told.
func (s *session) search(now time.Duration) {
	if s.wanted == nil {
		return
	}
	given := func(p point) bool {
		return slices.ContainsFunc(s.assigned, func(a assignment) bool { return a.where == p.where && a.to != *s.wanted })
	}
	values := s.temperatures(given)
	name, verdict := s.finder.Look(values)
	switch {
	case verdict == Found:
		s.assign(name)
	case verdict == Several && !s.doubtful:
		s.doubtful = true
		s.out.say("Several probes get warm alike: hold one alone, out of sun and draught, and type the place again.")
	case now-s.begun > patience:
		s.wanted = nil
		s.out.say(nothingWarmed(values))
	}
}

func nothingWarmed(values map[string]float64) string {
	text := "No probe got warm: the one in the hand is not on a bus that is read, or it gives no value; look at the list."
	for _, v := range values {
		if v > HandWarmC {
			return text + fmt.Sprintf(" A probe above some %d °C does not warm in a hand: take it out of its pocket and let it cool first.", HandWarmC)
		}
	}
	return text
}

func (s *session) assign(where string) {
	to := *s.wanted
	s.wanted = nil
	for _, p := range s.points() {
		if p.where != where {
			continue
		}
		a := assignment{to, p}
		s.assigned = append(slices.DeleteFunc(s.assigned, func(old assignment) bool { return old.to == to }), a)
		s.out.say(fmt.Sprintf("The %s is %s. In the site file:\n\n%s", s.words(to), where, a.edit().Text()))
	}
}

func (a assignment) edit() site.Edit { return site.RewireProbe(a.to, a.lines...) }

// edits are what was found out. A point that is not of 1-wire brings its keys
// from where the file has it now.
func (s *session) edits() (edits []site.Edit) {
	for _, a := range s.assigned {
		edits = append(edits, a.edit())
	}
	return edits
}

// show writes the list.
func (s *session) show(now time.Duration) {
	list := []string{fmt.Sprintf("%-40s %12s  %-20s %s", "WHERE", "VALUE", "PLACE", "QUALITY AND RAW BYTES")}
	for _, p := range s.points() {
		list = append(list, s.row(p, now))
	}
	for _, part := range s.parts {
		if !part.Readable {
			list = append(list, fmt.Sprintf("%-40s %12s  %-20s %s", oneWire+part.Identity, "", "", part.Family))
		}
	}
	if s.treeBad != nil {
		list = append(list, "1-wire: "+s.treeBad.Error())
	}
	list = append(list, s.notes...)
	list = append(list, s.stuck(now)...)
	if len(s.points()) == 0 && s.treeBad == nil {
		list = append(list, "No probe that could be read: check plug, cable, supply and pull-up resistor.")
	}
	s.out.list(list)
}

func (s *session) row(p point, now time.Duration) string {
	value, quality := "", p.remark
	if p.probe != nil {
		sample := p.probe.Latest()
		value, quality = p.unit.Format(sample.Value), "good"
		if sample.Fault != nil {
			value, quality = "none", sample.Fault.Error()
		}
		if age := now - sample.Taken; !sample.Never && age > 5*beat {
			quality += fmt.Sprintf(", %.0f s old", age.Seconds())
		}
		if sample.Raw != "" {
			quality += "  [" + sample.Raw + "]"
		}
	}
	return strings.TrimRight(fmt.Sprintf("%-40s %12s  %-20s %s%s", p.where, value, s.placeWords(p), quality, doubt(s.parts, p)), " ")
}

// doubt tells of an identity that the maker would not give.
func doubt(parts []sensors.Part, p point) string {
	for _, part := range parts {
		if p.where == oneWire+part.Identity && part.Readable && !part.GenuinePattern {
			return "  (its identity is not of the maker's form: maybe a counterfeit, check it in ice water)"
		}
	}
	return ""
}

// placeWords says where a point is, by what was found out or else by the file.
func (s *session) placeWords(p point) string {
	for _, a := range s.assigned {
		if a.where == p.where {
			return s.words(a.to) + " (found)"
		}
	}
	if p.wired >= 0 {
		return s.words(s.options.Site.Probes[p.wired].Probe)
	}
	return ""
}
