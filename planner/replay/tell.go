package replay

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"sunstoker/control"
	"sunstoker/planner"
	"sunstoker/planner/explain"
	"sunstoker/planner/paper"
	"sunstoker/site"
)

// teller writes what came of a replay.
type teller struct {
	paper.Sheet
	site, changed *site.Site
	record        *Record
	now, other    *Course
	twins         [2]planner.Month
	plants        []fittedPlant // of the systems; none when nothing was fitted
}

const clockForm = "2 January 2006 15:04"

func (t *teller) tell(set []string) {
	zone := t.site.Zone
	t.Say(0, "%s: what other settings would have done", t.site.Name)
	t.Row("from", 12, "%s to %s, %d minutes that were watched", t.record.begin().In(zone).Format(clockForm), t.record.end().In(zone).Format(clockForm), t.record.minutes())
	t.Row("with", 12, "%s", strings.Join(set, ", "))
	t.Heading("Decided anew on the recorded readings")
	for i := range t.site.Plan.Outputs {
		t.output(i)
	}
	t.differences()
	t.Heading("How far to trust it")
	t.trust()
	t.plantRows()
	t.Heading("A simulated twin in the same month, which answers to what is decided")
	t.twinRows()
}

// name is an output as a person says it.
func (t *teller) name(output int) string {
	o := t.site.Plan.Outputs[output]
	if len(t.site.Systems) > 1 {
		return o.Actuator.Words() + " of " + t.site.Systems[o.System].Name
	}
	return o.Actuator.Words()
}

// powerW is an output's electric power at full; 0 where it is not known.
func (t *teller) powerW(output int) float64 {
	o := t.site.Plan.Outputs[output]
	s := &t.site.Systems[o.System]
	switch o.Actuator {
	case control.BackupHeater:
		return s.Heater.PowerW
	case control.LoopPump:
		return s.PumpW
	case control.HotWaterCirculation:
		return s.CirculationW
	}
	return 0
}

func (t *teller) output(i int) {
	o := &t.site.Plan.Outputs[i]
	words := func(u use) string {
		text := fmt.Sprintf("%.1f h, %s", u.hours, starts(u.starts))
		if w := t.powerW(i); w > 0 {
			text += fmt.Sprintf(", %.2f kWh", u.hours*w/1000)
		}
		return text
	}
	t.Say(2, "%s", t.name(i))
	t.Say(4, "as it is: %s", words(useOf(o, t.now.levels[i])))
	t.Say(4, "so: %s", words(useOf(o, t.other.levels[i])))
}

func starts(n int) string {
	if n == 1 {
		return "1 start"
	}
	return fmt.Sprintf("%d starts", n)
}

// mostDifferences is how many differences are told one by one.
const mostDifferences = 12

func (t *teller) differences() {
	var all []difference
	for i := range t.site.Plan.Outputs {
		all = append(all, differences(t.record, &t.site.Plan.Outputs[i], i, t.now, t.other)...)
	}
	slices.SortStableFunc(all, func(a, b difference) int { return a.from.Compare(b.from) })
	t.Heading("What would have been switched otherwise")
	if len(all) == 0 {
		t.Say(2, "Nothing: the controller would have done the same.")
		return
	}
	for i := range all[:min(len(all), mostDifferences)] {
		d := &all[i]
		from, to := d.from.In(t.site.Zone), d.to.In(t.site.Zone)
		end := to.Format("15:04")
		if to.YearDay() != from.YearDay() {
			end = to.Format(clockForm)
		}
		t.Say(2, "%s to %s, %s: %s (%s): %s.", from.Format(clockForm), end, t.name(d.output),
			explain.StateWords(t.site.Plan.Outputs[d.output].Actuator.String(), d.level), d.rank, d.says)
	}
	if more := len(all) - mostDifferences; more > 0 {
		t.Say(2, "And %d times more.", more)
	}
}

func (t *teller) trust() {
	for i := range t.site.Plan.Outputs {
		share := agreement(&t.site.Plan.Outputs[i], t.record.levels[i], t.now.levels[i])
		if math.IsNaN(share) {
			t.Say(2, "%s: what it really did is not in the record.", t.name(i))
			continue
		}
		t.Say(2, "%s: with the present settings the replay does what was really done in %.1f %% of the minutes.", t.name(i), 100*share)
	}
	t.Say(2, "Recorded readings do not answer to what is decided anew: a tank that would have been heated stays as cold in them as it was, and a collector that was pumped as cool. They are means of minutes; what people asked for by hand is not among them, settings may have been others then, and the controller begins without its memory. So read when it would have switched, not how warm the water would have been.")
}

func (t *teller) twinRows() {
	now, other := &t.twins[0], &t.twins[1]
	row := func(what, unit string, of func(*planner.Month) float64) {
		t.Row(what, 46, "%.1f %s as it is, %.1f %s so", of(now), unit, of(other), unit)
	}
	row("heat from the sun", "kWh", func(m *planner.Month) float64 { return m.FromSunKWh })
	row("heat from the meter", "kWh", func(m *planner.Month) float64 { return m.FromMeterKWh })
	row("electricity of the pumps", "kWh", func(m *planner.Month) float64 { return m.PumpKWh + m.CirculationPumpKWh })
	row("share of the wanted heat that came too cold", "%", func(m *planner.Month) float64 { return 100 * m.ShortKWh / cmp.Or(m.AskedKWh, 1) })
	row("collectors above the boiling point", "h", func(m *planner.Month) float64 { return m.StagnationHours })
	if now.CutOutHours > 0 || other.CutOutHours > 0 {
		row("heaters gone since their cut-outs opened", "h", func(m *planner.Month) float64 { return m.CutOutHours })
		t.Say(2, "The sun opens a heater's cut-out in the twin, which stays open until somebody resets it: that is why so little comes from the meter, and so much comes too cold.")
	}
	plant := "the plant as the site file describes it, with usual figures for what that leaves open"
	if t.anyTold() {
		plant = "the plant with the figures fitted above, and else as the site file describes it"
	}
	t.Say(2, "The twin is %s. It lives through %s with people and weather that are made up or out of a file, not with those of the record: read the difference, not the figures.", plant, now.Start.In(t.site.Zone).Format("January 2006"))
}

// anyTold tells whether the record has told any figure of the twin.
func (t *teller) anyTold() bool {
	return slices.ContainsFunc(t.plants, func(p fittedPlant) bool {
		return slices.ContainsFunc(p.figures, func(f Fitted) bool { return f.Told() })
	})
}

// plantRows tells what was fitted.
func (t *teller) plantRows() {
	if len(t.plants) == 0 {
		return
	}
	t.Heading("The plant, fitted to the record")
	for i := range t.plants {
		p := &t.plants[i]
		t.Say(2, "%s", t.site.Systems[i].Name)
		if p.why != nil {
			t.Say(4, "It can't be fitted: %v.", p.why)
			continue
		}
		var keys []string
		for k := range p.figures {
			t.Say(4, "%s: %s", p.figures[k].Name, p.figures[k].words())
			if p.figures[k].Told() {
				keys = append(keys, p.figures[k].keyWords())
			}
		}
		if t.site.Systems[i].Store == site.LoopFluid {
			t.Say(4, "coil of the drinking water: it shows while somebody draws, which is not measured; as assumed")
		}
		if len(keys) > 0 {
			t.Say(4, "To plan by what the record tells, and to have the tank's heat booked by it, write into the site file:")
			for _, key := range keys {
				t.Say(6, "%s", key)
			}
		}
	}
	t.untold()
	if t.anyTold() {
		t.giveOrTake()
	}
}

// untold tells why a figure is left as assumed, and what would help.
func (t *teller) untold() {
	figures, silent := 0, 0
	for _, p := range t.plants {
		for k := range p.figures {
			figures++
			if !p.figures[k].Told() {
				silent++
			}
		}
	}
	switch {
	case silent == 0:
		return
	case silent == figures:
		t.Say(2, "A record that tells nothing was most likely held against other weather than it had: see whether the file given with --weather is of this place and of these days.")
	}
	t.Say(2, "A figure is told when its give or take is at most %.1f %% of it. More days tell more, sunny ones most of all, as does weather that was measured near the house; the coil shows only while the loop runs.", 100*doubtful)
}

func (t *teller) giveOrTake() {
	t.Say(2, "Give or take is the standard error: how far the figure moves when a day of the record is left out, no less than what scatters allows, and at least 5 %% of it, since no plant is quite like its model. The truth may lie twice as far off. It knows nothing of probes that are wrong, nor of weather that was another on the roof than in the file, which goes into the collector's figures one to one.")
}
