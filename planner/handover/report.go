package handover

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"sunstoker/control"
	"sunstoker/site"
)

// WriteReport writes the report of a hand-over to a file, and the record as JSON
// beside it, under the same name with the ending ".json".
func WriteReport(file string, s *site.Site, r *Record, version string) error {
	record, err := r.Write()
	if err != nil {
		return err
	}
	out, err := os.Create(file)
	if err != nil {
		return fmt.Errorf("the report can't be written: %w", err)
	}
	if err := errors.Join(Report(out, s, r, version), out.Close()); err != nil {
		return err
	}
	return os.WriteFile(strings.TrimSuffix(file, ".html")+".json", append(record, '\n'), 0o644)
}

// Report writes the report of a hand-over: one file, without scripts, to be printed.
func Report(w io.Writer, s *site.Site, r *Record, version string) error {
	v := &view{site: s, record: r, version: version}
	for _, step := range Steps(s) {
		v.take(&step)
	}
	return v.write(w)
}

// view is all that the report shows.
type view struct {
	site    *site.Site
	record  *Record
	version string

	installer, owner, day, remarks string

	counts [len(outcomeWords)]int
	toDo   []line // all that is not in order
	groups []group
	photos []Photo
}

// line is a step with its answer.
type line struct {
	step   Step
	answer Answer
	zone   *time.Location
}

// asked is the question where an answer says nothing without it.
func (l line) asked() string {
	if l.step.Form == Confirm && l.answer.Outcome != Unanswered {
		return l.step.Ask
	}
	return ""
}

// words are what was said and seen.
func (l line) words() string {
	said := l.answer.Said
	switch {
	case l.step.Form.Live() && l.step.Form != Switch && l.answer.Outcome != Skipped:
		said = "" // "now"
	case said != "" && l.answer.Seen != "" && !strings.HasSuffix(said, "."):
		said += "."
	}
	return strings.TrimSpace(said + " " + l.answer.Seen)
}

// time is when it was answered, on the clock of the house; empty when that was not
// set.
func (l line) time() string {
	if l.answer.At.IsZero() {
		return ""
	}
	return l.answer.At.In(l.zone).Format("2006-01-02 15:04")
}

// group is the steps under a heading.
type group struct {
	title string
	lines []line
}

// take sorts a step in.
func (v *view) take(step *Step) {
	l := line{*step, v.record.Of(step), v.site.Zone}
	if l.answer.Outcome == Done {
		switch step.Key {
		case installerKey:
			v.installer = l.answer.Said
		case ownerKey:
			v.owner = l.answer.Said
		case dateKey:
			v.day = l.answer.Said
		case remarksKey:
			v.remarks = l.answer.Said
		}
		v.photos = append(v.photos, l.answer.Photos...)
	}
	if step.Group == groupPeople || step.Form == Sign || step.Key == remarksKey || step.Key == photosKey {
		return
	}
	v.counts[l.answer.Outcome]++
	if l.answer.Outcome != Done {
		v.toDo = append(v.toDo, l)
	}
	for i := range v.groups {
		if v.groups[i].title == step.Group {
			v.groups[i].lines = append(v.groups[i].lines, l)
			return
		}
	}
	v.groups = append(v.groups, group{step.Group, []line{l}})
}

// owned names a part by its system, where there are several.
func (v *view) owned(system int, words string) string {
	if system == control.House || len(v.site.Systems) == 1 {
		return words
	}
	return v.site.Systems[system].Name + " " + words
}

func place(s *site.Site) string {
	return fmt.Sprintf("%g° latitude, %g° longitude, %g m above the sea; coldest night %g °C", s.LatitudeDeg, s.LongitudeDeg, s.AltitudeM, s.ColdestC)
}

// cautions are those that an owner must not miss.
var cautions = []string{
	"Scalding: the sun heats the tank far above what skin bears. Water of 60 °C burns an adult within seconds, a child sooner. The tempering valve is measured at the tap once a year.",
	"Steam and pressure: collectors in the sun without flow boil. Never open, fill or vent the loop in the sun; stay away from discharge pipes; never plug or shut a relief valve.",
	"Mains voltage: covers stay closed. Heater, contactor and their wiring are for a qualified electrician. When the residual-current device or the cut-out trips, leave it off until the cause is found.",
	"Fill before power: switch the heater off at its isolator before the tank is drained, and on again only when it is full.",
	"Legionella: water between 25 and 45 °C lets it grow. How the water is kept safe is for somebody to decide who answers for it under the local code.",
	"Frost: antifreeze or draining protects, a pump does not: its bursts of the tank's warmth near the freezing point are a last resort and no replacement. Have the fluid measured once a year and after every refill.",
	"Roof: a fall can kill. Work with fall protection, in dry and calm weather, not alone.",
	"The program is no safety device. This report tells what persons said and what the program saw on the day; it is no acceptance under a code. To stop heater or pump for sure, use the isolator, not a screen.",
}
