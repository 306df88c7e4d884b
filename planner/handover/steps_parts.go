package handover

import (
	"fmt"

	"sunstoker/control"
	"sunstoker/site"
)

// safety asks for the parts that no program, board or setting replaces: what must
// cover each failure of the plant that no probe sees.
func (l *list) safety(i int) {
	s := &l.site.Systems[i]
	if l.has(i, control.BackupHeater) {
		l.add(i, Step{Key: "thermostat", Group: groupParts, Form: Measure, Units: []control.Unit{control.Celsius}, About: thermostatAbout(s),
			Do:  "The heater's own thermostat, in series with the contactor. Read its setting; mains off before a cover is opened. On a warm tank turn it down until it is heard to open, and back to its setting: one that never opens is seen by nothing but this.",
			Ask: "At how many °C is it set?", judge: func(_ *Record, f figure) (Outcome, string) { return judgeThermostat(s, f.value) }})
		l.add(i, Step{Key: "cut-out", Group: groupParts, Form: Measure, Units: []control.Unit{control.Celsius}, Grave: true, About: cutOutAbout(s),
			Do:  "DANGER, boiling and burst: the cut-out with manual reset that breaks the mains to the element when all else fails. Read where it opens, see that it is not bridged, and have the electrician try it by its maker's sheet.",
			Ask: `At how many °C does it open? When there is none: "no because there is none".`, judge: func(_ *Record, f figure) (Outcome, string) { return judgeCutOut(l.site, s, f.value) }})
	}
	tank, fitted := "tank relief valve", "lift the temperature and pressure relief valve of the tank, and the expansion relief of the cold inlet, by hand. Water came and stopped again; the discharge pipe falls, is open, can be seen and ends where hot water hurts nobody."
	if s.Store == site.LoopFluid {
		tank, fitted = "store relief", "the store's vent or overflow is open, can't be shut and ends where hot fluid and steam hurt nobody; a store under pressure has a relief valve instead. The expansion relief of the drinking-water coil was lifted by hand, and its discharge seen."
	}
	l.add(i, Step{Key: tank, Group: groupParts, Form: Confirm, Grave: true,
		Do: "DANGER, burst: " + fitted, Ask: "Are they all there, tried, and open to a safe place?"})
	loop := "DANGER, steam: with a cold collector, lift the loop's relief valve by hand. Nothing between it and the collectors can be shut; it discharges into a heat-proof vessel that can be seen."
	if s.Loop == control.Natural && s.LoopPressureBar == 0 {
		loop = "DANGER, steam: the loop is filled to the pressure of the air. Its vent or overflow is open, can't be shut and can't freeze, and ends where steam and hot fluid hurt nobody."
	}
	l.add(i, Step{Key: "loop relief", Group: groupParts, Form: Confirm, Grave: true, Do: loop, Ask: "Is the loop's way out for pressure there, tried and open to a safe place?"})
	l.add(i, Step{Key: "tempering valve", Group: groupParts, Form: Measure, Units: []control.Unit{control.Celsius}, Grave: true, About: temperingAbout(s),
		Do:  "DANGER, scalding: with a hot tank, let the tap farthest from the tank run for a minute and measure the water with a thermometer, not with the hand. Where there is no tempering valve, measure all the same.",
		Ask: "How hot is the water at the tap, in °C?", judge: func(_ *Record, f figure) (Outcome, string) { return judgeTap(s, f.value) }})
	l.add(i, Step{Key: "check valve", Group: groupParts, Form: Confirm,
		Do:  "Nothing may circulate at night: a check valve in the loop that closes, and a heat trap at the tank. Before dawn the collector is as cold as the air. With natural circulation: the tank's lowest loop pipe lies above the collector's top, or a light check valve closes.",
		Ask: "Is the loop at rest at night?"})
	l.add(i, Step{Key: "insulation", Group: groupParts, Form: Confirm,
		Do:  "Pipes are insulated without gaps, on the roof with a cover against sun and birds, and near the collectors of a kind that bears steam. Every probe sits deep in its pocket, and its cable bears the heat; a roof cable has an arrester against surges.",
		Ask: "Are all pipes insulated, and do all probes sit deep in their pockets?"})
}

// fluid asks for what was measured of the loop's filling.
func (l *list) fluid(i int) {
	s := &l.site.Systems[i]
	if s.LoopPressureBar > 0 {
		l.add(i, Step{Key: heightKey, Group: groupFluid, Form: Measure, Units: []control.Unit{control.Metre},
			Do:  "The height of the collectors' top above the pressure gauge and the expansion vessel.",
			Ask: "How many m?", judge: func(_ *Record, f figure) (Outcome, string) { return judgeHeight(f.value) }})
		l.add(i, Step{Key: preChargeKey, Group: groupFluid, Form: Measure, Units: []control.Unit{control.Bar},
			Do:  "The gas pressure of the expansion vessel, measured at its valve before the loop was filled, or with the vessel's water side empty.",
			Ask: "How many bar?", judge: func(r *Record, f figure) (Outcome, string) { return l.judgePreCharge(r, i, f.value) }})
		l.add(i, Step{Key: fillKey, Group: groupFluid, Form: Measure, Units: []control.Unit{control.Bar}, About: control.Bar.Format(s.LoopPressureBar),
			Do:  "What the loop's gauge shows when all of it is cold. Write it on the gauge too: the next visitor compares with it.",
			Ask: "How many bar?", judge: func(r *Record, f figure) (Outcome, string) { return l.judgeFill(r, i, f.value) }})
	}
	if s.LoopPressureBar > 0 {
		l.vessel(i)
	}
	if s.Glycol {
		l.add(i, Step{Key: antifreezeKey, Group: groupFluid, Form: Measure, Units: []control.Unit{control.Percent, control.Celsius}, About: fmt.Sprintf("%g %% in the site file, coldest night %g °C", s.AntifreezePercent, l.site.ColdestC),
			Do:  "Measure a sample of the loop's fluid with a refractometer for propylene glycol, after it was mixed by the pump or by shaking. Nothing poisonous may be in the loop. Its strength is the protection against frost: what the pump does near the freezing point is a last resort and no replacement.",
			Ask: "What share by volume (such as 42 %), or where does it begin to freeze (such as -24 °C)?", judge: func(_ *Record, f figure) (Outcome, string) { return judgeAntifreeze(l.site, s, f) }})
	}
}

// vessel asks for what an expansion vessel must take when the collectors stagnate.
func (l *list) vessel(i int) {
	s := &l.site.Systems[i]
	litres := func(key, do string, judge func(*Record, figure) (Outcome, string)) {
		l.add(i, Step{Key: key, Group: groupFluid, Form: Measure, Units: []control.Unit{control.Litre}, Do: do, Ask: "How many l?", judge: judge})
	}
	if s.Plumbing.ReliefBar == 0 {
		l.add(i, Step{Key: reliefKey, Group: groupFluid, Form: Measure, Units: []control.Unit{control.Bar},
			Do:  "The pressure that is stamped on the loop's relief valve.",
			Ask: "At how many bar does it open?", judge: func(_ *Record, f figure) (Outcome, string) { return judgeRelief(s, f.value) }})
	}
	litres(contentKey, "All of the fluid that was filled into the loop.", judgeLitres)
	litres(steamKey, "Of that, what the collectors hold, by their data sheet, and the pipes near them that steam can reach.", judgeLitres)
	litres("expansion vessel", "The whole volume that is stamped on the loop's expansion vessel.", func(r *Record, f figure) (Outcome, string) { return l.judgeVessel(r, i, f.value) })
}

func thermostatAbout(s *site.System) string {
	return fmt.Sprintf("heater_stop %g °C, hygiene_temperature %g °C, cut-out %g °C", s.Settings.HeaterStopC, s.Settings.HygieneC, s.Heater.CutOutC)
}

func cutOutAbout(s *site.System) string {
	return fmt.Sprintf("%g °C in the site file, tank limit %g °C", s.Heater.CutOutC, s.Settings.TankLimitC)
}

func temperingAbout(s *site.System) string {
	if s.Tank.TemperingC == 0 {
		return "no tempering valve in the site file"
	}
	return fmt.Sprintf("%g °C in the site file", s.Tank.TemperingC)
}
