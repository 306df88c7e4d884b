package dashboard

import (
	"sunstoker/control"
	"sunstoker/station/tick"
)

func (e *exposition) tick(t *tick.Tick) {
	e.put(ticksTotal, float64(t.Number))
	e.put(tickDuration, t.Took.Seconds())
	e.put(tickLateness, t.Late.Seconds())
	e.put(serviceTotal, t.Service.Seconds())
	e.flag(clockTrusted, t.Wall.Trusted)
	plan := t.House.Plan
	for i, p := range plan.Probes[:min(len(plan.Probes), len(t.Readings))] {
		e.reading(systemName(plan, p.System), p.Place, &t.Readings[i].Judged)
	}
	for i, o := range plan.Outputs[:min(len(plan.Outputs), len(t.Outputs))] {
		e.output(systemName(plan, o.System), o.Actuator.String(), &t.Outputs[i])
	}
	for i := range plan.Systems[:min(len(plan.Systems), len(t.Systems))] {
		e.system(plan.Systems[i].Name, &t.Systems[i])
	}
	e.findings(t.Findings, plan)
}

func (e *exposition) reading(system string, at control.Place, j *control.Judged) {
	place := at.String()
	if j.OK() {
		m := measureOf(at.Unit())
		e.put(m.family, j.Value*m.factor, system, place)
	}
	if hasValue(j) {
		e.put(readingAge, j.Age.Seconds(), system, place)
	}
	for _, q := range []control.Quality{control.Missing, control.Suspect, control.Good} {
		e.flag(quality, q == j.Quality, system, place, q.String())
	}
}

// measure is a metric of readings, with the factor from a place's unit to the
// metric's base unit.
type measure struct {
	family *family
	factor float64
}

func measureOf(unit control.Unit) measure {
	switch unit {
	case control.LitrePerMin:
		return measure{flow, 1e-3 / 60}
	case control.Bar:
		return measure{pressure, 1e5}
	case control.Ampere:
		return measure{current, 1}
	case control.Plain:
		return measure{pressed, 1}
	}
	return measure{temperature, 1}
}

func (e *exposition) system(name string, t *tick.System) {
	if t.HotLitres >= 0 {
		e.put(hotWater, t.HotLitres, name)
	}
	e.put(meterHeat, t.Energy.MeterJ, name)
	e.put(pumpEnergy, t.Energy.PumpJ, name)
	e.put(circulationEnergy, t.Energy.CirculationPumpJ, name)
	if t.CountsCirculation {
		e.put(circulationLoss, t.Energy.CirculationLossJ, name)
	}
	if t.CountsHeat {
		e.put(sunHeat, t.Energy.SunJ, name)
		e.put(drawnHeat, t.Energy.DrawnJ, name)
		e.put(tankLoss, t.Energy.TankLossJ, name)
		e.put(loopLoss, t.Energy.LoopLossJ, name)
	}
}

func (e *exposition) output(system, actuator string, o *tick.Output) {
	e.put(outputLevel, o.Driven, system, actuator)
	e.put(outputRun, o.On.Seconds(), system, actuator)
	e.put(outputSwitchings, float64(o.Switchings), system, actuator)
	e.flag(outputFault, o.Fault != "", system, actuator)
	e.flag(outputHeld, o.Held > 0, system, actuator)
	e.put(overrideLeft, o.Override.Left.Seconds(), system, actuator)
	e.put(decisionLevel, o.Level, system, actuator)
	for r, name := range rankNames {
		e.flag(decisionRank, control.Rank(r) == o.Rank, system, actuator, name)
	}
	e.put(decisionReason, 1, system, actuator, o.Reason.Words.Key())
}

func (e *exposition) findings(list []control.Finding, plan *control.Plan) {
	var count [3]int
	for i := range list {
		f := &list[i]
		part, _ := partOf(f)
		urgency := f.Kind.Urgency()
		e.put(findingActive, 1, f.Kind.String(), systemName(plan, f.System), part, urgencyName(urgency))
		if int(urgency) < len(count) {
			count[urgency]++
		}
	}
	for u, n := range count {
		e.put(findingCount, float64(n), urgencyName(control.Urgency(u)))
	}
}
