package explain

import (
	"io"
	"math"

	"sunstoker/control"
	"sunstoker/planner/paper"
	"sunstoker/site"
)

// Present is a site with what counts of its settings.
type Present struct {
	File    *site.Site // as the file describes it
	Now     *site.Site // with what people have changed since
	Unknown error      // why it is not known what was changed; nil when it is
}

// Setting tells what a setting means, which values it takes, and its default. With
// a site it tells what counts there, and what stands in the way of moving it.
func Setting(n Name, p *Present, to io.Writer) error {
	var out paper.Sheet
	row := n.setting
	out.Say(0, "%s", row.Meaning)
	out.Row("setting", column, "%s", row.Name)
	out.Row("belongs to", column, "%s", row.Group)
	out.Row("unit", column, "%s", unitWords(row))
	out.Row("allowed", column, "%s", row.Allowed())
	out.Row("default", column, "%s", row.DefaultText())
	if p != nil {
		out.Heading("In %s", p.File.Name)
		if p.Unknown != nil {
			out.Say(2, "The values are those of the site file: %v", p.Unknown)
		}
		for system := control.House; system < len(p.Now.Plan.Systems); system++ {
			tellPresent(&out, row, p, system)
		}
	}
	return out.Write(to)
}

func unitWords(row *control.Setting) string {
	switch {
	case row.IsWindows():
		return "times of the day, local civil time"
	case row.Unit.String() == "":
		return row.Unit.Measures()
	}
	return row.Unit.String() + ", " + row.Unit.Measures()
}

// settingsOf gives the settings of a system, or of the house.
func settingsOf(s *site.Site, system int) *control.Settings {
	if system == control.House {
		return &s.Plan.Settings
	}
	return &s.Plan.Systems[system].Settings
}

func tellPresent(out *paper.Sheet, row *control.Setting, p *Present, system int) {
	now, file := row.Text(settingsOf(p.Now, system)), row.Text(settingsOf(p.File, system))
	name := "the house"
	if system != control.House {
		name = p.Now.Plan.Systems[system].Name
	}
	from := "as the site file says"
	switch {
	case now != file:
		from = "changed on the running program; the site file says " + file
	case now == row.DefaultText():
		from = "the default"
	}
	out.Row(name, column, "%s, %s", now, from)
	if system == control.House || row.IsWindows() {
		return
	}
	tellMoved(out, row, p.Now, system, "lower", row.Min)
	tellMoved(out, row, p.Now, system, "higher", row.Max)
}

// tellMoved tells how far a setting can go one way while all others stay, and what
// the checks of a site file say of the next step.
func tellMoved(out *paper.Sheet, row *control.Setting, s *site.Site, system int, way string, limit float64) {
	here, err := row.Unit.Parse(row.Text(settingsOf(s, system)))
	if err == nil {
		err = tried(row, s, system, here)
	}
	switch {
	case err != nil:
		out.Say(column, "%s: can't be tried out: %s", way, site.Refusal(err))
	case here == limit:
		out.Say(column, "%s: it is as far as it goes", way)
	case tried(row, s, system, limit) == nil:
		out.Say(column, "%s: possible as far as %s", way, row.Unit.Format(limit))
	default:
		good := farthest(row.Unit, here, limit, func(v float64) bool { return tried(row, s, system, v) == nil })
		next := good + math.Copysign(finest(row.Unit), limit-here)
		out.Say(column, "%s: possible as far as %s; %s would be refused: %s", way,
			row.Unit.Format(tidy(row.Unit, good)), row.Unit.Format(tidy(row.Unit, next)), site.Refusal(tried(row, s, system, tidy(row.Unit, next))))
	}
}

// finest is the step in which it is told how far a setting can go.
func finest(u control.Unit) float64 {
	if u == control.Second {
		return 1
	}
	return 0.1
}

func tidy(u control.Unit, v float64) float64 {
	return math.Round(v/finest(u)) / math.Round(1/finest(u))
}

// farthest is the last value, in finest steps, that is good on the way from a good
// one to a bad one.
func farthest(u control.Unit, good, bad float64, is func(float64) bool) float64 {
	step := math.Copysign(finest(u), bad-good)
	low, high := 0, int(math.Ceil((bad-good)/step))
	for high-low > 1 {
		middle := (low + high) / 2
		if is(tidy(u, good+float64(middle)*step)) {
			low = middle
		} else {
			high = middle
		}
	}
	return tidy(u, good+float64(low)*step)
}

// tried holds a site with another value of a setting to all checks of a site file.
func tried(row *control.Setting, s *site.Site, system int, v float64) error {
	_, err := s.With(site.SetSetting(system, row.Name, row.Unit.Format(v)))
	return err
}
