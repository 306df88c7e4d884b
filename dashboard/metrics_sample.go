package dashboard

import (
	"strings"

	"github.com/prometheus/client_golang/prometheus"

	"sunstoker/control"
	"sunstoker/station/tick"
)

// sample writes one tick's metrics.
type sample struct{ to chan<- prometheus.Metric }

func (s sample) gauge(d *prometheus.Desc, v float64, labels ...string) {
	s.metric(d, prometheus.GaugeValue, v, labels)
}

func (s sample) counter(d *prometheus.Desc, v float64, labels ...string) {
	s.metric(d, prometheus.CounterValue, v, labels)
}

func (s sample) metric(d *prometheus.Desc, kind prometheus.ValueType, v float64, labels []string) {
	for i := range labels { // a label that is no UTF-8 would spoil the whole scrape
		labels[i] = strings.ToValidUTF8(labels[i], "\uFFFD")
	}
	m, err := prometheus.NewConstMetric(d, kind, v, labels...)
	if err != nil {
		m = prometheus.NewInvalidMetric(d, err)
	}
	s.to <- m
}

// flag writes 1 or 0.
func (s sample) flag(d *prometheus.Desc, is bool, labels ...string) {
	v := 0.0
	if is {
		v = 1
	}
	s.gauge(d, v, labels...)
}

func (s sample) tick(t *tick.Tick) {
	s.counter(ticksTotal, float64(t.Number))
	s.gauge(tickDuration, t.Took.Seconds())
	s.gauge(tickLateness, t.Late.Seconds())
	s.counter(serviceTotal, t.Service.Seconds())
	s.flag(clockTrusted, t.Wall.Trusted)
	plan := t.House.Plan
	for i, p := range plan.Probes[:min(len(plan.Probes), len(t.Readings))] {
		s.reading(systemName(plan, p.System), p.Place, &t.Readings[i].Judged)
	}
	for i, o := range plan.Outputs[:min(len(plan.Outputs), len(t.Outputs))] {
		s.output(systemName(plan, o.System), o.Actuator.String(), &t.Outputs[i])
	}
	for i := range plan.Systems[:min(len(plan.Systems), len(t.Systems))] {
		s.system(plan.Systems[i].Name, &t.Systems[i])
	}
	s.findings(t.Findings, plan)
}

func (s sample) reading(system string, at control.Place, j *control.Judged) {
	place := at.String()
	if j.OK() {
		m := measureOf(at.Unit())
		s.gauge(m.desc, j.Value*m.factor, system, place)
	}
	if hasValue(j) {
		s.gauge(readingAge, j.Age.Seconds(), system, place)
	}
	for _, q := range []control.Quality{control.Missing, control.Suspect, control.Good} {
		s.flag(quality, q == j.Quality, system, place, q.String())
	}
}

// measure is a metric of readings, with the factor from a place's unit to the
// metric's base unit.
type measure struct {
	desc   *prometheus.Desc
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

func (s sample) system(name string, t *tick.System) {
	if t.HotLitres >= 0 {
		s.gauge(hotWater, t.HotLitres, name)
	}
	s.counter(meterHeat, t.Energy.MeterJ, name)
	s.counter(pumpEnergy, t.Energy.PumpJ, name)
	s.counter(circulationEnergy, t.Energy.CirculationPumpJ, name)
	if t.CountsCirculation {
		s.counter(circulationLoss, t.Energy.CirculationLossJ, name)
	}
	if t.CountsHeat {
		s.counter(sunHeat, t.Energy.SunJ, name)
		s.counter(drawnHeat, t.Energy.DrawnJ, name)
		s.counter(tankLoss, t.Energy.TankLossJ, name)
		s.counter(loopLoss, t.Energy.LoopLossJ, name)
	}
}

func (s sample) output(system, actuator string, o *tick.Output) {
	s.gauge(outputLevel, o.Driven, system, actuator)
	s.counter(outputRun, o.On.Seconds(), system, actuator)
	s.counter(outputSwitchings, float64(o.Switchings), system, actuator)
	s.counter(outputRefused, float64(o.Refused), system, actuator)
	s.flag(outputFault, o.Fault != "", system, actuator)
	s.flag(outputHeld, o.Held > 0, system, actuator)
	s.gauge(overrideLeft, o.Override.Left.Seconds(), system, actuator)
	s.gauge(decisionLevel, o.Level, system, actuator)
	for r, name := range rankNames {
		s.flag(decisionRank, control.Rank(r) == o.Rank, system, actuator, name)
	}
	s.gauge(decisionReason, 1, system, actuator, o.Reason.Words.Key())
}

func (s sample) findings(list []control.Finding, plan *control.Plan) {
	var count [3]int
	for i := range list {
		f := &list[i]
		part, _ := partOf(f)
		urgency := f.Kind.Urgency()
		s.gauge(findingActive, 1, f.Kind.String(), systemName(plan, f.System), part, urgencyName(urgency))
		if int(urgency) < len(count) {
			count[urgency]++
		}
	}
	for u, n := range count {
		s.gauge(findingCount, float64(n), urgencyName(control.Urgency(u)))
	}
}
