package rivals

import (
	"math"

	"sunstoker/control"
)

// Bands of the heater below its set temperature.
const (
	thermostatBandK = 5 // usual for a thermostat on a tank (common practice, no source)
	windowBandK     = 2 // so that a window always heats to its temperature
)

// thermostat lets the heater help all day, up to a set temperature.
func thermostat(setC float64) func(*control.Settings) {
	return func(s *control.Settings) {
		plain(s)
		s.HeaterWindows = control.Windows{{From: 0, To: dayMinutes}}
		s.HeaterStopC, s.HeaterStartC = setC, setC-thermostatBandK
	}
}

// windows let the heater help at fixed times of the day, up to a set
// temperature.
func windows(w control.Windows, setC float64) func(*control.Settings) {
	return func(s *control.Settings) {
		plain(s)
		s.HeaterWindows = w
		s.HeaterStopC, s.HeaterStartC = setC, setC-windowBandK
	}
}

// sunFirstAt is the controller's own rule at a surety by its nines: 1 is 90 %, 2 is
// 99 %, 2.5 is 99.7 %. It may heat as hot as it finds right; until it has learned
// the household, in the weeks that do not count, its windows hold.
func sunFirstAt(nines float64) func(*control.Settings) {
	return func(s *control.Settings) {
		plain(s)
		s.SuretyPercent = min(100*(1-math.Pow(10, -nines)), mostSuretyPercent)
		s.HeaterStopC = hottestSetC
	}
}

// mostSuretyPercent is the top of the setting.
const mostSuretyPercent = 99.99

// sureties is the sweep of the controller's own rule.
func sureties() *sweep {
	return &sweep{with: sunFirstAt, first: []float64{1, 2, 3, 4}, lowest: 0.25, highest: 4, widest: 0.5, closest: 0.05}
}

// plain leaves the heater to its windows alone: no floor, nothing learned.
func plain(s *control.Settings) {
	s.HeaterFloorC = 0
}

const dayMinutes = 24 * 60

func hours(from, to int) control.Window { return control.Window{From: from * 60, To: to * 60} }

// windowGrid are the fixed windows that the search begins with: a stretch of
// the morning, of the afternoon or evening, both, and long ones that leave out
// the sunny hours alone.
var windowGrid = []control.Windows{
	{hours(4, 6)}, {hours(14, 17)}, {hours(4, 6), hours(15, 18)}, {hours(5, 8), hours(17, 22)}, {hours(15, 8)}, {hours(12, 23)},
}
