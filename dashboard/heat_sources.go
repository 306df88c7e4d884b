package dashboard

import (
	"sunstoker/control"
	"sunstoker/station/tick"
)

// knowledge is yes, no, or not to be known.
type knowledge uint8

const (
	unknown knowledge = iota
	no
	yes
)

// String is the knowledge in one word.
func (k knowledge) String() string { return [...]string{"unknown", "no", "yes"}[k] }

// naturalDriveK is how much hotter than the tank bottom a collector is when
// natural circulation surely turns. Common practice, no source.
const naturalDriveK = 3

// heatSources tells whether the sun and the meter heat a system's tank in this
// moment. A running pump alone is no proof of sun: frost protection, or a
// minimum run time, may take heat out of the tank.
func heatSources(t *tick.Tick, system int) (sun, meter knowledge) {
	sun, meter = no, no
	pumped := t.House.Plan.Systems[system].Loop == control.Pumped
	if gap, known := collectorGapK(t, system); !pumped {
		sun = judge(known, gap >= naturalDriveK)
	} else if pump := outputAt(t, system, control.LoopPump); pump != nil && (pump.Driven > 0 || pump.Fault != "") {
		sun = judge(known && pump.Fault == "", gap > 0)
	}
	if heater := outputAt(t, system, control.BackupHeater); heater != nil {
		meter = judge(heater.Fault == "", heater.Driven > 0)
	}
	return sun, meter
}

func judge(known, is bool) knowledge {
	switch {
	case !known:
		return unknown
	case is:
		return yes
	}
	return no
}

// collectorGapK is how much hotter the collector is than the tank bottom, K;
// the tank top stands in for a bottom that can't be read.
func collectorGapK(t *tick.Tick, system int) (gapK float64, known bool) {
	collector := goodAt(t, system, control.Collector)
	coil := goodAt(t, system, control.TankBottom)
	if coil == nil {
		coil = goodAt(t, system, control.TankTop)
	}
	if collector == nil || coil == nil {
		return 0, false
	}
	return collector.Value - coil.Value, true
}

// goodAt gives a place's reading if it is good, else nil.
func goodAt(t *tick.Tick, system int, place control.Place) *tick.Reading {
	for i, p := range t.House.Plan.Probes {
		if p.System == system && p.Place == place && i < len(t.Readings) && t.Readings[i].OK() {
			return &t.Readings[i]
		}
	}
	return nil
}

// outputAt gives an actuator's output, or nil when the system has none.
func outputAt(t *tick.Tick, system int, a control.Actuator) *tick.Output {
	for i, o := range t.House.Plan.Outputs {
		if o.System == system && o.Actuator == a && i < len(t.Outputs) {
			return &t.Outputs[i]
		}
	}
	return nil
}
