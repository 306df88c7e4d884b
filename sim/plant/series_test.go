package plant

import (
	"testing"

	"pgregory.net/rapid"
)

// lone is a 300 l tank without losses and valves, of many layers.
func lone(t testing.TB, startC float64) *Plant {
	c := Typical()
	c.TankUAWK, c.TankConductivityWmK, c.StartC, c.TemperingC = 0, 0, startC, 0
	return build(t, c)
}

// Two 300 l tanks in a row are one of 600 l: all of it comes hot, to the litre.
func TestTwoTanksInSeriesAreOneTallTank(t *testing.T) {
	chain := []*Plant{lone(t, 60), lone(t, 60)}
	got := TapSeries(chain, Draw{Litres: 599, TapC: 60, UsefulC: 60}, 10)
	near(t, "delivered", got.MeanC, 60, 1e-6)
	got = TapSeries(chain, Draw{Litres: 10, TapC: 60, UsefulC: 60}, 10)
	near(t, "the last litre and cold ones", got.MeanC, 15, 1e-6)
	for i, p := range chain {
		near(t, "left", p.tank.hottestC(), 10, 1e-6)
		near(t, "imbalance", p.Book().ImbalanceJ(), 0, 1e-3)
		if i == 0 {
			near(t, "drawn from the first", p.Book().DrawnJ, 300*WaterJKgK*50.0, 10)
		}
	}
}

// A lukewarm first tank preheats: the second tank fills with its water, and
// each book counts what the water gained in it.
func TestFirstTankPreheatsTheSecond(t *testing.T) {
	chain := []*Plant{lone(t, 35), lone(t, 60)}
	got := TapSeries(chain, Draw{Litres: 100, TapC: 60, UsefulC: 60}, 10)
	near(t, "delivered", got.MeanC, 60, 1e-6)
	near(t, "by the first", chain[0].Book().DrawnJ, 100*WaterJKgK*25.0, 1e-3)
	near(t, "by the second", chain[1].Book().DrawnJ, 100*WaterJKgK*25.0, 1e-3)
	near(t, "bottom of the second", chain[1].TankC(0.1), 35, 1e-6)
	near(t, "bottom of the first", chain[0].TankC(0.1), 10, 1e-6)
}

// One plant in a row is that plant, to rounding.
func TestSeriesOfOneIsTap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Typical()
		c.Layers = rapid.IntRange(2, 20).Draw(t, "layers")
		c.InletMixing = rapid.SampledFrom([]float64{0, 0.3, 1}).Draw(t, "mixing")
		c.StartC = rapid.Float64Range(15, 80).Draw(t, "start")
		a, _ := New(c)
		b, _ := New(c)
		for range 20 {
			d := Draw{Litres: rapid.Float64Range(0, 40).Draw(t, "litres"), TapC: 45, UsefulC: 40}
			one, other := a.Tap(d, 12), TapSeries([]*Plant{b}, d, 12)
			if d := one.DeliveredJ - other.DeliveredJ; d > 1 || d < -1 {
				t.Fatalf("%+v by Tap, %+v in a row", one, other)
			}
		}
	})
}

func TestStoppedInletGivesNoWater(t *testing.T) {
	p := lone(t, 60)
	p.Damage.InletStopped = true
	got := p.Tap(Draw{Litres: 10, TapC: 40, UsefulC: 40}, 10)
	if got.Litres != 0 || got.DeliveredJ != 0 || got.AskedJ <= 0 || p.Book().DrawnJ != 0 {
		t.Errorf("%+v", got)
	}
	if got := TapSeries([]*Plant{p, lone(t, 60)}, Draw{Litres: 10, TapC: 40}, 10); got.Litres != 0 {
		t.Errorf("in a row: %+v", got)
	}
	if got := TapSeries(nil, Draw{Litres: 10, TapC: 40}, 10); got.Litres != 0 {
		t.Errorf("no plant: %+v", got)
	}
}
