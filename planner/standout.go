package planner

import "math"

// From when on something of a year is worth a sentence. Common practice, no
// source.
const (
	manyShortShare   = 0.02 // of all draws
	muchStagnationH  = 10
	manyStartsPerDay = 12
	muchLostShare    = 0.35 // of all heat brought in
	scaldingC        = 60
	evenShare        = 0.6  // of the worst month's short draws in the best one
	nightLossShare   = 0.02 // of the month's heat: a loop that cools the tank
	mostStandouts    = 4
	enoughInSummer   = 0.9
	littleInWinter   = 0.25
	freezingNearK    = 5.0
)

// standouts says in two to four sentences what stands out in a year, the
// solar share first and what hurts most after it.
func standouts(r *Run, y *Year) []string {
	out := []string{shareSentence(y)}
	for _, say := range []func(*Run, *Year) string{
		frozenSentence, hotTankSentence, stagnationSentence, shortSentence, huntingSentence, nightSentence, lossSentence, seasonSentence,
	} {
		if len(out) == mostStandouts {
			break
		}
		if s := say(r, y); s != "" {
			out = append(out, s)
		}
	}
	if len(out) == 1 {
		out = append(out, calmSentence(y))
	}
	return out
}

// extreme is the month for which a figure is largest.
func extreme(y *Year, of func(*Month) float64) *Month {
	best := &y.Months[0]
	for i := range y.Months {
		if m := &y.Months[i]; of(m) > of(best) {
			best = m
		}
	}
	return best
}

func shareSentence(y *Year) string {
	total := y.Total()
	most, least := extreme(y, (*Month).SolarShare), extreme(y, func(m *Month) float64 { return -m.SolarShare() })
	if total.FromSunKWh <= 0 {
		return "The sun brought no heat at all into the tank: look at the plane and area of the collectors and at the start difference in the site file."
	}
	out := text("The sun brought %.0f of %.0f kWh of the heat, a solar share of %.0f %%",
		total.FromSunKWh, total.FromSunKWh+total.FromMeterKWh, 100*total.SolarShare())
	if len(y.Months) == 1 || total.FromMeterKWh == 0 {
		return out + "."
	}
	return out + text(": most in %s (%.0f %%), least in %s (%.0f %%).",
		most.Start.Month(), 100*most.SolarShare(), least.Start.Month(), 100*least.SolarShare())
}

func shortSentence(r *Run, y *Year) string {
	total := y.Total()
	if float64(total.ShortDraws) <= manyShortShare*float64(total.Draws) {
		return ""
	}
	worst := extreme(y, func(m *Month) float64 { return float64(m.ShortDraws) })
	best := extreme(y, func(m *Month) float64 { return -float64(m.ShortDraws) })
	if len(y.Months) > 1 && float64(best.ShortDraws) > evenShare*float64(worst.ShortDraws) {
		out := text("%d of %d draws (%.0f %%) were not warm enough, about as many in every month: that is no lack of sun.", total.ShortDraws, total.Draws, 100*float64(total.ShortDraws)/float64(total.Draws))
		if c := r.lowestTemperingC(); c > 0 {
			out += text(" Look at the tempering valve, set to %g °C, against what the household wants, then at the heater.", c)
		}
		return out
	}
	return text("%d of %d draws (%.0f %%) were not warm enough, most of them in %s: heater windows, heater power and the volume above the heater decide that, not the collectors.",
		total.ShortDraws, total.Draws, 100*float64(total.ShortDraws)/float64(total.Draws), worst.Start.Month())
}

// lowestTemperingC is the coldest setting of a tempering valve, 0 for none.
func (r *Run) lowestTemperingC() float64 {
	lowest := 0.0
	for i := range r.site.Systems {
		if c := r.site.Systems[i].Tank.TemperingC; c > 0 && (lowest == 0 || c < lowest) {
			lowest = c
		}
	}
	return lowest
}

func stagnationSentence(_ *Run, y *Year) string {
	total := y.Total()
	if total.StagnationHours < muchStagnationH {
		return ""
	}
	worst := extreme(y, func(m *Month) float64 { return m.StagnationHours })
	return text("The collectors stood above the fluid's boiling point for %.0f hours, most of them in %s (hottest %.0f °C): expansion vessel, pipes and fluid must bear steam, and more collector would bring little.",
		total.StagnationHours, worst.Start.Month(), y.HottestCollectorC)
}

func hotTankSentence(r *Run, y *Year) string {
	if y.HottestTankC < scaldingC {
		return ""
	}
	for i := range r.site.Systems {
		if r.site.Systems[i].Tank.TemperingC == 0 {
			return text("The tank reached %.0f °C, and for system %q the site file names no tempering valve: water like that scalds within seconds.", y.HottestTankC, r.site.Systems[i].Name)
		}
	}
	return ""
}

func frozenSentence(r *Run, y *Year) string {
	for i := range r.site.Systems {
		sys := &r.site.Systems[i]
		if near := y.ColdestCollectorC - sys.FreezingPointC; near < freezingNearK {
			return text("A collector fell to %.0f °C, while the fluid of system %q begins to freeze at %.0f °C: measure its strength, and leave more than %g K between them.", y.ColdestCollectorC, sys.Name, sys.FreezingPointC, freezingNearK)
		}
	}
	return ""
}

func huntingSentence(_ *Run, y *Year) string {
	worst := extreme(y, func(m *Month) float64 { return float64(m.PumpStarts) })
	days := nextMonth(worst.Start).Sub(worst.Start).Hours() / 24
	if perDay := float64(worst.PumpStarts) / days; perDay > manyStartsPerDay {
		return text("The pump started %.0f times a day in %s: a larger start difference or less flow would calm it.", perDay, worst.Start.Month())
	}
	return ""
}

func nightSentence(_ *Run, y *Year) string {
	worst := extreme(y, func(m *Month) float64 { return -m.FromSunKWh })
	if worst.FromSunKWh > -nightLossShare*math.Max(1, worst.FromMeterKWh) {
		return ""
	}
	return text("In %s the loops took %.0f kWh more out of the tanks than they brought: reverse circulation or frost circulation cools them.", worst.Start.Month(), -worst.FromSunKWh)
}

func lossSentence(_ *Run, y *Year) string {
	total := y.Total()
	in := total.FromSunKWh + total.FromMeterKWh
	if in <= 0 || total.TankLossKWh < muchLostShare*in {
		return ""
	}
	return text("The tanks lost %.0f kWh through their insulation, %.0f %% of all heat brought in: better insulation or a smaller tank would help more than more collector.", total.TankLossKWh, 100*total.TankLossKWh/in)
}

func seasonSentence(_ *Run, y *Year) string {
	most, least := extreme(y, (*Month).SolarShare), extreme(y, func(m *Month) float64 { return -m.SolarShare() })
	if most.SolarShare() < enoughInSummer || least.SolarShare() > littleInWinter {
		return ""
	}
	return text("In %s the sun does nearly all of the work, in %s nearly none: a steeper collector would shift some of it.", most.Start.Month(), least.Start.Month())
}

// calmSentence is for years of which there is little to say.
func calmSentence(y *Year) string {
	total := y.Total()
	switch {
	case total.ShortDraws == 0 && total.Draws > 0:
		return text("All %d draws were warm enough.", total.Draws)
	case total.Draws > 0 && float64(total.ShortDraws) <= manyShortShare*float64(total.Draws):
		return text("%d of %d draws were not warm enough, fewer than one in %.0f.", total.ShortDraws, total.Draws, math.Floor(1/manyShortShare))
	}
	return text("The hottest water in a tank was %.0f °C.", y.HottestTankC)
}
