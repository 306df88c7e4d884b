package control

import (
	"fmt"

	"sunstoker/physics"
)

// Problem is something wrong between settings, or between a setting and the
// plant.
type Problem struct {
	Setting string // the setting to look at first
	Advice  bool   // worth a thought, but no fault
	What    string // what is wrong, with the figures
	Do      string // what to do
}

// String is the problem in one line.
func (p Problem) String() string { return p.Setting + ": " + p.What + ": " + p.Do }

// Check looks at settings against each other; each one's own limits were
// checked when it was set.
func (s *Settings) Check() []Problem {
	var out []Problem
	fault := func(bad bool, setting, do, format string, args ...any) {
		if bad {
			out = append(out, Problem{Setting: setting, What: fmt.Sprintf(format, args...), Do: do})
		}
	}
	fault(s.StopDifferenceK >= s.StartDifferenceK, "stop_difference",
		"make stop_difference smaller than start_difference",
		"the pump would stop at %g K and start at %g K", s.StopDifferenceK, s.StartDifferenceK)
	fault(s.TargetDifferenceK <= s.StopDifferenceK, "target_difference",
		"make target_difference larger than stop_difference",
		"a regulated pump would aim at %g K and stop at %g K", s.TargetDifferenceK, s.StopDifferenceK)
	fault(s.HeaterStopC < s.HeaterStartC+2, "heater_stop",
		"make heater_stop at least 2 K hotter than heater_start",
		"the heater would stop at %g °C and start at %g °C", s.HeaterStopC, s.HeaterStartC)
	fault(s.HeaterStopC > s.TankLimitC-s.TankLimitBandK, "heater_stop",
		"make heater_stop colder than tank_limit less tank_limit_band",
		"the heater would heat to %g °C, into the tank limit of %g °C less %g K", s.HeaterStopC, s.TankLimitC, s.TankLimitBandK)
	cheap := len(s.OffPeakWindows) > 0
	fault(cheap && s.OffPeakStopC > s.TankLimitC-s.TankLimitBandK, "off_peak_stop",
		"make off_peak_stop colder than tank_limit less tank_limit_band",
		"cheap power would heat to %g °C, into the tank limit of %g °C less %g K", s.OffPeakStopC, s.TankLimitC, s.TankLimitBandK)
	fault(cheap && s.OffPeakStopC < s.HeaterStopC, "off_peak_stop",
		"make off_peak_stop no colder than heater_stop, or write off_peak_windows = \"never\"",
		"cheap power would heat to %g °C and dear power to %g °C", s.OffPeakStopC, s.HeaterStopC)
	fault(s.SuretyPercent > 0 && s.SuretyPercent < leastSuretyPercent, "hot_water_surety",
		"write 50 % or more, or 0 % to leave the heater to its windows",
		"%g %% of the hot water is too little to be worth a heater", s.SuretyPercent)
	fault(s.SuretyPercent > 0 && s.HeaterStopC < s.TapC+2*neededK, "heater_stop",
		"make heater_stop at least 2 K hotter than tap_temperature, or write hot_water_surety = \"0 %\"",
		"the heater may heat to %g °C, and taps want %g °C", s.HeaterStopC, s.TapC)
	fault(s.HeaterFloorC > s.HeaterStartC, "heater_floor",
		"make heater_floor no hotter than heater_start",
		"the floor of %g °C is above heater_start, %g °C, so windows would have no meaning", s.HeaterFloorC, s.HeaterStartC)
	fault(s.RestartCeilingC-s.RestartCeilingBandK < s.TankLimitC+s.StartDifferenceK, "restart_ceiling",
		"make restart_ceiling less restart_ceiling_band hotter than tank_limit plus start_difference",
		"after %g °C the pump could not start before the collector is at %g °C, too cold to heat a tank to %g °C",
		s.RestartCeilingC, s.RestartCeilingC-s.RestartCeilingBandK, s.TankLimitC)
	fault(s.HygieneInterval > 0 && s.HygieneC+hygieneBandK > s.TankLimitC-s.TankLimitBandK, "hygiene_temperature",
		"make hygiene_temperature 2 K colder than tank_limit less tank_limit_band, or write hygiene_interval = \"0 s\"",
		"a heat-up to %g °C would run into the tank limit of %g °C less %g K", s.HygieneC, s.TankLimitC, s.TankLimitBandK)
	decimalMin := physics.CautiousDecimalReductionMinutes(s.HygieneC)
	fault(s.HygieneInterval > 0 && physics.LogReduction(s.HygieneHold.Minutes(), decimalMin) < hygieneLogs, "hygiene_hold",
		"make hygiene_hold longer, or hygiene_temperature hotter",
		"%g min at %g °C are too short: by published figures nine germs of ten are dead after %.1f min there, and %d times as long is wanted",
		s.HygieneHold.Minutes(), s.HygieneC, decimalMin, hygieneLogs)
	fault(s.NightCoolingC > 0 && s.NightCoolingC-2*nightCoolingBandK < s.HeaterStopC-nightCoolingBandK, "night_cooling",
		"make night_cooling at least 10 K hotter than heater_stop",
		"cooling from %g °C would take away what the heater has heated to %g °C", s.NightCoolingC, s.HeaterStopC)
	fault(s.HeatDumpStartC >= s.RestartCeilingC-s.RestartCeilingBandK, "heat_dump_start",
		"make heat_dump_start colder than restart_ceiling less restart_ceiling_band",
		"the heat dump would begin at %g °C, and a collector above %g °C may be steaming already", s.HeatDumpStartC, s.RestartCeilingC-s.RestartCeilingBandK)
	fault(s.HeatDumpStartC-dumpBandK < s.TankLimitC, "heat_dump_start",
		"make heat_dump_start at least 15 K hotter than tank_limit",
		"the heat dump would begin at %g °C and end at %g °C, below the tank limit of %g °C", s.HeatDumpStartC, s.HeatDumpStartC-dumpBandK, s.TankLimitC)
	if returnC := s.CirculationStopC - circulationBandK; s.CirculationWindows.Always() && returnC < physics.LegionellaReturnC {
		out = append(out, Problem{Setting: "circulation_stop", Advice: true,
			What: fmt.Sprintf("a circulation that is always to be hot lets its return cool to %g °C, and published codes ask for %g °C", returnC, float64(physics.LegionellaReturnC)),
			Do:   "write at least 55 °C where such a code holds, and keep the tank at 60 °C"})
	}
	fault(s.JumpPatience >= s.ReadingAgeLimit, "jump_patience",
		"make jump_patience shorter than reading_age_limit",
		"a reading would be too old before its new level is believed")
	return out
}
