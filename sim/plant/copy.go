package plant

// Become makes the plant the same as another one of the same configuration, and
// independent of it, so that one state can be run on in two ways. It uses the
// plant's own memory again; the zero Plant gets its own at the first call.
func (p *Plant) Become(o *Plant) {
	mine := *p
	*p = *o
	p.tank.own(&mine.tank)
	p.loop.field.own(&mine.loop.field)
	p.loop.coil.own(&mine.loop.coil)
	p.tapCoil.own(&mine.tapCoil.coil)
	p.line.supply.column.own(&mine.line.supply.column)
	p.line.returnPipe.column.own(&mine.line.returnPipe.column)
	p.line.through.own(&mine.line.through)
	own(&p.filling.steam.cellJ, mine.filling.steam.cellJ)
}

// own moves a list that is shared with another plant into memory of one's own.
func own(list *[]float64, memory []float64) {
	if *list != nil {
		*list = append(memory[:0], *list...)
	}
}

func (t *tank) own(memory *tank) {
	own(&t.tempC, memory.tempC)
	own(&t.weights, memory.weights)
}

func (f *collector) own(memory *collector) {
	own(&f.cellC, memory.cellC)
	own(&f.slope, memory.slope)
	own(&f.offset, memory.offset)
	own(&f.lossWK, memory.lossWK)
}

func (c *coil) own(memory *coil) {
	own(&c.weights, memory.weights)
	own(&c.effect, memory.effect)
	own(&c.warming, memory.warming)
}
