package control

import (
	"math"
	"time"
)

// The outlook: steps of a quarter of an hour, as draws are learned, as far as a day
// ahead is worth a look.
const (
	outlookStep  = slotMinutes * time.Minute
	outlookHours = float64(outlookStep) / float64(time.Hour)
	outlookMins  = int(outlookStep / time.Minute)
	hourSteps    = 60 / slotMinutes         // for whose draws hot water must be ready
	outlookSteps = 18 * hourSteps           // that are looked through for want of hot water
	sunSteps     = 12 * hourSteps           // of sun that may spare the heater
	drawSteps    = 18 * hourSteps           // of draws that it may serve
	outlookFar   = outlookSteps + drawSteps // that are foreseen for it
	sunAhead     = sunSteps * outlookStep   // as the texts say it
	drawAhead    = drawSteps * outlookStep  // likewise
)

// Figures of the rule, tuned on simulated houses that no table of results shows
// (the train cases of the bench of controllers).
const (
	// leastSuretyPercent is what is worth a heater.
	leastSuretyPercent = 50
	// neededK is how much hotter than at the tap water must be to count as hot, for
	// the scatter of probes and the errors of the picture.
	neededK = 1
	// leastNeedKWh is a need for which a cold tank is not heated, as washing hands.
	leastNeedKWh = 0.25
	// sunSpares are the deviations that are not kept ready when the sun is to bring all
	// that will be wanted: what was heated and nobody has drawn then takes its place. It
	// never takes away the mean of the draws.
	sunSpares = 1.6
	// dullDeviations are kept ready on top when no sun is to come for a day: heat
	// that is made early is then only made early.
	dullDeviations = 1.2
	// dearDeviations, times the part of their price that is saved now, are kept ready on
	// top for hours of dearer power: what a bath takes more than the mean would be heated
	// then, and what nobody has drawn serves later.
	dearDeviations = 6
	// sparedDeviations bring the deviations of single hours to the share of all
	// heat: when an hour's draws are more than foreseen only their end is cold, and
	// most hours find more hot water than they need.
	sparedDeviations = 1.75
	// longTail is how much longer than a bell's the tail of what households draw is: the
	// guests, the second bath.
	longTail = 2.5
	// leastDeviations is where less surety ends to spare heat.
	leastDeviations = -0.3
	// restartK is how far below heater_stop the water must be for a heater that rests
	// there to go on again.
	restartK = 1
	// holdOn is how far ahead want of hot water keeps a heater on that runs.
	holdOn = 30 * time.Minute
)

// outlook is what is foreseen of a system, step by step.
type outlook struct {
	drawKWh [outlookFar]float64 // in the mean
	sunKWh  [outlookFar]float64 // likewise
	sureKWh [outlookFar]float64 // of the sun's, that nine days of ten have
	told    float64             // share of the sun's of the first steps that others have foretold
	cheap   time.Duration       // how long power is cheap from now on; 0 when it is dear
	again   time.Duration       // until it is cheap again after that
}

// foresee looks ahead from now.
func (c *Controller) foresee(s *system) (o outlook) {
	m := &s.mem.SunFirst
	sight := c.sightOf(s)
	lit, litTold := 0.0, 0.0 // clear light of the first steps, and the share of it that goes by others
	for i := range outlookFar {
		begin := c.minute + i*outlookMins
		lead := restOfToday
		if begin >= dayMinutes {
			lead = allTomorrow
		}
		o.drawKWh[i] = m.Draws.within(c.dayOf, begin, outlookMins)
		clearKW := s.clearKW[(begin+outlookMins/2)%dayMinutes/60]
		toldKW, told := c.toldAt(s, time.Duration(i)*outlookStep+outlookStep/2)
		sunKW, sureKW, trust := sight.at(lead, clearKW, toldKW, told)
		o.sunKWh[i], o.sureKWh[i] = sunKW*outlookHours, sureKW*outlookHours
		if i < sunSteps {
			lit, litTold = lit+clearKW, litTold+trust*clearKW
		}
	}
	if litTold > 0 {
		o.told = min(1, litTold/lit) // rounding must not leave what a restart refuses
	}
	if s.offPeak && len(c.tariff) == 0 {
		cheap := s.set.OffPeakWindows.until(false, c.minute)
		again := cheap + s.set.OffPeakWindows.until(true, c.minute+cheap)
		o.cheap, o.again = time.Duration(cheap)*time.Minute, time.Duration(again)*time.Minute
	}
	return o
}

// careful is how many deviations more than the mean of an hour are kept ready for
// a share of heat that is to come warm. Much less than the mean spares little and
// leaves far too much cold.
func careful(suretyPercent float64) float64 {
	bell := math.Sqrt2 * math.Erfinv(2*suretyPercent/100-1)
	return max(leastDeviations, longTail*(bell-sparedDeviations))
}

// planHeater works out when the heater must start at the latest, and lets it
// start if that is now. It lets the picture of the tank run ahead without the
// heater, under a cautious sun and the mean of the draws, and sees at each step
// whether what an hour may ask for is there. If it is not, all the water above
// the heater must have been heated until then.
func (c *Controller) planHeater(s *system) {
	m, f := &s.mem.SunFirst, &s.figures
	o := c.foresee(s)
	coldC, needC := s.coldWaterC(), s.set.TapC+neededK
	deviations := careful(s.set.SuretyPercent)
	above := float64(pictureLayers - f.heaterAt)
	aboveJK, aboveWK := above*f.layerJK, above*f.lossWK
	layers := m.Tank.Layers
	sun, wanted := sum(o.sunKWh[:sunSteps]), sum(o.drawKWh[:drawSteps])
	m.SunKWh, m.WantedKWh, m.ToldShare = sun, wanted, o.told
	const aDay = int(24 * time.Hour / outlookStep)
	dull := 1 - covers(sum(o.sunKWh[:aDay]), sum(o.drawKWh[:aDay]))
	latest, lacksJ := math.Inf(1), 0.0 // s from now, and what must be heated by then
	needed := latest                   // likewise, whatever power costs
	for i := range outlookSteps {
		draws := sum(o.drawKWh[i : i+hourSteps])
		reserve := deviations - sunSpares*covers(sun, wanted)
		dearer := dearDeviations * c.tariff.dearer(c.minute, i*outlookMins)
		must := m.needKWh(draws, max(min(0, deviations), reserve)+dullDeviations*dull)
		need := m.needKWh(draws, max(min(0, deviations), reserve+dearer)+dullDeviations*dull)
		hotJ := layers.hotJ(f, coldC, needC)
		if needJ := need * jPerKWh; need > leastNeedKWh && hotJ < needJ {
			toC := min(s.set.HeaterStopC, max(needC, coldC+needJ/aboveJK))
			lacks := layers.lacksJ(f, toC)
			if !m.Heat && toC == s.set.HeaterStopC && lacks < restartK*aboveJK {
				lacks = 0
			}
			if lacks > 0 {
				lasts := lacks / f.heaterW
				h := heating{seconds(time.Duration(i)*outlookStep) - lasts, lacks, lasts, aboveWK * lacks / aboveJK}
				if must > leastNeedKWh && hotJ < must*jPerKWh {
					needed = min(needed, h.latest)
				}
				if start := c.cheapest(&h, &o); start < latest {
					latest, lacksJ = start, lacks
				}
			}
			if needed <= 0 {
				break
			}
		}
		layers.draw(f, o.drawKWh[i]*jPerKWh, coldC, needC)
		layers.sun(f, o.sureKWh[i]*jPerKWh)
		layers.cool(f, seconds(outlookStep))
		sun += o.sunKWh[i+sunSteps] - o.sunKWh[i]
		wanted += o.drawKWh[i+drawSteps] - o.drawKWh[i]
	}
	proves := m.Heat && s.mem.HeaterEffort > s.heatBudget/2
	m.decide(o.cheaper(latest, lacksJ/f.heaterW))
	m.Ahead = m.Heat && needed-seconds(m.StartIn) > seconds(holdOn)
	m.Heat = m.Heat || proves
}

// needKWh is what an hour may ask for, beside what may have been drawn unseen,
// where its mean and the deviations more than that are given.
func (m *SunFirst) needKWh(hourKWh, deviations float64) float64 {
	return hourKWh + deviations*math.Sqrt((hourKWh+m.Tank.UnseenKWh)*m.Draws.burst())
}

// cheaper brings a start forward so that it is done in the cheap hours of now, as
// late as they allow, unless power is cheap again by then. Both are in seconds.
func (o *outlook) cheaper(latest, heatingS float64) float64 {
	if latest < o.again.Seconds() {
		return min(latest, o.cheap.Seconds()-heatingS)
	}
	return latest
}

// decide turns the latest start, s from now, into the plan.
func (m *SunFirst) decide(latest float64) {
	hold := planPeriod
	if m.Heat {
		hold = holdOn
	}
	m.Starts = !math.IsInf(latest, 1)
	m.StartIn = 0
	if m.Starts {
		m.StartIn = time.Duration(max(0, latest) * float64(time.Second))
	}
	m.Heat = latest <= hold.Seconds()
}

// covers is the part of what is wanted that the sun is to bring, 0 to 1.
func covers(sunKWh, wantedKWh float64) float64 {
	return min(1, sunKWh/max(leastNeedKWh, wantedKWh))
}

func sum(v []float64) (total float64) {
	for _, x := range v {
		total += x
	}
	return total
}
