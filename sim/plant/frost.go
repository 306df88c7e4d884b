package plant

import (
	"math"

	"sunstoker/physics"
)

// frost is what cold does to the loop's fluid. Water that freezes blocks the
// flow and bursts its pipe. A mixture with glycol turns to slush first, which
// flows for some kelvin below the freezing point, then blocks; it bursts
// something only well below, or never if it holds enough glycol.
//
// The latent heat of freezing is left out; instead the cold must last.
type frost struct {
	freezing, bursting [frostRows]float64 // in degC, by the share of glycol lost
	glycolLost         float64
	freezingC, burstsC float64
	coldS              float64 // how long the coldest cell has been below burstsC
	blocked, burst     bool
	slushK             float64
}

const (
	frostRows = 11
	// slushFlowsK is how far below its freezing point a mixture still flows:
	// between the freezing point (ASTM D1177) and the protection temperature (DIN
	// 51583) of usual mixtures (common practice, no source for the figure).
	slushFlowsK = 4
	// burstNeedsS is how long the cold must last to freeze a pipe through
	// (common practice, no source).
	burstNeedsS = 3600
	// neverBursts is below any weather.
	neverBursts = -1000
)

// burstRows are the percent by volume of propylene glycol that keep a loop from
// bursting down to a temperature. Source: a glycol maker's guide, from memory,
// but for the last: a public article (read) has a mixture of 35 % no longer
// expand as it freezes.
var burstRows = [...]struct{ percent, tempC float64 }{
	{0, -1}, {12, -6.7}, {24, -17.8}, {30, -28.9}, {35, neverBursts},
}

func burstsBelowC(percent float64) float64 {
	for i := 1; i < len(burstRows); i++ {
		a, b := burstRows[i-1], burstRows[i]
		if percent < b.percent {
			if b.tempC == neverBursts {
				b.tempC = -40
			}
			return a.tempC + (b.tempC-a.tempC)*(percent-a.percent)/(b.percent-a.percent)
		}
	}
	return neverBursts
}

func newFrost(fluid physics.Fluid) frost {
	f := frost{slushK: slushFlowsK}
	if fluid.GlycolMassFraction() == 0 {
		f.slushK = 0
	}
	for i := range frostRows {
		fraction := fluid.GlycolMassFraction() * (1 - float64(i)/(frostRows-1))
		// Neither can fail: the fluid's own fraction is in range, and so is less.
		mixture, _ := physics.PropyleneGlycol(fraction)
		percent, _ := physics.VolumePercentFromMassFraction(fraction)
		f.freezing[i], f.bursting[i] = mixture.FreezingPointC(), burstsBelowC(percent)
	}
	f.freezing[0] = fluid.FreezingPointC()
	f.dilute(0)
	return f
}

// dilute sets freezing and bursting point for a share of the glycol lost.
func (f *frost) dilute(lost float64) {
	f.glycolLost = lost
	at := clamp(lost, 0, 1) * (frostRows - 1)
	i := min(int(at), frostRows-2)
	part := at - float64(i)
	f.freezingC = f.freezing[i] + part*(f.freezing[i+1]-f.freezing[i])
	f.burstsC = f.bursting[i]
	if part > 0 && f.bursting[i+1] > neverBursts {
		f.burstsC = math.Max(f.burstsC, -40)
		f.burstsC += part * (f.bursting[i+1] - f.burstsC)
	}
}

// step follows the coldest cell for a time and returns the freezing point.
func (f *frost) step(coldestC, glycolLost, sinceS float64) (freezingC float64) {
	if glycolLost != f.glycolLost {
		f.dilute(glycolLost)
	}
	switch {
	case coldestC < f.burstsC:
		f.coldS += sinceS
	case coldestC > f.freezingC:
		f.coldS = 0
	}
	f.burst = f.burst || f.coldS >= burstNeedsS
	f.blocked = coldestC < f.freezingC-f.slushK
	return f.freezingC
}

func (f *frost) mend() { f.burst, f.coldS = false, 0 }
