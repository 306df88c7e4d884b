package dashboard

import (
	"time"

	"sunstoker/control"
	"sunstoker/station/tick"
)

// NowOf turns a tick into what the JSON interface shows.
func NowOf(t *tick.Tick) Now {
	plan := t.House.Plan
	zone := zoneOf(plan)
	sunUp, sunRises := daylight(plan, t.Wall)
	n := Now{
		Site: t.House.Name, Version: t.House.Version, Tick: t.Number,
		Wall: Wall{
			Local: t.Wall.Time.In(zone).Round(0), Zone: zone.String(), Trusted: t.Wall.Trusted,
			SunUp: sunUp.String(), SunRises: orNull(sunRises),
		},
		UpSeconds: t.At.Seconds(), ServiceSeconds: t.Service.Seconds(),
		LateSeconds: t.Late.Seconds(), TookSeconds: t.Took.Seconds(),
		Servicing: t.Servicing, HolidaySeconds: t.HolidayLeft.Seconds(),
		Readings: readingsOf(t, control.House),
		Systems:  make([]System, 0, len(plan.Systems)),
		Findings: make([]Finding, 0, len(t.Findings)),

		ForecastTrouble: t.ForecastTrouble,
	}
	for i := range plan.Systems {
		n.Systems = append(n.Systems, systemOf(t, i, n.Wall))
	}
	for i := range t.Findings {
		n.Findings = append(n.Findings, findingOf(&t.Findings[i], plan))
	}
	return n
}

func zoneOf(plan *control.Plan) *time.Location {
	if plan.Zone == nil {
		return time.UTC
	}
	return plan.Zone
}

func systemOf(t *tick.Tick, i int, wall Wall) System {
	s := &t.House.Plan.Systems[i]
	loop := "pumped"
	if s.Loop == control.Natural {
		loop = "natural"
	}
	store := "drinking water"
	if s.LoopFluidStore {
		store = "loop fluid"
	}
	sun, meter := heatSources(t, i)
	out := System{
		Name: s.Name, Loop: loop, Store: store, HeaterPowerW: finite(s.HeaterW), TankLimitC: finite(s.Settings.TankLimitC),
		HeatFromSun: sun.String(), HeatFromMeter: meter.String(),
		TapC: finite(s.Settings.TapC), HeaterOpens: orNull(heaterOpens(s, wall)), Readings: readingsOf(t, i), Outputs: outputsOf(t, i),
	}
	if i < len(t.Systems) {
		if litres := t.Systems[i].HotLitres; litres >= 0 {
			out.HotLitres = &litres
		}
		out.BoostSeconds = t.Systems[i].BoostLeft.Seconds()
		if interval := s.Settings.HygieneInterval; interval > 0 {
			due := max(0, interval-t.Systems[i].HygieneSince).Seconds()
			out.HygieneDue = &due
		}
		out.Energy = energyOf(&t.Systems[i])
		out.Outlook = outlookOf(t.Systems[i].Outlook)
	}
	return out
}

// heaterOpens is the civil time at which the backup heater's windows next open;
// empty while one is open, when none ever is, and while the clock is not set.
func heaterOpens(s *control.System, wall Wall) string {
	if s.HeaterW == 0 || !wall.Trusted {
		return ""
	}
	return s.Settings.HeaterWindows.NextOpening(wall.Local.Hour()*60 + wall.Local.Minute())
}

// orNull is a text for JSON, where an empty one is null.
func orNull(text string) *string {
	if text == "" {
		return nil
	}
	return &text
}

func energyOf(s *tick.System) Energy {
	e := Energy{FromMeter: s.Energy.MeterJ, Pump: s.Energy.PumpJ, CirculationPump: s.Energy.CirculationPumpJ}
	if s.CountsHeat {
		heat := s.Energy
		e.FromSun, e.Drawn, e.TankLoss, e.LoopLoss = &heat.SunJ, &heat.DrawnJ, &heat.TankLossJ, &heat.LoopLossJ
	}
	if s.CountsCirculation {
		e.CirculationLoss = &s.Energy.CirculationLossJ
	}
	return e
}

func outlookOf(o *control.Outlook) *Outlook {
	if o == nil {
		return nil
	}
	out := &Outlook{
		Decides: o.Decides, LearnedDays: o.LearnedDays,
		Sun: finite(o.SunKWh) * jPerKWh, ToldRatio: finite(o.ToldShare), SunLowRatio: finite(o.SunLow), SunSeconds: o.SunSpan.Seconds(),
		Wanted: finite(o.WantedKWh) * jPerKWh, WantedSeconds: o.WantSpan.Seconds(),
	}
	if o.Starts {
		start := o.StartIn.Seconds()
		out.StartSeconds = &start
	}
	return out
}

const jPerKWh = 3.6e6

// readingsOf lists the readings of one system, or of the house.
func readingsOf(t *tick.Tick, system int) []Reading {
	list := []Reading{}
	for i, p := range t.House.Plan.Probes {
		if p.System == system && i < len(t.Readings) {
			list = append(list, readingOf(p.Place, &t.Readings[i]))
		}
	}
	return list
}

func readingOf(place control.Place, r *tick.Reading) Reading {
	out := Reading{
		Place: place.String(), Words: place.Words(), Unit: place.Unit().String(), Quality: r.Quality.String(), HeldOver: r.HeldOver,
		Fault: r.Fault, ProbeKind: r.Kind, Raw: r.Raw,
	}
	if value := r.Value; hasValue(&r.Judged) && finite(value) == value {
		age := r.Age.Seconds()
		out.Value, out.AgeSeconds = &value, &age
	}
	if r.Why != (control.Reason{}) {
		why := reasonOf(r.Why)
		out.Why = &why
	}
	return out
}

// hasValue tells whether there is a value at all, be it good, doubted or too
// old.
func hasValue(j *control.Judged) bool {
	return j.Quality != control.Missing || j.Why.Words == control.SaysTooOld
}

func outputsOf(t *tick.Tick, system int) []Output {
	list := []Output{}
	for i, o := range t.House.Plan.Outputs {
		if o.System == system && i < len(t.Outputs) {
			list = append(list, outputOf(o, &t.Outputs[i]))
		}
	}
	return list
}

func outputOf(of control.Output, o *tick.Output) Output {
	out := Output{
		Actuator: of.Actuator.String(), Words: of.Actuator.Words(), LeastRatio: finite(of.LeastLevel),
		LevelRatio: finite(o.Driven), WantedRatio: finite(o.Would),
		Rank: rankName(o.Rank), Reason: reasonOf(o.Reason), Urgent: o.Urgent,
		HeldSeconds: o.Held.Seconds(), Fault: o.Fault,
		OverrideSecondsLeft: o.Override.Left.Seconds(),
		RunSeconds:          o.On.Seconds(), Switchings: o.Switchings,
		Votes: make([]Vote, 0, len(o.Votes)),
	}
	if o.Override.Left > 0 {
		out.OverrideRatio = finite(o.Override.Level)
	}
	for i := range o.Votes {
		v := &o.Votes[i]
		out.Votes = append(out.Votes, Vote{LevelRatio: finite(v.Level), Rank: rankName(v.Rank), Reason: reasonOf(v.Reason)})
	}
	return out
}

func reasonOf(r control.Reason) Reason {
	out := Reason{Key: r.Words.Key(), Text: r.String()}
	for i, v := range r.Values {
		out.Values[i] = finite(v)
	}
	return out
}

func findingOf(f *control.Finding, plan *control.Plan) Finding {
	part, about := partOf(f)
	return Finding{
		Kind: f.Kind.String(), System: systemName(plan, f.System), Part: part, About: about,
		Urgency: urgencyName(f.Kind.Urgency()), Title: f.Kind.Title(), Evidence: reasonOf(f.Evidence),
		Likely: f.Kind.Likely(), Check: f.Kind.Check(), Detail: f.Detail, ForSeconds: f.For.Seconds(),
	}
}
