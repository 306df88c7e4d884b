package plant

// stirInlet lets the jet of the cold inlet stir the lowest part of the tank
// (Config.InletMixing): the cells that lie wholly in it take their mean. Doing
// it again changes nothing, so the result hardly depends on the length of a draw's
// portions.
func (t *tank) stirInlet() {
	first := 0
	if t.fill == 0 {
		first = 1
	}
	share, heatC, last := 0.0, 0.0, first-1
	for k := first; k <= t.layers; k++ {
		if _, high := t.bounds(k); high > t.inletLayers+1e-9 {
			break
		}
		share += t.share(k)
		heatC += t.share(k) * t.tempC[k]
		last = k
	}
	if last <= first {
		return
	}
	meanC := heatC / share
	for k := first; k <= last; k++ {
		t.tempC[k] = meanC
	}
	if first == 1 {
		t.tempC[0] = t.tempC[1]
	}
}

// jetPortion is how many layers may come in between two stirrings: a
// sixteenth of what is stirred, so that a draw in one piece comes out as one in
// many.
func (t *tank) jetPortion() float64 { return t.inletLayers / 16 }
