package handover

import (
	_ "embed"
	"errors"
	"fmt"
	"html/template"
	"io"
	"os"
	"strings"
	"sync"
	"time"

	"sunstoker/control"
	"sunstoker/site"
)

//go:embed report.html
var reportText string

// The template is parsed when the first report is written: the daemon needs none.
var reportTemplate = sync.OnceValues(func() (*template.Template, error) {
	return template.New("report").Parse(reportText)
})

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
	t, err := reportTemplate()
	if err != nil {
		return err
	}
	v := &view{Site: s, Record: r, Version: version, Bars: r.Bars(s), Signed: r.IsSigned(), Cautions: cautions, Place: place(s)}
	for _, step := range Steps(s) {
		v.take(&step)
	}
	v.settings()
	for i := range s.Outputs {
		v.Wiring = append(v.Wiring, row{v.owned(s.Outputs[i].System, s.Outputs[i].Actuator.Words()), WiringOf(s, i)})
	}
	for _, p := range s.Probes {
		v.Wiring = append(v.Wiring, row{v.owned(p.System, p.Place.Words()) + " probe", p.Where()})
	}
	return t.Execute(w, v)
}

// view is all that the report shows.
type view struct {
	Site      *site.Site
	Record    *Record
	Version   string
	Place     string
	Installer string
	Owner     string
	Day       string
	Remarks   string
	Signed    bool
	Bars      []string
	Counts    [len(outcomeWords)]int
	ToDo      []line // wrong, not proven, left out, open: in this order of urgency
	Groups    []group
	Settings  []row
	Wiring    []row
	Photos    []Photo
	Cautions  []string
}

// line is a step with its answer.
type line struct {
	Step   Step
	Answer Answer
	zone   *time.Location
}

// Asked is the question where an answer says nothing without it.
func (l line) Asked() string {
	if l.Step.Form == Confirm && l.Answer.Outcome != Unanswered {
		return l.Step.Ask
	}
	return ""
}

// Words are what was said and seen.
func (l line) Words() string {
	said := l.Answer.Said
	switch {
	case l.Step.Form.Live() && l.Step.Form != Switch && l.Answer.Outcome != Skipped:
		said = "" // "now"
	case said != "" && l.Answer.Seen != "" && !strings.HasSuffix(said, "."):
		said += "."
	}
	return strings.TrimSpace(said + " " + l.Answer.Seen)
}

// Time is when it was answered, on the clock of the house; empty when that was not
// set.
func (l line) Time() string {
	if l.Answer.At.IsZero() {
		return ""
	}
	return l.Answer.At.In(l.zone).Format("2006-01-02 15:04")
}

// Mark says how a line looks; it stands beside the words, never alone.
func (l line) Mark() string {
	return [...]string{"open", "good", "doubt", "doubt", "wrong"}[l.Answer.Outcome]
}

// group is the steps under a heading.
type group struct {
	Title string
	Lines []line
}

type row struct{ Name, Value string }

// take sorts a step in.
func (v *view) take(step *Step) {
	l := line{*step, v.Record.Of(step), v.Site.Zone}
	if l.Answer.Outcome == Done {
		switch step.Key {
		case installerKey:
			v.Installer = l.Answer.Said
		case ownerKey:
			v.Owner = l.Answer.Said
		case dateKey:
			v.Day = l.Answer.Said
		case remarksKey:
			v.Remarks = l.Answer.Said
		}
		v.Photos = append(v.Photos, l.Answer.Photos...)
	}
	if step.Group == groupPeople || step.Form == Sign || step.Key == remarksKey || step.Key == photosKey {
		return
	}
	v.Counts[l.Answer.Outcome]++
	if l.Answer.Outcome != Done {
		v.ToDo = append(v.ToDo, l)
	}
	for i := range v.Groups {
		if v.Groups[i].Title == step.Group {
			v.Groups[i].Lines = append(v.Groups[i].Lines, l)
			return
		}
	}
	v.Groups = append(v.Groups, group{step.Group, []line{l}})
}

// owned names a part by its system, where there are several.
func (v *view) owned(system int, words string) string {
	if system == control.House || len(v.Site.Systems) == 1 {
		return words
	}
	return v.Site.Systems[system].Name + " " + words
}

// settings lists all settings of the house, and of a system what differs.
func (v *view) settings() {
	for _, setting := range control.SettingsTable() {
		house := setting.Text(&v.Site.Settings)
		v.Settings = append(v.Settings, row{setting.Name, house})
		for i := range v.Site.Systems {
			if own := setting.Text(&v.Site.Systems[i].Settings); own != house {
				v.Settings = append(v.Settings, row{v.Site.Systems[i].Name + ": " + setting.Name, own})
			}
		}
	}
}

// InOrder is how many steps are in order.
func (v *view) InOrder() int { return v.Counts[Done] }

// Wrong is how many steps found something wrong.
func (v *view) Wrong() int { return v.Counts[Fault] }

// Doubtful is how many steps are not proven.
func (v *view) Doubtful() int { return v.Counts[NotProven] }

// Open is how many steps were left out or not answered.
func (v *view) Open() int { return v.Counts[Skipped] + v.Counts[Unanswered] }

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
	"Frost: antifreeze or draining protects, a pump does not. Have the fluid measured once a year and after every refill.",
	"Roof: a fall can kill. Work with fall protection, in dry and calm weather, not alone.",
	"The program is no safety device. This report tells what persons said and what the program saw on the day; it is no acceptance under a code. To stop heater or pump for sure, use the isolator, not a screen.",
}
