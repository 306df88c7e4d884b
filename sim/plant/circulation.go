package plant

// Circulation is the hot-water line from tank to taps, with or without a ring
// back and a pump. The zero Circulation is taps at the tank.
type Circulation struct {
	// Supply leads from the tank (or its drinking-water coil) to the taps.
	Supply Pipe
	// Return leads from the taps back; only with a pump.
	Return Pipe
	// PumpFlowLMin is the flow around the ring in litres a minute while its pump
	// runs. Zero: a line without return, which cools between draws.
	PumpFlowLMin float64
	// PumpW is the pump's electric power in W.
	PumpW float64
	// ReturnHeight is where the ring comes back into the tank, 0 to 1. In a
	// store of loop fluid it is where the ring joins the drinking-water coil.
	ReturnHeight float64
}

// TypicalCirculation is a ring of 15 m of insulated pipe each way, 16 and 12 mm
// inside (common practice, no source).
func TypicalCirculation() Circulation {
	return Circulation{
		Supply:       Pipe{VolumeL: 3.0, UAWK: 3.0},
		Return:       Pipe{VolumeL: 1.7, UAWK: 2.5},
		PumpFlowLMin: 3,
		PumpW:        8,
		ReturnHeight: 0.6,
	}
}

func (c Circulation) fitted() bool { return c.Supply.VolumeL > 0 }

func (c Circulation) ranges() []valueRange {
	if !c.fitted() {
		return []valueRange{
			{"the hot-water line's volume in litres", c.Supply.VolumeL, 0, 0},
			{"the circulation's flow without a hot-water line in l/min", c.PumpFlowLMin, 0, 0},
		}
	}
	leastReturn := 0.0
	if c.PumpFlowLMin > 0 {
		leastReturn = 0.01
	}
	return []valueRange{
		{"the hot-water line's volume in litres", c.Supply.VolumeL, 0.01, 1e4},
		{"the hot-water line's loss in W/K", c.Supply.UAWK, 0, 1e4},
		{"the hot-water line's outdoor share", c.Supply.OutdoorShare, 0, 1},
		{"the circulation's return volume in litres", c.Return.VolumeL, leastReturn, 1e4},
		{"the circulation's return loss in W/K", c.Return.UAWK, 0, 1e4},
		{"the circulation's return outdoor share", c.Return.OutdoorShare, 0, 1},
		{"the circulation's flow in l/min", c.PumpFlowLMin, 0, 1000},
		{"the circulation pump's power in W", c.PumpW, 0, 1e4},
		{"the height of the circulation's return", c.ReturnHeight, 0, 1},
	}
}

// linePipe is a pipe of drinking water that moves as a plug, so that hot water
// reaches the tap with a sharp front. It is a tank on its side: the same cells
// that travel with the water, without conduction and without mixing.
type linePipe struct {
	column       tank
	litres       float64
	outdoorShare float64
}

// lineCells is the number of cells of a pipe: a front is blurred by no more
// than one of them.
const lineCells = 8

func newLinePipe(p Pipe, startC float64) linePipe {
	column := tank{
		layers:     lineCells,
		tempC:      make([]float64, lineCells+1),
		layerJK:    p.VolumeL / lineCells * WaterJKgK,
		uaWK:       p.UAWK,
		generation: 1,
	}
	for k := range column.tempC {
		column.tempC[k] = startC
	}
	return linePipe{column: column, litres: p.VolumeL, outdoorShare: p.OutdoorShare}
}

// beginC and endC are the water at the pipe's two ends.
func (l *linePipe) beginC() float64 {
	if l.column.fill > 0 {
		return l.column.tempC[0]
	}
	return l.column.tempC[1]
}

func (l *linePipe) endC() float64 { return l.column.topC() }

// passable is how many litres can be pushed before the next cell comes out.
func (l *linePipe) passable() float64 { return (1 - l.column.fill) * l.litres / lineCells }

// push lets litres in, at most passable, and returns how hot as many leave.
func (l *linePipe) push(litres, inC float64) (outC float64) {
	return l.column.pull(litres/l.litres*lineCells, inC)
}

// inOneGo is how many litres can be foretold by lastC: all but the cell that
// is still filling, whose water mixes with what comes in.
func (l *linePipe) inOneGo() float64 { return l.litres * (lineCells - 1) / lineCells }

// lastC is the mean of the litres, at most inOneGo, that leave next.
func (l *linePipe) lastC(litres float64) float64 {
	cells := litres / l.litres * lineCells
	left, sum := cells, 0.0
	for k := lineCells; k > 0 && left > 0; k-- {
		part := min(left, l.column.share(k))
		sum += part * l.column.tempC[k]
		left -= part
	}
	return sum / (cells - max(left, 0))
}

// lose is a step's loss in J, exact over the step.
func (l *linePipe) lose(s *Surroundings, stepS float64) float64 {
	return l.column.relax(s.RoomC+l.outdoorShare*(s.AirC-s.RoomC), stepS)
}

// line is the hot-water line of a plant with its ring.
type line struct {
	fitted, ring       bool
	supply, returnPipe linePipe
	// through is the ring's way through the tank, or through the upper part of
	// the drinking-water coil of a store.
	through coil
	rateWK  float64
	turning bool
}

func newLine(c Config) line {
	k := c.Circulation
	if !k.fitted() {
		return line{}
	}
	l := line{fitted: true, ring: k.PumpFlowLMin > 0, supply: newLinePipe(k.Supply, c.StartC)}
	if !l.ring {
		return l
	}
	l.returnPipe = newLinePipe(k.Return, c.StartC)
	l.rateWK = k.PumpFlowLMin / 60 * WaterJKgK
	n := float64(c.Layers)
	low, high := min(k.ReturnHeight*n, n-1), n
	if c.Store.fitted() {
		top, bottom := c.Store.TapCoilTop*n, c.Store.TapCoilBottom*n
		low, high = clamp(k.ReturnHeight*n, bottom, top-0.1*(top-bottom)), top
	}
	l.through = newSpan(c.Layers, low, high)
	l.through.direct = !c.Store.fitted()
	return l
}

func (l *line) storedJ() float64 {
	if !l.fitted {
		return 0
	}
	storedJ := l.supply.column.storedJ()
	if l.ring {
		storedJ += l.returnPipe.column.storedJ()
	}
	return storedJ
}

// SetCirculation asks for the circulation pump.
func (p *Plant) SetCirculation(on bool) { p.circulationOn = on }

// stepCirculation moves the ring and lets the line cool for a step.
func (p *Plant) stepCirculation(s *Surroundings, stepS float64) {
	l := &p.line
	wanted := (p.circulationOn || p.Damage.CirculationWelded) && !p.Damage.CirculationDead && p.Powered()
	l.turning = l.ring && wanted
	if l.turning {
		p.book.CirculationPumpJ += p.config.Circulation.PumpW * stepS
		p.tally.CirculationS += stepS
		l.circulate(p, stepS)
	}
	p.book.CirculationLossJ += l.supply.lose(s, stepS)
	if l.ring {
		p.book.CirculationLossJ += l.returnPipe.lose(s, stepS)
	}
}

// circulate sends the ring's water on: what leaves the return passes the tank
// and enters the supply.
func (l *line) circulate(p *Plant, stepS float64) {
	if st := &p.config.Store; st.fitted() {
		whole := st.transferWK(p.config.Circulation.PumpFlowLMin, p.Damage.TapCoilScaled)
		n := float64(p.config.Layers)
		l.through.setTransfer(whole * (l.through.high - l.through.low) / ((st.TapCoilTop - st.TapCoilBottom) * n))
	}
	perS := l.rateWK / WaterJKgK // litres
	longestS := l.returnPipe.inOneGo() / perS
	for leftS := stepS; leftS > 1e-9*stepS; {
		seconds := min(leftS, longestS)
		l.through.prepare(&p.tank, l.rateWK, seconds)
		inC := l.returnPipe.lastC(seconds * perS)
		outC, _ := l.through.settle(&p.tank, false, inC, l.rateWK, seconds)
		p.book.RingJ += l.rateWK * seconds * (outC - inC)
		l.push(seconds*perS, outC)
		leftS -= seconds
	}
	p.tank.mixInversions()
}

// push lets litres into the ring and as many out at its end.
func (l *line) push(litres, inC float64) {
	for left := litres; left > 1e-12*litres; {
		piece := min(left, l.supply.passable(), l.returnPipe.passable())
		l.returnPipe.push(piece, l.supply.push(piece, inC))
		left -= piece
	}
}
