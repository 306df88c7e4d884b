package twin

import (
	"time"

	"sunstoker/control"
	"sunstoker/sim"
	"sunstoker/site"
)

// felt is how a usual probe follows its place, by how much its readings scatter
// (a standard deviation, in the place's unit or as a share of the reading), and
// in which steps it reads.
type felt struct {
	lag               time.Duration
	noise, noiseShare float64
	step              float64
}

// A temperature that is read twice from a digital probe of 12 bits differs by
// one step of 1/16 K now and then.
const temperatureNoiseK = 0.03

// meterNoise is that of flow meters and current clamps, which are still while
// nothing flows.
const meterNoise = 0.01

// usualProbes are the probes of a usual fit: small digital ones in dry pockets
// with paste, strapped to pipes under insulation, and outdoors in a vented box.
// Common practice, no source, but for the steps of thermometers.
var usualProbes = map[control.Place]felt{
	control.Collector:         {30 * time.Second, temperatureNoiseK, 0, sim.UsualStepK},
	control.TankTop:           {30 * time.Second, temperatureNoiseK, 0, sim.UsualStepK},
	control.TankBottom:        {30 * time.Second, temperatureNoiseK, 0, sim.UsualStepK},
	control.OutdoorAir:        {5 * time.Minute, temperatureNoiseK, 0, sim.UsualStepK},
	control.CoilReturn:        {30 * time.Second, temperatureNoiseK, 0, sim.UsualStepK},
	control.CirculationReturn: {30 * time.Second, temperatureNoiseK, 0, sim.UsualStepK},
	control.Tap:               {15 * time.Second, temperatureNoiseK, 0, sim.UsualStepK},
	control.LoopFlow:          {2 * time.Second, 0, meterNoise, 0.05},
	control.DrawFlow:          {2 * time.Second, 0, meterNoise, 0.05},
	control.LoopPressure:      {1 * time.Second, 0.01, 0, 0.01},
	control.PumpCurrent:       {1 * time.Second, 0, meterNoise, 0.005},
	control.HeaterCurrent:     {1 * time.Second, 0, meterNoise, 0.05},
	control.CirculationButton: {0, 0, 0, 1}, // a switch
}

// highNoise is how much more a badly laid cable scatters than a usual one
// (common practice, no source).
const highNoise = 10

// probeOf is the simulated probe of a reading of the plan.
func probeOf(s *site.Site, reading int, o *Options) sim.ProbeConfig {
	w := &s.Probes[reading]
	usual := usualProbes[w.Place]
	c := sim.ProbeConfig{
		Name: ProbeName(s, reading), System: max(0, w.System), Place: w.Place.String(),
		Lag: usual.lag, NoiseK: usual.noise, NoiseShare: usual.noiseShare, StepK: usual.step, Seed: o.Seed,
	}
	if w.Felt.LagGiven {
		c.Lag = time.Duration(w.Felt.LagS * float64(time.Second))
	}
	switch w.Felt.Noise {
	case site.NoNoise:
		c.NoiseK, c.NoiseShare = 0, 0
	case site.HighNoise:
		c.NoiseK, c.NoiseShare = highNoise*c.NoiseK, highNoise*c.NoiseShare
	}
	return c
}
