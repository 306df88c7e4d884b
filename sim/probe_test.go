package sim

import (
	"math"
	"strings"
	"testing"
	"time"
)

func TestProbeLagIsFirstOrder(t *testing.T) {
	truth := 20.0
	p, err := NewProbe(ProbeConfig{Name: "slow", Lag: time.Minute}, func() float64 { return truth }, nil)
	if err != nil {
		t.Fatal(err)
	}
	p.Read(0)
	truth = 120
	for second := 1; second <= 60; second++ {
		p.Read(time.Duration(second) * time.Second)
	}
	got, _ := p.Read(time.Minute)
	// After one time constant 1 - 1/e of a step has come through.
	near(t, "after one time constant", got, 20+100*(1-1/math.E), 1e-9)
}

func TestProbeStepBiasDriftAndNoise(t *testing.T) {
	c := ProbeConfig{Name: "p", BiasK: 0.3, DriftKPerDay: 0.1, StepK: UsualStepK}
	p, err := NewProbe(c, func() float64 { return 50 }, nil)
	if err != nil {
		t.Fatal(err)
	}
	got, ok := p.Read(5 * 24 * time.Hour)
	near(t, "bias and drift in steps", got, 50.8125, 0)
	if !ok {
		t.Error("no reading")
	}
	c = ProbeConfig{Name: "p", NoiseK: 0.2, Seed: 5}
	a, _ := NewProbe(c, func() float64 { return 0 }, nil)
	again, _ := NewProbe(c, func() float64 { return 0 }, nil)
	c.Seed = 6
	other, _ := NewProbe(c, func() float64 { return 0 }, nil)
	square, same := 0.0, 0
	for i := range 20000 {
		at := time.Duration(i) * time.Second
		x, _ := a.Read(at)
		y, _ := again.Read(at)
		z, _ := other.Read(at)
		if x != y {
			t.Fatal("one seed gave two noises")
		}
		if x == z {
			same++
		}
		square += x * x / 20000
	}
	near(t, "noise", math.Sqrt(square), 0.2, 0.005)
	if same > 0 {
		t.Error("two seeds gave one noise")
	}
}

func TestEveryPlaceCanBeRead(t *testing.T) {
	h := build(t, sunnyHouse(t))
	h.SetPump(0, 1)
	h.Advance(noon)
	for _, name := range Places() {
		truth, err := h.TruthAt(0, name)
		if err != nil {
			t.Fatal(err)
		}
		unit, err := PlaceUnit(name)
		if err != nil {
			t.Fatal(err)
		}
		if c := truth(); !(c > 5 && c < 120) && unit == "degC" || !(c >= 0 && c < 10) && unit != "degC" {
			t.Errorf("%s is at %g %s", name, c, unit)
		}
	}
	if _, err := PlaceUnit("cellar"); err == nil {
		t.Error("a place that does not exist has a unit")
	}
	for want, c := range map[string]ProbeConfig{
		"no place":   {Name: "x", Place: "cellar"},
		"no system":  {Name: "x", Place: "collector", System: 1},
		"used twice": {Name: "collector", Place: "collector"},
		"empty":      {Place: "collector"},
		"noise in K": {Name: "x", Place: "collector", NoiseK: -1},
		"lag in s":   {Name: "x", Place: "collector", Lag: -time.Second},
	} {
		if _, err := h.AddProbe(c); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want an error about %q, got %v", want, err)
		}
	}
}

// TestSoundProbeReadsAlike: a sound probe takes a short way; one whose drift is
// too small to see takes the long one. Both read the same, before, in and after a
// fault, with lag and noise and without.
func TestSoundProbeReadsAlike(t *testing.T) {
	for _, c := range []ProbeConfig{
		{Name: "p", BiasK: 0.01, StepK: UsualStepK},
		{Name: "p", BiasK: 0.01, StepK: UsualStepK, Lag: 30 * time.Second, NoiseK: 0.3},
	} {
		truth := 0.0
		of := func(driftKPerDay float64) *Probe {
			c.DriftKPerDay = driftKPerDay
			p, err := NewProbe(c, func() float64 { return truth }, nil)
			if err != nil {
				t.Fatal(err)
			}
			return p
		}
		short, long := of(0), of(1e-300)
		for i := range 3000 {
			switch i {
			case 1000:
				short.setFault(probeFault{frozen: true, frozenAtC: math.NaN()})
				long.setFault(probeFault{frozen: true, frozenAtC: math.NaN()})
			case 2000:
				short.setFault(probeFault{})
				long.setFault(probeFault{})
			}
			truth = -30 + 0.0437*float64(i)
			at := time.Duration(i+i/100) * time.Second // not quite even
			got, _ := short.Read(at)
			want, _ := long.Read(at)
			far := c.Lag == 0 && i < 1000 && math.Abs(got-truth-0.01) > UsualStepK/2+1e-9
			if got != want || math.Mod(got, UsualStepK) != 0 || far {
				t.Fatalf("reading %d of %g degC: %g the short way, %g the long way", i, truth, got, want)
			}
		}
	}
}

// A meter scatters by a share of what it reads, and is still at zero.
func TestMeterIsStillAtZero(t *testing.T) {
	truth := 0.0
	p, err := NewProbe(ProbeConfig{Name: "flow", NoiseShare: 0.01}, func() float64 { return truth }, nil)
	if err != nil {
		t.Fatal(err)
	}
	if got, _ := p.Read(0); got != 0 {
		t.Errorf("%g at rest", got)
	}
	truth = 4
	square := 0.0
	for i := range 20000 {
		got, _ := p.Read(time.Duration(i) * time.Second)
		square += (got - truth) * (got - truth) / 20000
	}
	near(t, "scatter of a flow of 4 l/min", math.Sqrt(square), 0.04, 0.001)
}
