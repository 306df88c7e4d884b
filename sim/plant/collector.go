package plant

// collector is the field as a row of stirred cells in forward flow direction.
type collector struct {
	cellC         []float64 // inlet side first
	cellJK        float64   // heat capacity of a cell
	a1WK, a2WK2   float64   // loss of a cell
	gainM2        float64   // eta0 times area of a cell
	slope, offset []float64 // of each cell in this step
	lossWK        []float64 // of each cell in this step
	// upstream is the weight of the fluid that enters a cell in the cell's mean
	// temperature, see setFlow.
	upstream float64

	stepS, perStepWK float64 // see inertiaWK
}

func newCollector(c Config) collector {
	n := c.CollectorNodes
	areaM2 := c.Collector.AreaM2 / float64(n)
	field := collector{
		cellC:  make([]float64, n),
		cellJK: c.Collector.CapacityJM2K * areaM2,
		a1WK:   c.Collector.A1WM2K * areaM2,
		a2WK2:  c.Collector.A2WM2K2 * areaM2,
		gainM2: c.Collector.Eta0 * areaM2,
		slope:  make([]float64, n),
		offset: make([]float64, n),
		lossWK: make([]float64, n),
	}
	for i := range field.cellC {
		field.cellC[i] = c.StartC
	}
	return field
}

// setFlow sets the weight of the entering fluid, the rest being that of the
// leaving fluid. For plug flow it is 1/x - 1/(exp x - 1) with x = UA/(m cp);
// 1/(2+x) is its close rational form: a half in strong flow, as the mean of
// inlet and outlet in ISO 9806 asks, and nothing in still fluid.
func (f *collector) setFlow(rateWK float64) {
	const usualDifferenceK = 40
	f.upstream = rateWK / (2*rateWK + f.a1WK + usualDifferenceK*f.a2WK2)
}

func (f *collector) outletC() float64 { return f.cellC[len(f.cellC)-1] }

func (f *collector) meanC() float64 {
	sum := 0.0
	for _, c := range f.cellC {
		sum += c
	}
	return sum / float64(len(f.cellC))
}

// extremesC are the coldest and the hottest cell.
func (f *collector) extremesC() (coldest, hottest float64) {
	coldest, hottest = f.cellC[0], f.cellC[0]
	for _, c := range f.cellC[1:] {
		if c < coldest {
			coldest = c
		}
		if c > hottest {
			hottest = c
		}
	}
	return coldest, hottest
}

func (f *collector) storedJ() float64 { return f.cellJK * f.meanC() * float64(len(f.cellC)) }

// inertiaWK is a cell's heat capacity by the step, kept from step to step.
func (f *collector) inertiaWK(stepS float64) float64 {
	if f.stepS != stepS {
		f.stepS, f.perStepWK = stepS, f.cellJK/stepS
	}
	return f.perStepWK
}

// cellLossWK is the loss coefficient of a cell at its old temperature.
func (f *collector) cellLossWK(cellC, aroundC float64) float64 {
	if cellC <= aroundC {
		return f.a1WK
	}
	return f.a1WK + f.a2WK2*(cellC-aroundC)
}

// rest is a step without flow; it returns the loss in J. sunW is the gain of a
// cell, aroundC the temperature it loses heat to.
func (f *collector) rest(sunW, aroundC, stepS float64) (lossJ float64) {
	inertiaWK := f.inertiaWK(stepS)
	for i, oldC := range f.cellC {
		lossWK := f.cellLossWK(oldC, aroundC)
		newC := (inertiaWK*oldC + sunW + lossWK*aroundC) / (inertiaWK + lossWK)
		f.cellC[i] = newC
		lossJ += lossWK * (newC - aroundC)
	}
	return lossJ * stepS
}

// link works out each cell's slope and offset for a step with flow and returns
// those of the whole field.
func (f *collector) link(forward bool, rateWK, sunW, aroundC, stepS float64) (slope, offset float64) {
	inertiaWK := f.inertiaWK(stepS)
	slope = 1
	for j := range f.cellC {
		i := f.inFlow(j, forward)
		oldC := f.cellC[i]
		lossWK := f.cellLossWK(oldC, aroundC)
		scale := 1 / (inertiaWK + rateWK + lossWK*(1-f.upstream))
		a := (rateWK - lossWK*f.upstream) * scale
		b := (inertiaWK*oldC + sunW + lossWK*aroundC) * scale
		f.slope[i], f.offset[i], f.lossWK[i] = a, b, lossWK
		slope, offset = slope*a, offset*a+b
	}
	return slope, offset
}

// settle sets the cells' new temperatures, from the entering fluid on, and
// returns that of the leaving fluid and the loss in J.
func (f *collector) settle(forward bool, enteringC, aroundC, stepS float64) (leavingC, lossJ float64) {
	inC := enteringC
	for j := range f.cellC {
		i := f.inFlow(j, forward)
		newC := f.slope[i]*inC + f.offset[i]
		lossJ += f.lossWK[i] * (inC + (1-f.upstream)*(newC-inC) - aroundC)
		f.cellC[i] = newC
		inC = newC
	}
	return inC, lossJ * stepS
}

// inFlow is the index of the j-th cell that the fluid meets.
func (f *collector) inFlow(j int, forward bool) int {
	if forward {
		return j
	}
	return len(f.cellC) - 1 - j
}
