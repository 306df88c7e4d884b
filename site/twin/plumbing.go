package twin

import (
	"math"

	"sunstoker/physics"
	"sunstoker/sim/plant"
	"sunstoker/site"
)

// Insulated pipe of the usual kind. Common practice, no source.
const (
	pipeBoreM        = 0.016
	pipeLossWMK      = 0.17 // W/(m K), insulation as thick as the pipe
	returnPipeBoreM  = 0.012
	returnPipeHeight = 0.6 // where the ring comes back into the tank
)

// usualLine is the line of a house that circulates hot water and does not say
// through what.
var usualLine = site.HotWaterLine{LengthM: 15, BoreM: 0.016}

// plumb puts what a site file says of pipes and safety parts into a plant;
// circulates says that the program switches a circulation.
func plumb(p *plant.Config, sys *site.System, circulates bool) {
	w := &sys.Plumbing
	if w.PipeLengthM > 0 {
		loopPipes(p, w)
	}
	if w.HeightGiven {
		p.CollectorAboveTankM = w.HeightM
	}
	if w.NoCheckValve {
		p.CheckValve = false
	}
	if w.CheckOpensBar > 0 { // natural circulation too may have a light flap
		p.CheckValve, p.CheckOpensPa = true, w.CheckOpensBar*physics.PascalPerBar
	}
	if w.VesselL > 0 {
		p.Sealing.VesselL = w.VesselL
	}
	p.Sealing.NoVessel, p.Sealing.NoRelief = w.NoVessel, w.NoReliefValve
	if w.ReliefBar > 0 {
		p.Sealing.ReliefPaAbs = p.AirPaAbs + w.ReliefBar*physics.PascalPerBar
	}
	line := sys.HotWaterLine
	if circulates && line.LengthM == 0 {
		line = usualLine
	}
	if line.LengthM > 0 {
		p.Circulation.Supply = pipe(line.LengthM, line.BoreM)
		if line.Circulation || circulates {
			p.Circulation.Return = pipe(line.LengthM, returnPipeBoreM)
			p.Circulation.PumpFlowLMin, p.Circulation.PumpW = sys.CirculationLMin, sys.CirculationW
			p.Circulation.ReturnHeight = returnPipeHeight
		}
	}
}

// loopPipes sets both pipes of the loop. In natural circulation they set the
// friction too.
func loopPipes(p *plant.Config, w *site.Plumbing) {
	bore := w.PipeBoreM
	if bore == 0 {
		bore = pipeBoreM
	}
	for _, run := range []*plant.Pipe{&p.HotPipe, &p.ColdPipe} {
		fresh := pipe(w.PipeLengthM, bore)
		fresh.OutdoorShare = w.OutdoorPercent / 100
		if run.BoreM > 0 {
			fresh.BoreM, fresh.LengthM, fresh.FittingsLoss = bore, w.PipeLengthM, run.FittingsLoss
		}
		*run = fresh
	}
}

// pipe is an insulated run of pipe indoors.
func pipe(lengthM, boreM float64) plant.Pipe {
	return plant.Pipe{VolumeL: 1000 * lengthM * math.Pi / 4 * boreM * boreM, UAWK: pipeLossWMK * lengthM}
}
