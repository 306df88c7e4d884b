package handover

import (
	"fmt"

	"sunstoker/physics"
	"sunstoker/site"
)

// What the trials of pump and heater look for.
const (
	// WarmedK is how much the tank top must rise, in K: well above a probe's noise.
	WarmedK = 2
	// leastRatio and mostRatio bound the measured rise against that of heater power
	// over the water above the element; common practice, no source: the top mixes with
	// what lies below, and the probe lags.
	leastRatio, mostRatio = 0.4, 2.5

	// leastGapK is the least gap between collector and tank, in K, with which the
	// pump's work shows.
	leastGapK = 15
	// gapFactor lifts the gap over the one that a running loop has in full sun, so that
	// it must fall.
	gapFactor = 1.5
	// fallenShare is the share of the gap that must go. In the time of the trial a
	// collector that stands still loses less to a cloud: its own time is a quarter of
	// an hour and more (common practice, no source).
	fallenShare = 0.3
	fullSunWM2  = 1000
	flowShare   = 0.5 // of the site file's flow that counts as flow
)

// HeatRateKPerS is how fast a system's heater warms the water above its element, in
// K/s, without losses; 0 when power or volume are not known. The heat of the water:
// physics.Water.
func HeatRateKPerS(s *site.System) float64 {
	share := 1 - s.Heater.HeightPercent/100
	if s.Heater.PowerW <= 0 || s.Tank.VolumeL <= 0 || share <= 0 {
		return 0
	}
	const warmC = 40 // the tank of a trial, for the density
	water := physics.Water()
	return s.Heater.PowerW / (s.Tank.VolumeL / 1000 * share * water.DensityKgM3(warmC) * water.SpecificHeatJKgK(warmC))
}

// JudgeHeating says what a rise of the tank top in K, after so many seconds of
// heating, tells of heater and water.
func JudgeHeating(s *site.System, riseK, seconds float64) (Outcome, string) {
	rate := HeatRateKPerS(s)
	if rate == 0 || seconds <= 0 {
		return NotProven, "The site file gives no power or volume to compare with."
	}
	expected := rate * seconds
	words := fmt.Sprintf("The tank top rose by %.1f K in %.0f min; %g kW on the %.0f l above the element give %.1f K.",
		riseK, seconds/60, s.Heater.PowerW/1000, s.Tank.VolumeL*(1-s.Heater.HeightPercent/100), expected)
	switch {
	case riseK > mostRatio*expected && riseK >= WarmedK:
		return Fault, words + " DANGER, fire: that is far too fast for a full tank. Heater off at its isolator, and look whether there is water."
	case riseK < leastRatio*expected:
		return Fault, words + " Look for the isolator, the thermostat, the cut-out, the element, a tap that is open, and a probe that is not in its pocket."
	}
	return Done, words
}

// TooFast tells of a rise in K after some seconds that water could not make, so that
// the heater must go off at once.
func TooFast(s *site.System, riseK, seconds float64) bool {
	const noiseK = 2 * WarmedK // no wild sample ends a trial
	return riseK > noiseK && riseK > mostRatio*HeatRateKPerS(s)*seconds
}

// MostHeatingS is how long a heater may be tried at most, in seconds.
func MostHeatingS(s *site.System) float64 {
	rate := HeatRateKPerS(s)
	if rate == 0 {
		return 3600
	}
	return WarmedK / (leastRatio * rate)
}

// GapNeededK is the gap between collector and tank bottom, in K, from which the trial
// of a pump can tell something: above the one that the loop keeps in full sun by its
// own heat balance, area times optical efficiency over flow.
func GapNeededK(s *site.System) float64 {
	fluid, err := s.LoopFluid()
	if err != nil || s.LoopFlowLPerMin <= 0 {
		return leastGapK
	}
	const warmC = 40
	carriedWK := s.LoopFlowLPerMin / 60 / 1000 * fluid.DensityKgM3(warmC) * fluid.SpecificHeatJKgK(warmC)
	sunW := fullSunWM2 * s.Collector.AreaM2 * s.Collector.OpticalEfficiencyPercent / 100
	return max(leastGapK, gapFactor*sunW/carriedWK)
}

// GapFell tells that enough of a gap has gone to the tank.
func GapFell(beforeK, nowK float64) bool { return nowK < (1-fallenShare)*beforeK }

// JudgeMoving says what came of a trial of the pump: gaps between collector and tank
// bottom in K, and the flow in l/min, below 0 when there is no meter.
func JudgeMoving(s *site.System, beforeK, afterK, seconds, flow float64) (Outcome, string) {
	words := fmt.Sprintf("Collector above tank bottom: %.1f K before, %.1f K after %.0f s of pumping.", beforeK, afterK, seconds)
	metered := flow >= 0
	if metered {
		words += fmt.Sprintf(" The meter shows %.1f l/min; the site file says %g.", flow, s.LoopFlowLPerMin)
	}
	flows := metered && flow >= flowShare*s.LoopFlowLPerMin
	needed := GapNeededK(s)
	switch {
	case beforeK >= needed && GapFell(beforeK, afterK) && metered && !flows:
		return Fault, words + " Heat moves, and the meter hardly sees it: look at the meter and at its direction."
	case beforeK >= needed && GapFell(beforeK, afterK):
		return Done, words
	case beforeK >= needed:
		return Fault, words + " The collector keeps its heat: look for air, a valve that is shut, a pump that turns the wrong way or not at all, and probes that are swapped."
	case flows:
		return NotProven, words + fmt.Sprintf(" Fluid flows; whether it brings heat shows from a gap of %.0f K. Come back on a sunny day.", needed)
	case metered:
		return Fault, words + " Fluid hardly flows: look for air, a valve that is shut, and a pump that does not turn."
	}
	return NotProven, words + fmt.Sprintf(" That shows from a gap of %.0f K. Come back on a sunny day.", needed)
}
