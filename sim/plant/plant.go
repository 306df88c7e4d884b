package plant

// maxStepS is the longest single step in s.
const maxStepS = 60

// Damage is what is broken. The zero value is a sound plant. Faults in
// package sim set these fields.
type Damage struct {
	PumpDead           bool    // does not turn, whatever its level
	PumpWelded         bool    // runs at full level, whatever its level
	FlowLost           float64 // share of the flow that is lost to air or dirt, 0 to 1
	CheckValveOpen     bool    // lets fluid pass while the pump rests
	CheckValveShut     bool    // lets nothing pass
	HeaterWelded       bool    // on, whatever it is told
	ElementOpen        bool    // takes no current
	ThermostatWelded   bool    // the heater's thermostat no longer opens
	CutOutBridged      bool    // the cut-out no longer opens
	Shade              float64 // share of the light kept off the collector, 0 to 1
	TemperingStuckHot  bool    // the tempering valve lets everything through
	ReliefValveBlocked bool    // the tank's relief valve does not open

	TemperingStuckCold    bool    // the tempering valve lets little hot water through
	CirculationWelded     bool    // the circulation pump runs, whatever it is told
	CirculationDead       bool    // it does not turn, whatever it is told
	TapCoilScaled         float64 // share of the drinking-water coil's heat transfer lost, 0 to 1
	InletStopped          bool    // no cold water comes, so none leaves the taps
	ElementBare           bool    // no water around the heater's element
	HeaterScaled          float64 // share of the heater's power lost, 0 to 1, see stepHeater
	StoreLeakLitresPerDay float64 // lost by a store of loop fluid on top of the usual

	Snow, Soiling          float64 // shares of the light kept off the collector, 0 to 1
	ContactorOpen          bool    // the heater's contactor does not close
	ThermostatSetC         float64 // the heater's thermostat is set to this; 0: as configured
	CutOutTripped          bool    // opens the cut-out, which stays open until it is reset
	GlycolLost             float64 // share of the glycol lost to age or water, 0 to 1
	LoopLeakLPerDay        float64 // fluid a sealed loop loses, in litres a day
	FluidGone              bool    // no fluid in the loop while it lasts
	CushionLost            bool    // the expansion vessel has no gas left to speak of
	LoopReliefShut         bool    // the loop's relief valve does not open
	LoopReliefWeepsLPerDay float64 // what it loses at 2 bar above the air
	HeatDumpStuck          bool    // the heat dump's valve leads through the coil, whatever it is told
	HeatDumpOpen           bool    // it leads through the dump, likewise
	Outputs                Outputs
}

// Plant is one solar water heater: collector field, pumped loop and tank. It
// is deterministic, allocates nothing after New and is not safe for use by
// several goroutines at once.
type Plant struct {
	// Damage may be changed between steps.
	Damage Damage

	config     Config
	loop       loop
	tank       tank
	heater     heater
	book       Book
	tally      Tally
	startJ     float64
	startTankJ float64
	level      float64 // pump level asked for
	heaterOn   bool    // heater asked for
	heating    bool    // current flows
	releasing  bool    // relief valve open
	boilingC   float64
	freezingC  float64
	boilsAtC   float64 // where the tank's content boils

	extras        bool    // a store or a hot-water line is fitted
	tapCoil       tapCoil // of a store of loop fluid
	line          line    // hot water to the taps
	circulationOn bool    // circulation pump asked for
	dumping       bool    // heat dump asked for
	storeLevel    float64 // share of a store's filling that is left
	alone         [1]*Plant
	bareS         float64 // how long the element has had current without water

	coldestC, hottestC float64 // cells of the collector after this step
	elapsedS           float64
	turning            float64 // level of the pump in the last step
	look               look
	filling            filling
}

// New checks the configuration and returns a plant at rest.
func New(c Config) (*Plant, error) {
	if err := c.Validate(); err != nil {
		return nil, err
	}
	p := &Plant{config: c, tank: newTank(c), heater: newHeater(c), boilingC: c.boilingC(), freezingC: c.Fluid.FreezingPointC()}
	p.loop = newLoop(c)
	p.line = newLine(c)
	p.filling = newFilling(&p.config)
	p.coldestC, p.hottestC = c.StartC, c.StartC
	p.boilsAtC, p.storeLevel = c.tankBoilsC(), 1
	p.extras = c.Store.fitted() || c.Circulation.fitted()
	if c.Store.fitted() {
		p.tapCoil = newTapCoil(c)
	}
	p.startJ, p.startTankJ = p.storedJ(), p.tankStoredJ()
	p.tally = newTally(c)
	return p, nil
}

// Config returns the configuration the plant was built with.
func (p *Plant) Config() Config { return p.config }

// SetPump asks for a pump level from 0 (off) to 1; values outside and NaN are
// clamped, NaN to 0.
func (p *Plant) SetPump(level float64) {
	if p.Damage.Outputs.Held {
		return
	}
	if !(level > 0) { // nor a NaN
		level = 0
	}
	p.level = min(level, 1)
}

// SetHeater asks for the heater. Its own thermostats have the last word.
func (p *Plant) SetHeater(on bool) {
	if !p.Damage.Outputs.Held {
		p.heaterOn = on
	}
}

// ResetCutOut is the person at the heater's reset button. The cut-out opens
// again at once if the water there is still too hot.
func (p *Plant) ResetCutOut() { p.heater.cutOutOpen = false }

// Step moves the plant on by stepS seconds, above 0 and up to 60; anything
// else is clamped to that range. The order is fixed: loop, heater, rest of the
// tank, hot-water line, store, relief valve. Draws are made between steps, by
// Tap.
func (p *Plant) Step(s *Surroundings, stepS float64) {
	if !(stepS > 0) {
		return
	}
	if stepS > maxStepS {
		stepS = maxStepS
	}
	p.stepLoop(s, stepS)
	p.stepHeater(stepS)
	p.book.TankLossJ += p.tank.relax(s.RoomC, stepS)
	if p.extras {
		p.stepExtras(s, stepS)
	}
	p.stepRelief(s, stepS)
	p.count(stepS)
}

func (p *Plant) stepLoop(s *Surroundings, stepS float64) {
	level := p.pumpLevel()
	p.turning = level
	open := 1.0
	p.book.PumpJ += p.config.PumpW * level * stepS
	if d := &p.Damage; d.FlowLost > 0 || d.CheckValveShut || p.filling.passes < 1 {
		open = 1 - clamp(d.FlowLost, 0, 1)
		level *= open * p.filling.passes
		if d.CheckValveShut {
			level = 0
		}
	}
	p.setDump()
	p.loop.drift(&p.config, &p.tank, p.drive(level), open, stepS)
	if p.loop.mayMove(level) {
		p.loop.setFlow(&p.config, level)
	}
	heat := p.loop.step(&p.config, &p.tank, s, p.lightShare(), stepS)
	p.book.SunJ += heat.sunJ
	p.book.CollectorLossJ += heat.collectorLossJ
	p.book.PipeLossJ += heat.pipeLossJ
	p.book.DumpJ += heat.dumpJ
	p.coldestC, p.hottestC = p.loop.field.extremesC()
	p.elapsedS += stepS
	p.stepFilling()
	if heat.toTankJ != 0 {
		p.book.LoopToTankJ += heat.toTankJ
		p.tank.mixInversions()
	}
}

// drive tells what may move the loop beside the pump.
func (p *Plant) drive(level float64) drive {
	valve := p.config.CheckValve && !p.Damage.CheckValveOpen
	switch {
	case level > 0 || p.Damage.CheckValveShut || p.filling.passes < 1 || p.Damage.FlowLost >= 1:
		return held
	case !valve:
		return eitherWay
	case p.config.CheckOpensPa > 0:
		return onward
	}
	return held
}

// lightShare is the share of the light that reaches the collector.
func (p *Plant) lightShare() float64 {
	if d := &p.Damage; d.Shade+d.Snow+d.Soiling != 0 {
		return d.lightShare()
	}
	return 1
}

func (d *Damage) lightShare() float64 {
	return (1 - clamp(d.Shade, 0, 1)) * (1 - clamp(d.Snow, 0, 1)) * (1 - clamp(d.Soiling, 0, 1))
}

func (p *Plant) stepHeater(stepS float64) {
	p.heating = false
	if p.heater.watt == 0 {
		return
	}
	d := &p.Damage
	p.heater.set(p.config.ThermostatC, d)
	p.heater.feel(&p.tank, d.CutOutBridged)
	if !p.heaterDriven() || d.ElementOpen || !p.heater.closed(d.CutOutBridged, d.ThermostatWelded) {
		return
	}
	if p.bare() {
		p.heatBare(stepS)
		return
	}
	p.bareS, p.heating = 0, true
	energyJ := p.heater.watt * stepS
	if d.HeaterScaled > 0 {
		energyJ *= 1 - clamp(d.HeaterScaled, 0, 1)
	}
	p.book.HeaterJ += energyJ
	p.tank.heat(energyJ, p.heater.low, p.heater.high)
}

// stepExtras is a step of what not every plant has.
func (p *Plant) stepExtras(s *Surroundings, stepS float64) {
	if p.line.fitted {
		p.stepCirculation(s, stepS)
	}
	if p.config.Store.fitted() {
		p.stepStore(stepS)
	}
}

// Tap draws water between two steps; see Draw. The cold water that replaces it
// has the temperature given.
func (p *Plant) Tap(d Draw, coldC float64) Drawn {
	if p.extras || p.Damage.InletStopped {
		p.alone[0] = p
		return TapSeries(p.alone[:], d, coldC)
	}
	drawn, takenJ := p.tank.tap(d, coldC, p.temperLimitC())
	p.book.DrawnJ += takenJ
	return drawn
}

func (p *Plant) storedJ() float64 {
	return p.tankStoredJ() + p.loop.storedJ() + p.filling.steam.storedJ()
}

func (p *Plant) tankStoredJ() float64 { return p.tank.storedJ() + p.line.storedJ() }

// Book returns the energy book since the start.
func (p *Plant) Book() Book {
	b := p.book
	b.StoredJ = p.storedJ() - p.startJ
	b.TankStoredJ = p.tankStoredJ() - p.startTankJ
	return b
}
