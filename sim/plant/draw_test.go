package plant

import "testing"

// Water serves until it is a kelvin colder than of use, out of a tank alone and
// through systems in series; the column of cold draws hangs on it.
func TestWhatIsWarmEnough(t *testing.T) {
	const usefulC, coldC = 40, 10
	for _, c := range []struct {
		tankC  float64
		serves bool
	}{{40, true}, {39.1, true}, {38.9, false}, {37.5, false}} {
		draw := Draw{Litres: 5, TapC: 45, UsefulC: usefulC, FlowLMin: 6}
		alone := build(t, stirred(1e6, 0, c.tankC)).Tap(draw, coldC)
		series := TapSeries([]*Plant{build(t, stirred(1e6, 0, c.tankC))}, draw, coldC)
		for name, got := range map[string]Drawn{"alone": alone, "in series": series} {
			if (got.AtTemperatureJ > 0) != c.serves || got.DeliveredJ <= 0 {
				t.Errorf("%s: a tank of %g degC for %d degC: %+v", name, c.tankC, usefulC, got)
			}
		}
	}
}
