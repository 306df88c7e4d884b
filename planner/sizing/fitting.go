package sizing

import (
	"fmt"
	"math"
	"slices"

	"sunstoker/control"
	"sunstoker/physics"
	"sunstoker/site"
)

// fitting is an option with all that is to be fitted worked out. Everything is by
// system. The formulas are those of package physics; what the sheet says of them
// stands in sheet.go.
type fitting struct {
	option

	antifreezePercent, freezesC float64 // percent by volume; 0 for water
	flowLMin                    float64 // of a pumped loop
	pipe                        pipe
	headPa                      float64 // that the pump must overcome, at its flow
	collectorL, coilL, pipesL   float64 // contents
	storeL                      float64 // of loop fluid in the store

	sealed                                        bool // against the air
	heightM                                       float64
	fillBar, prechargeBar, atCollectorBar, boilsC float64
	reliefBar, endBar, steamL, vesselL            float64

	tankLossWK, tankLimitC, cutOutC float64
	heatedL, needW, heaterW         float64
	coilM2                          float64
}

// pipe is a copper pipe by its outer diameter.
type pipe struct {
	outerMM float64
	boreM   float64
}

// pipes are usual sizes of copper pipe (EN 1057, from memory).
var pipes = []pipe{{12, 0.010}, {15, 0.013}, {18, 0.016}, {22, 0.020}, {28, 0.025}, {35, 0.032}, {42, 0.039}}

// Sizes in which things are sold. Common practice, no source.
var (
	vesselsL = []float64{8, 12, 18, 25, 35, 50, 80, 105, 150, 200, 300, 500}
	heatersW = []float64{1000, 1500, 2000, 2500, 3000, 4500, 6000, 9000, 12000, 18000, 27000}
)

// Figures of fitting. Common practice, no source, unless one is named.
const (
	flowLMinPerM2    = 1.0
	mostPipeMS       = 0.7  // faster whistles and wears
	fittingsFactor   = 1.3  // bends and valves, on top of the straight pipe
	coilAndFieldPa   = 10e3 // of coil, collectors and check valve
	pumpedAtC        = 20   // a cold loop is the thickest that a pump must move
	coilM2PerM2      = 0.25
	coilLPerM2       = 2.4 // of coil: a tube of some 25 mm
	naturalPipesL    = 1.8 // both short pipes of a natural loop
	naturalHeightM   = 1.5
	pumpedReliefBar  = 6
	naturalReliefBar = 3
	steamPipeShare   = 0.2 // of the pipes' content, that steam can reach
	ceilingMarginK   = 5   // of the boiling point above the restart ceiling, as the check of a site asks
	heatedShare      = 0.4 // of the tank lies above a heater at 60 % of its height
	temperingC       = 50
	heaterStartC     = 50
	heaterStopC      = 55
	usualCutOutC     = 90
	underBoilingK    = 3
	limitUnderCutK   = 10
)

// Settings that are left as they are.
var (
	usual           = control.DefaultSettings()
	usualTankLimitC = usual.TankLimitC
)

// fit works an option out for a house.
func fit(w *site.Wish, o option) (*fitting, error) {
	f := &fitting{option: o, sealed: w.Choices.Store == site.DrinkingWater}
	var err error
	if f.tankLossWK, err = tankLossWK(o.tankL); err != nil {
		return nil, err
	}
	if err = f.fill(w); err != nil {
		return nil, err
	}
	f.layPipes(w)
	if err = f.heat(w); err != nil {
		return nil, err
	}
	if f.sealed {
		return f, f.seal(w.House.AltitudeM)
	}
	f.storeL = o.tankL
	return f, nil
}

// fluid is what the loop is filled with.
func (f *fitting) fluid() (physics.Fluid, error) {
	s := site.System{Glycol: f.antifreezePercent > 0, AntifreezePercent: f.antifreezePercent}
	return s.LoopFluid()
}

// fill chooses the fluid.
func (f *fitting) fill(w *site.Wish) (err error) {
	if f.antifreezePercent, err = site.Antifreeze(w.House.ColdestC); err != nil {
		return err
	}
	fluid, err := f.fluid()
	f.freezesC = fluid.FreezingPointC()
	return err
}

// layPipes chooses flow and pipes, and works out what they hold and take.
func (f *fitting) layPipes(w *site.Wish) {
	if f.sealed { // the fluid of an open store needs no coil
		f.coilM2 = coilM2PerM2 * f.areaM2()
		f.coilL = coilLPerM2 * f.coilM2
	}
	f.collectorL = float64(f.modules) * w.Collector.ContentL
	if f.natural() {
		f.pipesL, f.heightM = naturalPipesL, naturalHeightM
		return
	}
	f.heightM = w.Roof.HeightM
	f.flowLMin = flowLMinPerM2 * f.areaM2()
	f.pipe = pipes[len(pipes)-1]
	if i := slices.IndexFunc(pipes, func(p pipe) bool { return physics.PipeSpeedMS(f.flowLMin, p.boreM) <= mostPipeMS }); i >= 0 {
		f.pipe = pipes[i]
	}
	f.pipesL = 2 * physics.PipeContentLitre(f.pipe.boreM, w.Roof.PipeM)
	fluid, err := f.fluid()
	if err != nil {
		return // fill has told of it
	}
	flowKgS := f.flowLMin / 60000 * fluid.DensityKgM3(pumpedAtC)
	f.headPa = fittingsFactor*fluid.PipeFrictionPa(flowKgS, f.pipe.boreM, 2*w.Roof.PipeM, pumpedAtC) + coilAndFieldPa
}

// heat chooses the backup heater, its cut-out and the tank limit, which must lie
// below the boiling point of a place's air.
func (f *fitting) heat(w *site.Wish) (err error) {
	boils := math.Floor(physics.WaterBoilingPointC(physics.AirPressurePa(w.House.AltitudeM)))
	f.cutOutC = min(usualCutOutC, boils-underBoilingK)
	f.tankLimitC = min(usualTankLimitC, f.cutOutC-limitUnderCutK)
	f.heatedL = heatedShare * f.tankL
	f.needW = physics.HeaterPowerW(f.heatedL, planningColdC, heaterStopC, w.Choices.Recovery.Seconds())
	f.heaterW, err = next("a heater", "W", heatersW, f.needW)
	return err
}

// next is the first of some sizes that is enough; none may be.
func next(what, unit string, sizes []float64, need float64) (float64, error) {
	for _, size := range sizes {
		if size >= need {
			return size, nil
		}
	}
	return 0, fmt.Errorf("it needs %s of %.0f %s, and the largest usual one has %g %s; give smaller tanks or fields, or more time for recovery", what, need, unit, sizes[len(sizes)-1], unit)
}

// contentL is all the fluid of a loop, without a store.
func (f *fitting) contentL() float64 { return f.collectorL + f.coilL + f.pipesL }

// seal chooses pressures and the expansion vessel.
func (f *fitting) seal(altitudeM float64) error {
	f.reliefBar = pumpedReliefBar
	if f.natural() {
		f.reliefBar = naturalReliefBar
	}
	f.fillBar = roundUp(physics.FillPressureBar(f.heightM, altitudeM, usual.RestartCeilingC+ceilingMarginK), 0.1)
	f.prechargeBar = f.fillBar - physics.PrechargeBelowFillBar
	f.atCollectorBar = f.fillBar - 0.1*f.heightM
	f.boilsC = physics.WaterBoilingPointC(f.atCollectorBar*physics.PascalPerBar + physics.AirPressurePa(altitudeM))
	f.endBar = physics.VesselEndBar(f.reliefBar)
	f.steamL = f.collectorL + steamPipeShare*f.pipesL
	least, err := physics.SolarVessel{ContentLitre: f.contentL(), SteamLitre: f.steamL, PrechargeBar: f.prechargeBar, FillBar: f.fillBar, EndBar: f.endBar}.Litre()
	if err != nil {
		return fmt.Errorf("with the collectors %g m above the gauge, a relief valve of %g bar leaves no room for expansion: %w", f.heightM, f.reliefBar, err)
	}
	f.vesselL, err = next("an expansion vessel", "l", vesselsL, least)
	return err
}

// roundUp rounds to the next step, but for the dust of a computation.
func roundUp(x, step float64) float64 { return math.Round(math.Ceil(x/step-1e-9)*step*1e6) / 1e6 }
