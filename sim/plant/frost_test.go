package plant

import (
	"testing"

	"sunstoker/physics"
)

func fluidOf(t *testing.T, volumePercent float64) physics.Fluid {
	t.Helper()
	if volumePercent == 0 {
		return physics.Water()
	}
	fraction, err := physics.MassFractionFromVolumePercent(volumePercent)
	if err != nil {
		t.Fatal(err)
	}
	f, err := physics.PropyleneGlycol(fraction)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// Source of the burst line: a glycol maker's guide, from memory; a public
// article (read) has 35 % no longer expand.
func TestFrostBlocksFirstAndBurstsLater(t *testing.T) {
	for _, c := range []struct {
		percent, airC  float64
		lost           float64
		blocked, burst bool
	}{
		{0, 3, 0, false, false},
		{0, -5, 0, true, true},
		{30, -10, 0, false, false},
		{30, -20, 0, true, false}, // slush, but no burst
		{20, -22, 0, true, true},
		{30, -15, 0.6, true, true}, // topped up with water
		{40, -35, 0, true, false},  // enough glycol never bursts
	} {
		cfg := Typical()
		cfg.Fluid = fluidOf(t, c.percent)
		cfg.NightSkyDropShare = 0
		p := build(t, cfg)
		p.Damage.GlycolLost = c.lost
		s := Surroundings{AirC: c.airC, RoomC: 15, ColdC: 8}
		for range 12 * 60 {
			p.Step(&s, 60)
		}
		p.SetPump(1)
		p.Step(&s, 1)
		tr := p.Truth()
		if (tr.FlowKgS == 0) != c.blocked || tr.Hazards.Burst != c.burst {
			t.Errorf("%g %% at %g degC: flow %g kg/s, burst %v, freezes at %.1f", c.percent, c.airC, tr.FlowKgS, tr.Hazards.Burst, tr.FreezingC)
		}
		p.SetPump(0)
		p.Damage = Damage{}
		coolDown(p, 15) // thaws
		p.SetPump(1)
		p.Step(&s, 1)
		if flows := p.Truth().FlowKgS > 0; flows == c.burst {
			t.Errorf("%g %% at %g degC: burst %v, flow after the thaw %v", c.percent, c.airC, c.burst, flows)
		}
		p.RefillLoop()
		p.Step(&Surroundings{AirC: 15, RoomC: 15}, 60)
		p.Step(&Surroundings{AirC: 15, RoomC: 15}, 60)
		if tr := p.Truth(); tr.FlowKgS == 0 || tr.Hazards.Burst {
			t.Errorf("%g %% at %g degC: mended and refilled, but %+v", c.percent, c.airC, tr)
		}
	}
}

// A short frost that the pump's heat ends does not burst a water loop.
func TestFrostProtectionByThePumpSavesAWaterLoop(t *testing.T) {
	cfg := Typical()
	cfg.Fluid = physics.Water()
	p := build(t, cfg)
	s := Surroundings{AirC: -5, RoomC: 15, ColdC: 8}
	for range 12 * 60 {
		level := 0.0
		if p.Truth().CollectorMinC < 4 {
			level = 1
		}
		p.SetPump(level)
		p.Step(&s, 60)
	}
	if tr := p.Truth(); tr.Hazards.Burst || tr.CollectorMinC < 0 {
		t.Errorf("%+v", tr)
	}
}

// Freezing points of a diluted mixture lie between its own and water's, and
// follow physics.PropyleneGlycol.
func TestDilutionRaisesTheFreezingPoint(t *testing.T) {
	f := newFrost(fluidOf(t, 40))
	last := f.freezingC
	for _, lost := range []float64{0.25, 0.5, 0.75, 1} {
		f.dilute(lost)
		mixture, err := physics.PropyleneGlycol(fluidOf(t, 40).GlycolMassFraction() * (1 - lost))
		if err != nil {
			t.Fatal(err)
		}
		near(t, "freezing point", f.freezingC, mixture.FreezingPointC(), 0.2)
		if f.freezingC <= last {
			t.Errorf("%g lost: freezes at %g", lost, f.freezingC)
		}
		last = f.freezingC
	}
}
