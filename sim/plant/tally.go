package plant

// Tally is what the plant went through since the start: hours in seconds, the
// extremes, and how often things were switched.
type Tally struct {
	PumpS, HeaterS           float64 // pump turning, current in the heater
	PumpStarts, HeaterStarts int
	SteamingS                float64 // collector above the fluid's boiling point
	FlowIntoSteamS           float64 // and fluid driven into it
	FreezingS                float64 // part of the collector below the fluid's freezing point
	ReliefS                  float64 // relief valve open
	CirculationS             float64 // circulation pump turning
	BareS                    float64 // current in the element without water
	ElementsBurnt            int     // by it
	CutOutS                  float64 // cut-out open
	CutOutTrips              int
	HottestCollectorC        float64 // in degC
	ColdestCollectorC        float64
	HottestTankC             float64 // of the tank's top

	turned, heated, cut bool // in the last step
}

func newTally(c Config) Tally {
	return Tally{HottestCollectorC: c.StartC, ColdestCollectorC: c.StartC, HottestTankC: max(c.StartC, c.startTopC())}
}

// Tally returns what the plant went through so far.
func (p *Plant) Tally() Tally { return p.tally }

// count adds a step to the tally.
func (p *Plant) count(stepS float64) {
	t := &p.tally
	turns := p.turning > 0
	if turns {
		t.PumpS += stepS
		if !t.turned {
			t.PumpStarts++
		}
	}
	if p.heating {
		t.HeaterS += stepS
		if !t.heated {
			t.HeaterStarts++
		}
	}
	t.turned, t.heated = turns, p.heating
	if cut := p.heater.cutOutOpen; cut || t.cut {
		t.countCutOut(cut, stepS)
	}
	if p.steaming() {
		t.SteamingS += stepS
		if p.loop.flow.rateWK > 0 {
			t.FlowIntoSteamS += stepS
		}
	}
	if p.coldestC < p.freezingC {
		t.FreezingS += stepS
	}
	if p.releasing {
		t.ReliefS += stepS
	}
	// Comparisons, since this is done at each step and the built-in maximum of
	// floats costs more.
	if p.hottestC > t.HottestCollectorC {
		t.HottestCollectorC = p.hottestC
	}
	if p.coldestC < t.ColdestCollectorC {
		t.ColdestCollectorC = p.coldestC
	}
	if topC := p.tank.topC(); topC > t.HottestTankC {
		t.HottestTankC = topC
	}
}

func (t *Tally) countCutOut(open bool, stepS float64) {
	if open {
		t.CutOutS += stepS
		if !t.cut {
			t.CutOutTrips++
		}
	}
	t.cut = open
}
