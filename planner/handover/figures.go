package handover

import (
	"fmt"
	"math"

	"sunstoker/control"
	"sunstoker/physics"
	"sunstoker/site"
)

// How far a measured figure may be from what is expected.
const (
	gaugeBar     = 0.3 // of a loop's gauge; common practice, no source
	leastFillBar = 0.2 // of the filling above the vessel's gas, so that it holds a reserve; common practice, no source
	valveK       = 2   // of a tempering valve, at either side (EN 1111: from memory)
	valveNeedsK  = 10  // the tank's water above the valve's setting, for the valve to do its work; common practice, no source
	cutOutK      = 2   // of a cut-out's marking; common practice, no source
	thermostatK  = 2   // above the hygiene heat-up; see the page on safety
	percentShort = 3   // of a refractometer and of mixing; common practice, no source
	coldC        = 20  // of a loop that counts as cold, for the weight of its fluid
	highestM     = 100 // of collectors above a gauge; beyond it is a slip
	mostLitres   = 5000
	mostBar      = 16 // of a gauge; beyond it is a slip
)

// Keys of figures by which others are judged.
const (
	heightKey    = "collector above gauge"
	preChargeKey = "vessel pre-charge"
	fillKey      = "fill pressure"
	reliefKey    = "loop relief opens at"
	contentKey   = "fluid in the loop"
	steamKey     = "fluid where steam can reach"
)

// judgeThermostat holds the heater's own thermostat between what the program asks
// for and the cut-out.
func judgeThermostat(s *site.System, c float64) (Outcome, string) {
	set := &s.Settings
	hygiene := set.HygieneInterval > 0 && s.Tank.TemperingC > 0
	switch {
	case c <= set.HeaterStopC:
		return Fault, fmt.Sprintf("The program heats to %g °C and would never get there: set the thermostat higher, or heater_stop lower.", set.HeaterStopC)
	case hygiene && c < set.HygieneC+thermostatK:
		return Fault, fmt.Sprintf("The hygiene heat-up holds %g °C and would not get there: set the thermostat to %g °C or more.", set.HygieneC, set.HygieneC+thermostatK)
	case s.Heater.CutOutC > 0 && c >= s.Heater.CutOutC:
		return Fault, fmt.Sprintf("It lies at or above the cut-out of %g °C and limits nothing: set it lower.", s.Heater.CutOutC)
	}
	return Done, fmt.Sprintf("Above heater_stop of %g °C and below the cut-out.", set.HeaterStopC)
}

// judgeCutOut holds the cut-out above what the sun may do and below boiling in the
// place's air (physics.WaterBoilingPointC, IAPWS-IF97), which is the cautious side:
// under pressure the tank boils later, and an open tap lets the pressure go.
func judgeCutOut(house *site.Site, s *site.System, c float64) (Outcome, string) {
	boilsC := physics.WaterBoilingPointC(physics.AirPressurePa(house.AltitudeM))
	switch {
	case c >= boilsC:
		return Fault, fmt.Sprintf("Water boils at %.0f °C in the air of this place: DANGER, have a cut-out fitted that opens below.", boilsC)
	case c <= s.Settings.TankLimitC:
		return Fault, fmt.Sprintf("The sun may heat the tank to %g °C, and it would trip on sunny days: lower tank_limit, or ask an electrician for the right one.", s.Settings.TankLimitC)
	case s.Heater.CutOutC == 0:
		return Done, fmt.Sprintf("Above the tank limit of %g °C and below boiling at %.0f °C. Write it into the site file as cut_out.", s.Settings.TankLimitC, boilsC)
	case math.Abs(c-s.Heater.CutOutC) > cutOutK:
		return Fault, fmt.Sprintf("The site file says %g °C: correct the file, or see which cut-out is fitted.", s.Heater.CutOutC)
	}
	return Done, fmt.Sprintf("As the site file says; above the tank limit of %g °C and below boiling at %.0f °C.", s.Settings.TankLimitC, boilsC)
}

// judgeTap holds the water at the tap against the tempering valve of the site file,
// or without one against what skin bears.
func judgeTap(s *site.System, c float64) (Outcome, string) {
	heals, _ := physics.ScaldSeconds(c)
	burns := ""
	if c > physics.TapLimitBathC {
		burns = fmt.Sprintf(" At %g °C an adult's skin is burnt within %s, a child's sooner (Moritz and Henriques 1947).", c, rounded(heals))
	}
	set := s.Tank.TemperingC
	switch {
	case c < 0 || c > 100:
		return Fault, "That can't be water at a tap: measure again."
	case set == 0 && c > physics.TapLimitNorthAmericaC:
		return Fault, "DANGER, scalding: there is no tempering valve in the site file, and the tap is this hot." + burns + " Have a valve fitted before anybody uses the tap."
	case set == 0:
		return NotProven, "There is no tempering valve in the site file. The tap gets as hot as the tank, which may be far hotter on another day." + burns
	case c > set+valveK:
		return Fault, fmt.Sprintf("DANGER, scalding: the valve is set to %g °C by the site file and lets through more.%s Set it or exchange it before anybody uses the tap.", set, burns)
	case c < set-2*valveK:
		return NotProven, fmt.Sprintf("The valve is set to %g °C by the site file. It can only be judged with a tank at least %d K hotter than that: measure again on a hot tank.", set, valveNeedsK)
	}
	return Done, fmt.Sprintf("The valve keeps to its %g °C.", set) + burns
}

// rounded is a time in words that a person can picture.
func rounded(seconds float64) string {
	switch {
	case seconds < 90:
		return fmt.Sprintf("%.0f s", seconds)
	case seconds < 5400:
		return fmt.Sprintf("%.0f min", seconds/60)
	}
	return fmt.Sprintf("%.0f h", seconds/3600)
}

func judgeHeight(m float64) (Outcome, string) {
	if m < 0 || m > highestM {
		return Fault, fmt.Sprintf("It should lie between 0 and %d m; 0 m when the collectors stand below the gauge.", highestM)
	}
	return Done, ""
}

// measured is a figure that was answered to a step of a system.
func (l *list) measured(r *Record, system int, name string) (v float64, known bool) {
	i := r.index(l.key(system, name))
	if i < 0 || r.Answers[i].Value == nil || r.Answers[i].Outcome == Fault {
		return 0, false
	}
	return *r.Answers[i].Value, true
}

// columnBar is the pressure of a loop's cold fluid over a height in m: its weight.
func columnBar(s *site.System, m float64) float64 {
	fluid, err := s.LoopFluid()
	if err != nil {
		fluid = physics.Water() // the site file was checked; the two differ by a few percent
	}
	return fluid.DensityKgM3(coldC) * physics.GravityMS2 * m / physics.PascalPerBar
}

func (l *list) judgePreCharge(r *Record, system int, bar float64) (Outcome, string) {
	m, known := l.measured(r, system, heightKey)
	switch {
	case bar < 0 || bar > mostBar:
		return Fault, fmt.Sprintf("It should lie between 0 and %d bar: measure again.", mostBar)
	case !known:
		return NotProven, "Without the collectors' height above the vessel it can't be judged: answer that step, then this one."
	}
	column := columnBar(&l.site.Systems[system], m)
	usual := max(physics.VesselPrechargeBar(m), l.site.Systems[system].LoopPressureBar+column-physics.PrechargeBelowFillBar)
	switch {
	case bar < column:
		return Fault, fmt.Sprintf("The fluid above the vessel alone weighs %.1f bar and fills it: pump the gas up to about %.1f bar, with the water side empty.", column, usual)
	case math.Abs(bar-usual) > gaugeBar:
		return Done, fmt.Sprintf("The usual figure is %.1f bar (%s); the vessel is judged with what was measured.", usual, preChargeSource)
	}
	return Done, fmt.Sprintf("Near the usual %.1f bar (%s).", usual, preChargeSource)
}

const preChargeSource = "half a bar below the cold filling: a public manual, read"

// judgeFill holds the gauge against the pressure that the site file promises at the
// collector, the vessel's gas, and the restart ceiling, above which the fluid must
// not boil.
func (l *list) judgeFill(r *Record, system int, bar float64) (Outcome, string) {
	s := &l.site.Systems[system]
	m, known := l.measured(r, system, heightKey)
	switch {
	case bar < 0 || bar > mostBar:
		return Fault, fmt.Sprintf("It should lie between 0 and %d bar: read again.", mostBar)
	case !known:
		return NotProven, "Without the collectors' height above the gauge it can't be judged: answer that step, then this one."
	}
	column := columnBar(s, m)
	wanted, above := s.LoopPressureBar+column, bar-column
	boilsC := physics.WaterBoilingPointC(max(0, above)*physics.PascalPerBar + physics.AirPressurePa(l.site.AltitudeM))
	gas, gasKnown := l.measured(r, system, preChargeKey)
	switch {
	case s.Loop == control.Pumped && boilsC < s.Settings.RestartCeilingC:
		return Fault, fmt.Sprintf("The collectors have %.1f bar then, and the fluid boils at %.0f °C, below the restart ceiling of %g °C: the pump could push into steam. Fill to %.1f bar with a cold collector.", above, boilsC, s.Settings.RestartCeilingC, wanted)
	case gasKnown && bar < gas+leastFillBar:
		return Fault, fmt.Sprintf("The vessel's gas has %.1f bar, so it holds hardly any fluid: fill to %.1f bar with a cold collector, or correct the pre-charge.", gas, wanted)
	case math.Abs(bar-wanted) > gaugeBar:
		return Fault, fmt.Sprintf("The site file promises %g bar at the collectors, which is %.1f bar at a gauge %g m below them: fill to that with a cold collector, or correct the file.", s.LoopPressureBar, wanted, m)
	}
	return Done, fmt.Sprintf("%.1f bar at the collectors, where the fluid boils at %.0f °C.", above, boilsC)
}

func judgeRelief(s *site.System, bar float64) (Outcome, string) {
	if bar <= s.LoopPressureBar || bar > mostBar {
		return Fault, fmt.Sprintf("It should lie above the %g bar of the cold loop and below %d bar: read again.", s.LoopPressureBar, mostBar)
	}
	return Done, "Write it into the site file as relief_valve, for the finding that compares the pressure with it."
}

func judgeLitres(_ *Record, f figure) (Outcome, string) {
	if f.value <= 0 || f.value > mostLitres {
		return Fault, fmt.Sprintf("It should lie above 0 and below %d l: measure again.", mostLitres)
	}
	return Done, ""
}

// judgeVessel holds the expansion vessel against what it must take when the collectors
// stagnate, from the pressures that were measured on (physics.SolarVessel).
func (l *list) judgeVessel(r *Record, system int, vesselL float64) (Outcome, string) {
	s := &l.site.Systems[system]
	if outcome, words := judgeLitres(r, figure{value: vesselL}); outcome != Done {
		return outcome, words
	}
	content, contentKnown := l.measured(r, system, contentKey)
	steam, steamKnown := l.measured(r, system, steamKey)
	gas, gasKnown := l.measured(r, system, preChargeKey)
	fill, fillKnown := l.measured(r, system, fillKey)
	relief, reliefKnown := s.Plumbing.ReliefBar, s.Plumbing.ReliefBar > 0
	if !reliefKnown {
		relief, reliefKnown = l.measured(r, system, reliefKey)
	}
	if !contentKnown || !steamKnown || !gasKnown || !fillKnown || !reliefKnown {
		return NotProven, "Without pre-charge, fill pressure, relief valve, and both figures of the fluid in order it can't be judged: answer those steps, then this one."
	}
	v := physics.SolarVessel{ContentLitre: content, SteamLitre: steam, PrechargeBar: gas, FillBar: fill, EndBar: physics.VesselEndBar(relief)}
	need, err := v.Litre()
	if err != nil {
		return Fault, fmt.Sprintf("With %g bar of gas, a filling to %g bar and a highest pressure of %.1f bar no vessel is large enough (%v).", gas, fill, v.EndBar, err)
	}
	words := fmt.Sprintf("It must take %.1f l of growth and %g l pushed out by steam between %g and %.1f bar, with %g bar of gas and %d l of reserve: %.0f l at least.", v.GrowthLitre(), steam, fill, v.EndBar, gas, physics.SolarVesselReserveLitre, math.Ceil(need))
	if vesselL >= need {
		return Done, words
	}
	return Fault, words + vesselCure(v, vesselL, need)
}

// vesselCure is what to do about a vessel that is too small for its pressures: the cold
// filling takes up most of one whose gas is too low.
func vesselCure(v physics.SolarVessel, vesselL, need float64) string {
	v.PrechargeBar = v.FillBar - physics.PrechargeBelowFillBar
	least, err := v.Litre()
	switch {
	case err != nil || least >= need:
		return " Fit a larger one, or the relief valve blows on hot days and the loop loses its fluid."
	case vesselL < least:
		return fmt.Sprintf(" Fit one of %.0f l or more with its gas at about %.1f bar, or the relief valve blows on hot days and the loop loses its fluid.", math.Ceil(least), v.PrechargeBar)
	}
	return fmt.Sprintf(" So little gas lets the cold filling take up most of it: with the water side empty pump the gas up to about %.1f bar, fill again, and answer the steps of both pressures and this one anew.", v.PrechargeBar)
}

// judgeAntifreeze holds what was measured against the coldest night and against what
// the program goes by. Shares and freezing points: ASHRAE Handbook Fundamentals (read
// second hand), in physics.
func judgeAntifreeze(house *site.Site, s *site.System, f figure) (Outcome, string) {
	percent, freezesC := f.value, f.value
	var err error
	if f.unit == control.Percent {
		var fluid physics.Fluid
		if fluid, err = mixture(percent); err == nil {
			freezesC = fluid.FreezingPointC()
		}
	} else {
		percent, err = physics.GlycolVolumePercentForFreezing(freezesC)
	}
	if err != nil {
		return Fault, fmt.Sprintf("That is outside of what mixtures of propylene glycol do (%v): measure again.", err)
	}
	words := fmt.Sprintf("%.0f %% begins to freeze at %.0f °C; the coldest night is %g °C.", percent, freezesC, house.ColdestC)
	switch {
	case freezesC > house.ColdestC:
		return Fault, "DANGER, frost: " + words + " The collectors can burst: strengthen the fluid before the first cold night."
	case freezesC > house.ColdestC-s.Settings.FreezeWarningMarginK:
		return Fault, words + fmt.Sprintf(" Less than %g K are left, and under a clear sky a collector is colder than the air: strengthen the fluid.", s.Settings.FreezeWarningMarginK)
	case percent < s.AntifreezePercent-percentShort:
		return Fault, words + fmt.Sprintf(" The program goes by the %g %% of the site file: correct the file, or strengthen the fluid.", s.AntifreezePercent)
	}
	return Done, words
}

func mixture(percent float64) (physics.Fluid, error) {
	fraction, err := physics.MassFractionFromVolumePercent(percent)
	if err != nil {
		return physics.Fluid{}, err
	}
	return physics.PropyleneGlycol(fraction)
}
