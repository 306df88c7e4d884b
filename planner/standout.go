package planner

import (
	"math"
	"slices"

	"sunstoker/site"
)

// From when on something of a year is worth a sentence. Common practice, no
// source.
const (
	manyShortShare   = 0.02 // of all draws
	muchStagnationH  = 10
	manyStartsPerDay = 12
	shortRunMin      = 10   // mean length of a run of the pump
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
	say := []func(*Run, *Year) string{
		cutOutSentence, frozenSentence, hotTankSentence, stagnationSentence, shortSentence, huntingSentence, nightSentence, lossSentence, seasonSentence,
	}
	if y.crippled() { // nothing that is advice on size
		say = []func(*Run, *Year) string{crippledSentence, frozenSentence, cutOutSentence, hotTankSentence}
	}
	for _, say := range say {
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
	if total.FromSunKWh <= 0 && y.crippled() {
		return "The sun brought no heat at all into the tank."
	}
	if total.FromSunKWh <= 0 {
		return "The sun brought no heat at all into the tank: look at the plane and area of the collectors and at the start difference in the site file."
	}
	out := text("The sun brought %.0f of %.0f kWh of the heat, a solar share of %.0f %%",
		total.FromSunKWh, total.FromSunKWh+total.FromMeterKWh, 100*total.SolarShare())
	if total.Flattering() {
		return out + text("; but %d of %d draws were not warm enough, so that share tells where the heat came from and not that there was enough.", total.ShortDraws, total.Draws)
	}
	most, least, ok := shareExtremes(y)
	if !ok || total.FromMeterKWh == 0 {
		return out + "."
	}
	return out + text(": most in %s (%.0f %%), least in %s (%.0f %%).",
		most.Start.Month(), 100*most.SolarShare(), least.Start.Month(), 100*least.SolarShare())
}

// shareExtremes are the months of the highest and of the lowest solar share; the
// highest is never one that flatters. Not ok if they are the same.
func shareExtremes(y *Year) (most, least *Month, ok bool) {
	least = extreme(y, func(m *Month) float64 { return -m.SolarShare() })
	most = extreme(y, func(m *Month) float64 {
		if m.Flattering() {
			return -1
		}
		return m.SolarShare()
	})
	return most, least, most.SolarShare() > least.SolarShare() && !most.Flattering()
}

// cutOutSentence tells of the first trip, after which nobody resets.
func cutOutSentence(r *Run, y *Year) string {
	if len(y.Trips) == 0 {
		return ""
	}
	first := y.Trips[0]
	out := text("The cut-out of the heater of system %q opened on %s. In a simulation nobody resets it: the heater was dead for %s.",
		r.site.Systems[first.System].Name, first.At.Format("2 January 2006 at 15:04"), hoursOrDays(y.Total().CutOutHours))
	if len(y.Trips) > 1 {
		out = text("Cut-outs of heaters opened %d times, first that of system %q on %s. In a simulation nobody resets them: heaters were dead for %s, added up.",
			len(y.Trips), r.site.Systems[first.System].Name, first.At.Format("2 January 2006 at 15:04"), hoursOrDays(y.Total().CutOutHours))
	}
	return out + " It opens when the water beside the heater is too hot: compare the tank limit, and the heater's stop and thermostat, with the cut-out's setting."
}

// hoursOrDays writes a length of time in the unit that suits it.
func hoursOrDays(hours float64) string {
	switch {
	case hours >= 72:
		return text("%.0f days", hours/24)
	case hours >= 2:
		return text("%.0f hours", hours)
	}
	return text("%.0f minutes", hours*60)
}

// reportedSentences are the findings of the controller in a year.
func reportedSentences(y *Year) []string {
	var out []string
	for _, f := range y.Reported {
		times := "once"
		if f.Times > 1 {
			times = text("%d times", f.Times)
		}
		out = append(out, text("%s: %s, for %s in all, first on %s (%s).",
			f.Kind.Title(), times, hoursOrDays(f.For.Hours()), f.First.Format("2 January 15:04"), f.Kind.Urgency()))
	}
	return out
}

func shortSentence(r *Run, y *Year) string {
	total := y.Total()
	if float64(total.ShortDraws) <= manyShortShare*float64(total.Draws) {
		return ""
	}
	worst := extreme(y, func(m *Month) float64 { return float64(m.ShortDraws) })
	switch {
	case len(y.Trips) > 0 && total.Flattering(): // both told of before, with the cause
		return ""
	case len(y.Trips) > 0:
		return text("%d of %d draws (%.0f %%) were not warm enough, most of them in %s.",
			total.ShortDraws, total.Draws, 100*float64(total.ShortDraws)/float64(total.Draws), worst.Start.Month())
	}
	best := extreme(y, func(m *Month) float64 { return -float64(m.ShortDraws) })
	if len(y.Months) > 1 && float64(best.ShortDraws) > evenShare*float64(worst.ShortDraws) {
		out := text("%d of %d draws (%.0f %%) were not warm enough, about as many in every month: that is no lack of sun.", total.ShortDraws, total.Draws, 100*float64(total.ShortDraws)/float64(total.Draws))
		if c := r.lowestTemperingC(); c > 0 {
			out += text(" Look at the tempering valve, set to %g °C, against what the household wants, then at the heater.", c)
		}
		return out
	}
	why := "heater windows, heater power and the volume above the heater decide that, not the collectors"
	if !r.heated() {
		why = "no heater makes up for the sun that is missing"
	}
	return text("%d of %d draws (%.0f %%) were not warm enough, most of them in %s: %s.",
		total.ShortDraws, total.Draws, 100*float64(total.ShortDraws)/float64(total.Draws), worst.Start.Month(), why)
}

// heated tells whether any system has a backup heater.
func (r *Run) heated() bool {
	return slices.ContainsFunc(r.site.Systems, func(s site.System) bool { return s.Heater.PowerW > 0 })
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

// frozenSentence holds each collector against the freezing point that its fluid
// had then, which is not that of the site file where its antifreeze was lost.
func frozenSentence(r *Run, y *Year) string {
	for i, m := range y.FrostMargins {
		sys := &r.site.Systems[i]
		if m.nearK() >= freezingNearK {
			continue
		}
		out := text("The collector of system %q fell to %.0f °C, while its fluid begins to freeze at %.0f °C", sys.Name, m.ColdestC, m.FreezingC)
		if m.nearK() < 0 {
			out += ": ice stops the flow and can burst the collector"
		}
		switch {
		case sys.AntifreezePercent == 0:
			return out + ". Plain water is safe only where no night comes near freezing; anywhere else the loop needs antifreeze."
		case m.FreezingC > sys.FreezingPointC+1:
			return out + text(", no longer at the %.0f °C of its %g %% of antifreeze, part of which is lost. Measure its strength, and renew it before the first frost.", sys.FreezingPointC, sys.AntifreezePercent)
		}
		return out + text(". Measure its strength, and leave more than %g K between them.", freezingNearK)
	}
	return ""
}

// huntingSentence is for a pump that keeps switching: clouds alone make a day of
// many starts, but not of runs that are all short.
func huntingSentence(_ *Run, y *Year) string {
	worst := extreme(y, func(m *Month) float64 {
		if m.huntingPump() {
			return float64(m.PumpStarts)
		}
		return 0
	})
	if !worst.huntingPump() {
		return ""
	}
	return text("The pump started %.0f times a day in %s and ran for %.0f minutes each time: a larger start difference or less flow would calm it.",
		worst.startsPerDay(), worst.Start.Month(), 60*worst.PumpHours/float64(worst.PumpStarts))
}

func (m *Month) startsPerDay() float64 {
	return float64(m.PumpStarts) / (nextMonth(m.Start).Sub(m.Start).Hours() / 24)
}

func (m *Month) huntingPump() bool {
	return m.startsPerDay() > manyStartsPerDay && m.PumpHours*60 < shortRunMin*float64(m.PumpStarts)
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
	most, least, ok := shareExtremes(y)
	if !ok || most.SolarShare() < enoughInSummer || least.SolarShare() > littleInWinter {
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
