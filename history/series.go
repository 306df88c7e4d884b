package history

import (
	"math"

	"sunstoker/control"
	"sunstoker/station/tick"
)

// Series is one figure that is kept over time.
type Series struct {
	System string `json:"system,omitempty"` // empty for the house
	Name   string `json:"name"`             // "tank_top", "loop_pump", "hot_water", "sun_heat"
	Unit   string `json:"unit,omitempty"`   // empty for a share from 0 to 1
	// Steps is how many steps a unit is kept in: 100 for hundredths.
	Steps float64 `json:"steps"`
	// Sum says that the figure is an amount and adds up over time; else it has a
	// mean, a lowest and a highest value.
	Sum bool `json:"sum,omitempty"`
}

// key tells one series from another, whatever its unit.
type key struct{ system, name string }

func (s *Series) key() key { return key{s.System, s.Name} }

// Title is the series in one word or two, with its unit: "roof tank_top °C".
func (s *Series) Title() string {
	title := s.Name
	if s.System != "" {
		title = s.System + " " + title
	}
	if s.Unit != "" {
		title += " " + s.Unit
	}
	return title
}

// source gives a series its values out of ticks. A figure that is not known is
// NaN. Amounts are what came since the tick before, which is nil at the first.
type source struct {
	Series
	value func(t, before *tick.Tick) float64
}

// stepsOf is what the readings of a unit are kept in: finer than any probe is
// right.
func stepsOf(u control.Unit) float64 {
	if u == control.Bar || u == control.Ampere {
		return 1000
	}
	return usualSteps
}

const (
	usualSteps = 100
	shareSteps = 1000
	litreSteps = 10
	jouleSteps = 1
)

// sourcesOf lists what is kept of a house: every reading, every output's level,
// and for every system its hot water and its energy book.
func sourcesOf(t *tick.Tick) []source {
	plan := t.House.Plan
	var list []source
	for i, p := range plan.Probes {
		list = append(list, source{Series{System: systemName(plan, p.System), Name: p.Place.String(), Unit: p.Place.Unit().String(), Steps: stepsOf(p.Place.Unit())}, readingAt(i)})
	}
	for i, o := range plan.Outputs {
		list = append(list, source{Series{System: systemName(plan, o.System), Name: o.Actuator.String(), Steps: shareSteps}, levelAt(i)})
	}
	for i := range plan.Systems[:min(len(plan.Systems), len(t.Systems))] {
		list = append(list, ofSystem(i, plan.Systems[i].Name, &t.Systems[i])...)
	}
	return list
}

func readingAt(i int) func(t, _ *tick.Tick) float64 {
	return func(t, _ *tick.Tick) float64 {
		if i >= len(t.Readings) || !t.Readings[i].OK() {
			return math.NaN()
		}
		return t.Readings[i].Value
	}
}

func levelAt(i int) func(t, _ *tick.Tick) float64 {
	return func(t, _ *tick.Tick) float64 {
		if i >= len(t.Outputs) {
			return math.NaN()
		}
		return t.Outputs[i].Driven
	}
}

func ofSystem(i int, name string, s *tick.System) []source {
	list := []source{{Series{System: name, Name: "hot_water", Unit: "l", Steps: litreSteps}, func(t, _ *tick.Tick) float64 {
		if i >= len(t.Systems) || t.Systems[i].HotLitres < 0 {
			return math.NaN()
		}
		return t.Systems[i].HotLitres
	}}}
	book := func(what string, counted bool, of func(*control.Energy) float64) {
		if counted {
			list = append(list, source{Series{System: name, Name: what, Unit: "J", Steps: jouleSteps, Sum: true}, gainOf(i, of)})
		}
	}
	book("sun_heat", s.CountsHeat, func(e *control.Energy) float64 { return e.SunJ })
	book("meter_heat", true, func(e *control.Energy) float64 { return e.MeterJ })
	book("drawn_heat", s.CountsHeat, func(e *control.Energy) float64 { return e.DrawnJ })
	book("tank_loss", s.CountsHeat, func(e *control.Energy) float64 { return e.TankLossJ })
	book("loop_loss", s.CountsHeat, func(e *control.Energy) float64 { return e.LoopLossJ })
	book("pump_electricity", true, func(e *control.Energy) float64 { return e.PumpJ })
	book("circulation_loss", s.CountsCirculation, func(e *control.Energy) float64 { return e.CirculationLossJ })
	book("circulation_electricity", s.CountsCirculation, func(e *control.Energy) float64 { return e.CirculationPumpJ })
	return list
}

// gainOf is what an energy book gained since the tick before. A book that fell
// is one that an earlier state was taken up for: what it gained is not known, and
// counts as nothing.
func gainOf(i int, of func(*control.Energy) float64) func(t, before *tick.Tick) float64 {
	return func(t, before *tick.Tick) float64 {
		if before == nil || i >= len(t.Systems) || i >= len(before.Systems) {
			return 0
		}
		if gain := of(&t.Systems[i].Energy) - of(&before.Systems[i].Energy); gain > 0 {
			return gain
		}
		return 0
	}
}

// systemName is a system's name; empty for the house.
func systemName(plan *control.Plan, system int) string {
	if system < 0 || system >= len(plan.Systems) {
		return ""
	}
	return plan.Systems[system].Name
}
