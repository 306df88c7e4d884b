package planner

import (
	"fmt"
	"math"

	"sunstoker/physics"
	"sunstoker/sim/plant"
)

// CorrelationName is the published method that [Correlation] works by.
const CorrelationName = "the monthly correlation of Klein, Beckman and Duffie (1976), with the hot-water correction of Beckman, Klein and Duffie (1977)"

// Correlation holds a year against a published monthly correlation: it gathers,
// while a run goes on, the weather as the correlation wants it, and works out its
// solar share for the same light, air, mains, demand, collector (in its inlet form)
// and coil. See package physics for what of it was read and what is from memory.
//
// The correlation knows a pumped loop with one field and one tank, no pipes, no
// valve, no layers of the tank and no controller. Several systems count as one of
// their size; a loop of natural circulation as one with a pump of the usual flow.
type Correlation struct {
	run                                  *Run
	airC, coldC, planeWM2, absorbableWM2 [13]mean // by month counted from 1, of the first system's plane
}

// Temperatures of the loop at which the correlation's constants are taken, and
// the flow of a loop that has no pump. Common practice, no source.
const (
	correlationC         = 45
	correlationExcessK   = 30 // of the collector's inlet above the air
	correlationLMinPerM2 = 1.0
	mostGain             = 3 // gain ratio Y, see physics.ChartFraction
)

// NewCorrelation makes one for a run that has not begun.
func NewCorrelation(r *Run) *Correlation { return &Correlation{run: r} }

// See takes down the weather of a step; it is an observer for [RunYear].
func (c *Correlation) See(r *Run) {
	k := r.House.Now().Month()
	light := r.House.Light(0)
	c.airC[k].add(r.House.Sky().AirC)
	c.coldC[k].add(r.House.ColdC())
	c.planeWM2[k].add(light.IrradianceWM2)
	c.absorbableWM2[k].add(light.AbsorbableWM2)
}

// Share is the correlation's solar share of a year's demand, 0 to 1, for water
// delivered at a temperature in °C, where the demand of a month may hold the losses
// that are to be borne with it. In a month with more sun for its demand than the
// correlation goes, such as one of holidays, as much of the field counts as it
// knows, which can only be too little. An error when the plant or a month is out of
// the correlation's range.
func (c *Correlation) Share(y *Year, deliveredC float64, loadKWh func(*Month) float64) (float64, error) {
	collector, areaM2, err := c.collector()
	if err != nil {
		return 0, err
	}
	litres := 0.0
	for i := range c.run.plants {
		litres += c.run.plants[i].TankLitres
	}
	var loadJ, solarJ float64
	for i := range y.Months {
		load := loadKWh(&y.Months[i])
		if !(load > 0) {
			continue // nobody was at home
		}
		from := y.Months[i].Start
		k := from.Month()
		month := physics.SolarMonth{
			Collector: collector, AreaM2: areaM2, Days: math.Round(nextMonth(from).Sub(from).Hours() / 24),
			AmbientC: c.airC[k].value(), PlaneJM2Day: c.planeWM2[k].value() * 86400,
			AngleFactor: c.absorbableWM2[k].value() / c.planeWM2[k].value(),
			LoadJ:       load * joulesPerKWh, StoreLitrePerM2: litres / areaM2,
			DeliveredC: deliveredC, MainsC: c.coldC[k].value(),
		}
		if gain := month.GainRatio(); gain > mostGain {
			month.AreaM2 *= (1 - 1e-9) * mostGain / gain
		}
		share, err := month.Fraction()
		if err != nil {
			return 0, fmt.Errorf("%v: %w", k, err)
		}
		loadJ += month.LoadJ
		solarJ += share * month.LoadJ
	}
	if loadJ == 0 {
		return 0, fmt.Errorf("nothing was drawn in the year")
	}
	return solarJ / loadJ, nil
}

// collector is the field of all systems in its inlet form, with the coils' factor.
func (c *Correlation) collector() (inlet physics.InletCollector, areaM2 float64, err error) {
	rateWK, coilUAWK := 0.0, 0.0
	for i := range c.run.plants {
		p := &c.run.plants[i]
		areaM2 += p.Collector.AreaM2
		coilUAWK += p.CoilUAWK
		rateWK += loopRateWK(p)
	}
	field := c.run.plants[0].Collector
	field.AreaM2 = areaM2
	if inlet, err = field.InletForm(rateWK, correlationExcessK); err != nil || coilUAWK == 0 {
		return inlet, areaM2, err // a store of loop fluid has no coil in the loop
	}
	factor, err := inlet.LoopExchangerFactor(areaM2, rateWK, rateWK, -math.Expm1(-coilUAWK/rateWK))
	inlet.FRTauAlpha *= factor
	inlet.FRULWM2K *= factor
	return inlet, areaM2, err
}

// loopRateWK is the heat that a plant's loop carries per kelvin.
func loopRateWK(p *plant.Config) float64 {
	flowLMin := p.PumpFlowLMin
	if flowLMin == 0 {
		flowLMin = correlationLMinPerM2 * p.Collector.AreaM2
	}
	return flowLMin / 60000 * p.Fluid.DensityKgM3(correlationC) * p.Fluid.SpecificHeatJKgK(correlationC)
}
