package plant

// pool is a run of cells that have been stirred together.
type pool struct {
	cells int
	share float64 // size in whole layers
	heatC float64 // share times temperature
}

// warmerThan compares mean temperatures without dividing, which would cost more
// than all the rest of the mixing.
func (p pool) warmerThan(q pool) bool { return p.heatC*q.share > q.heatC*p.share }

// mixInversions lets warm water below cold water rise: neighbouring cells in
// which the lower is warmer are stirred until every cell is at least as warm
// as the one below. Heat is kept. The result is the same as that of stirring
// pairs until nothing changes, in one pass (pooling of adjacent violators).
//
// Water below 4 degC, which is lightest when coldest, is treated like all
// other water: a tank is not run there.
func (t *tank) mixInversions() {
	cells, n := t.tempC, t.layers
	k := 1
	if t.fill == 0 {
		cells[0] = cells[1]
	} else if cells[0] > cells[1] {
		k = n + 1
	}
	for ; k < n; k++ {
		if cells[k] > cells[k+1] {
			break
		}
	}
	if k == n {
		return
	}
	t.poolAdjacent()
}

func (t *tank) poolAdjacent() {
	pools := t.pools[:0]
	first := 0
	if t.fill == 0 {
		first = 1
	}
	for k := first; k <= t.layers; k++ {
		share := t.share(k)
		top := pool{cells: 1, share: share, heatC: share * t.tempC[k]}
		for n := len(pools) - 1; n >= 0 && pools[n].warmerThan(top); n-- {
			below := pools[n]
			pools = pools[:n]
			top = pool{top.cells + below.cells, top.share + below.share, top.heatC + below.heatC}
		}
		pools = append(pools, top)
	}
	k := first
	for _, p := range pools {
		if p.cells == 1 {
			k++ // leave an untouched cell exactly as it is
			continue
		}
		meanC := p.heatC / p.share
		for range p.cells {
			t.tempC[k] = meanC
			k++
		}
	}
	if first == 1 {
		t.tempC[0] = t.tempC[1]
	}
}
