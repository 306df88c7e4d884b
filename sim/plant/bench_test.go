package plant

import (
	"math"
	"testing"
)

// benchYear drives a plant through a sun-like day again and again, with a
// simple difference switch and a draw every half hour of the day.
func benchStep(p *Plant, i int, stepS float64) {
	second := math.Mod(float64(i)*stepS, 86400)
	s := Surroundings{AirC: 15, RoomC: 20, ColdC: 12, SkyDropK: 10}
	if second > 6*3600 && second < 18*3600 {
		x := (second - 12*3600) / (6 * 3600)
		s.AbsorbableWM2 = 800 * (1 - x*x)
	}
	if i&7 == 0 {
		if p.CollectorC() > p.TankC(0.2)+8 {
			p.SetPump(1)
		} else if p.CollectorC() < p.TankC(0.2)+3 {
			p.SetPump(0)
		}
	}
	if i%180 < 6 && second > 6*3600 {
		p.Tap(Draw{Litres: 6 * stepS / 60, TapC: 40, UsefulC: 40}, s.ColdC)
	}
	p.Step(&s, stepS)
}

func BenchmarkStep(b *testing.B) {
	p, err := New(Typical())
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		benchStep(p, i, 10)
	}
	b.ReportMetric(p.tank.topC(), "degC")
}
