package plant

// mixInversions lets warm water below cold water rise: neighbouring cells in
// which the lower is warmer are stirred until every cell is at least as warm
// as the one below. Heat is kept. The result does not depend on the order in
// which cells are stirred.
//
// Water below 4 degC, which is lightest when coldest, is treated like all
// other water: a tank is not run there.
func (t *tank) mixInversions() {
	cells, n := t.tempC, t.layers
	first := 0
	if t.fill == 0 { // cell 0 is empty
		first = 1
		cells[0] = cells[1]
	}
	for k := first; k < n; k++ {
		if cells[k] > cells[k+1] {
			k = t.stirAround(first, k) - 1
		}
	}
	if first == 1 {
		cells[0] = cells[1]
	}
}

// stirAround stirs cell k with the one above it and with all further cells that
// turn out to be on the wrong side of the mixture. It returns the topmost cell
// stirred.
func (t *tank) stirAround(first, k int) int {
	cells, n := t.tempC, t.layers
	low, high := k, k+1
	share := t.share(low) + t.share(high)
	heatC := t.share(low)*cells[low] + t.share(high)*cells[high]
	for {
		// Comparing with heatC instead of the mean spares a division.
		if high < n && cells[high+1]*share < heatC {
			high++
			share += t.share(high)
			heatC += t.share(high) * cells[high]
		} else if low > first && cells[low-1]*share > heatC {
			low--
			share += t.share(low)
			heatC += t.share(low) * cells[low]
		} else {
			break
		}
	}
	meanC := heatC / share
	for i := low; i <= high; i++ {
		cells[i] = meanC
	}
	return high
}
