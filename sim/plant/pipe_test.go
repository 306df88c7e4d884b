package plant

import (
	"math"
	"testing"

	"sunstoker/physics"

	"pgregory.net/rapid"
)

// Exact solution of a plug-flow pipe: a step at the inlet comes out after the
// content has passed, by exp(-UA/(m cp)) colder (package physics).
func TestPipeDelaysAndCools(t *testing.T) {
	s := Surroundings{AirC: 0, RoomC: 20}
	for _, stepS := range []float64{1, 10, 60} {
		for _, forward := range []bool{true, false} {
			p := newPipe(Pipe{VolumeL: 5, UAWK: 4, OutdoorShare: 0.5}, physics.Water(), 20)
			rateWK := p.capacityJK / 120 // two minutes through
			at := 0.0
			for p.outC < 40 {
				p.link(&s, forward, rateWK, stepS)
				p.settle(&s, forward, 60)
				at += stepS
			}
			near(t, "delay", at, 120, 0.05*120+stepS)
			for range 20 {
				p.link(&s, forward, rateWK, stepS)
				p.settle(&s, forward, 60)
			}
			want := physics.PipeOutletC(60, 10, 4, 1, rateWK)
			near(t, "outlet", p.outC, want, 0.02*(60-want)+60*stepS/120*0.01)
		}
	}
}

// The whole content is lost as Newton's law has it, at any step.
func TestStillPipeCools(t *testing.T) {
	s := Surroundings{AirC: 5, RoomC: 5}
	for _, stepS := range []float64{1, 60} {
		p := newPipe(Pipe{VolumeL: 3, UAWK: 2, OutdoorShare: 1}, physics.Water(), 65)
		for range int(7200 / stepS) {
			p.rest(&s, stepS)
		}
		near(t, "after two hours", p.meanC(), physics.CooledC(65, 5, 7200, p.capacityJK/2), 1e-9)
	}
}

// Whatever flows, in whatever direction, the pipe gives no more than it got and
// its parcels hold what its book says.
func TestPipeKeepsItsBook(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := newPipe(Pipe{VolumeL: rapid.Float64Range(0, 20).Draw(t, "litres"), UAWK: rapid.Float64Range(0, 50).Draw(t, "loss")}, physics.Water(), 20)
		startJ, inJ, turnedJ := p.heatJ, 0.0, 1e4
		for range 200 {
			s := Surroundings{RoomC: rapid.Float64Range(-20, 40).Draw(t, "room")}
			stepS := rapid.SampledFrom([]float64{0.1, 10, 60}).Draw(t, "step")
			rateWK := rapid.SampledFrom([]float64{0, 1e-6, 3, 200, 5000}).Draw(t, "rate")
			if rateWK == 0 {
				inJ -= p.rest(&s, stepS)
				continue
			}
			forward := rapid.Bool().Draw(t, "forward")
			enteringC := rapid.Float64Range(-30, 200).Draw(t, "entering")
			p.link(&s, forward, rateWK, stepS)
			lossJ := p.settle(&s, forward, enteringC)
			inJ += rateWK*stepS*(enteringC-p.outC) - lossJ
			turnedJ += rateWK * stepS * 200
			if !(p.outC > -31 && p.outC < 201) {
				t.Fatalf("%g degC leave", p.outC)
			}
		}
		heatJ, jk := 0.0, 0.0
		for i := range p.count {
			c := p.parcels[(p.first+i)%parcelRoom]
			heatJ += c.jk * (p.scale*c.x + p.shift)
			jk += c.jk
		}
		if math.Abs(jk-p.capacityJK) > 1e-9*(p.capacityJK+1) || math.Abs(heatJ-p.heatJ) > 1e-9*turnedJ || math.Abs(p.heatJ-startJ-inJ) > 1e-9*turnedJ {
			t.Fatalf("parcels hold %g J in %g J/K, the book says %g J in %g J/K, came in %g J", heatJ, jk, p.heatJ, p.capacityJK, startJ+inJ)
		}
	})
}
