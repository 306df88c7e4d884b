package plant

import "testing"

// benchStep drives a plant in steps of 10 s through a sun-like day again and
// again, with a simple difference switch and a draw every half hour of the day.
func benchStep(p *Plant, i int) {
	const stepS = 10
	second := float64(i % (86400 / stepS) * stepS)
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
		p.Tap(Draw{Litres: 6.0 * stepS / 60, TapC: 40, UsefulC: 40}, s.ColdC)
	}
	p.Step(&s, stepS)
}

// BenchmarkDay is the mean step of sunny days with pump, rest and draws.
func BenchmarkDay(b *testing.B) {
	p := build(b, Typical())
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		benchStep(p, i)
	}
}

// BenchmarkNaturalDay is the same of a plant without pump.
func BenchmarkNaturalDay(b *testing.B) {
	p := build(b, TypicalNatural())
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		benchStep(p, i)
	}
}

// BenchmarkStill is a step with pump and heater at rest.
func BenchmarkStill(b *testing.B) {
	p := build(b, Typical())
	s := Surroundings{AirC: 5, RoomC: 20, ColdC: 12, SkyDropK: 10}
	b.ReportAllocs()
	for b.Loop() {
		p.Step(&s, 10)
	}
}

// BenchmarkPumping is a step with the pump on.
func BenchmarkPumping(b *testing.B) {
	p := build(b, Typical())
	s := Surroundings{AirC: 15, RoomC: 20, ColdC: 12, AbsorbableWM2: 300}
	p.SetPump(1)
	b.ReportAllocs()
	for b.Loop() {
		p.Step(&s, 10)
	}
}

// BenchmarkDrawing is a step with a tap open and the pump on.
func BenchmarkDrawing(b *testing.B) {
	p := build(b, Typical())
	s := Surroundings{AirC: 15, RoomC: 20, ColdC: 12, AbsorbableWM2: 600}
	p.SetPump(1)
	b.ReportAllocs()
	for b.Loop() {
		p.Tap(Draw{Litres: 0.5, TapC: 40, UsefulC: 40}, s.ColdC)
		p.Step(&s, 10)
	}
}
