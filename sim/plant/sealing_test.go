package plant

import (
	"testing"

	"sunstoker/physics"
)

// stagnate lets the sun shine on a resting plant for hours of a day and cools
// it in the night that follows.
func stagnate(p *Plant, sunWM2, hours, stepS float64, look func()) {
	hot := Surroundings{AbsorbableWM2: sunWM2, AirC: 30, RoomC: 20, ColdC: 10}
	for range int(hours * 3600 / stepS) {
		p.Step(&hot, stepS)
		look()
	}
}

func coolDown(p *Plant, airC float64) {
	cold := Surroundings{AirC: airC, RoomC: 20, ColdC: 10}
	for range 12 * 60 {
		p.Step(&cold, 60)
	}
}

// Source: Boyle's law (physics.SealedGas), the pressure of a still plant that is
// warm all through.
func TestPressureFollowsTheCushion(t *testing.T) {
	for _, tempC := range []float64{5, 15, 40, 80} {
		c := Typical()
		c.StartC = tempC
		p := build(t, c)
		s := Surroundings{AirC: tempC, RoomC: tempC, ColdC: 10}
		p.Step(&s, 60)
		f := &p.filling
		gas := physics.SealedGas{VolumeLitre: f.sealing.VesselL, PrechargePaAbs: f.sealing.PrechargePaAbs}
		growth := c.Fluid.DensityKgM3(15)/c.Fluid.DensityKgM3(tempC) - 1
		want := gas.PressurePaAbs(gas.TakenLitre(c.fillPa()) + f.contentL*growth)
		near(t, "pressure in Pa", p.Truth().LoopPressurePa, want, 20)
		near(t, "boiling point", p.Truth().BoilingC, c.Fluid.BoilingPointC(want-c.headPa()), 0.05)
	}
}

// Source: the form of EN 12828 (physics.VesselNeed): the vessel the plant fills
// in for itself takes expansion and the collector's steam below 0.9 of the
// relief valve's pressure.
func TestUsualVesselIsAsTheStandardHasIt(t *testing.T) {
	c := Typical()
	s := c.Sealing.usual(&c)
	gas := physics.SealedGas{VolumeLitre: s.VesselL, PrechargePaAbs: s.PrechargePaAbs}
	need, err := physics.VesselNeed{
		ContentLitre:      s.contentL(&c),
		ExpansionFraction: c.Fluid.DensityKgM3(fillC)/c.Fluid.DensityKgM3(hotLoopC) - 1,
		ReserveLitre:      gas.TakenLitre(c.fillPa()),
		SteamLitre:        s.collectorL(&c) + 0.5,
		PrechargeBar:      s.PrechargePaAbs/1e5 - 1,
		EndBar:            5.4 + physics.StandardPressurePa/1e5 - 1,
	}.VesselLitre()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "vessel in litres", s.VesselL, need, 0.01*need)
}

// On a mountain the air lets a loop that is filled without pressure boil early,
// also once its fluid is gone.
//
// Source: IAPWS-IF97, water boils at 90 degC under 70182 Pa (from memory).
func TestThinAirLetsALoopBoilEarly(t *testing.T) {
	c := Typical()
	c.Fluid, c.CollectorAboveTankM, c.StartC = physics.Water(), 0, 15
	c.AirPaAbs, c.LoopPressurePaAbs = 70182, 70182
	p := build(t, c)
	cold := Surroundings{AirC: 15, RoomC: 15, ColdC: 10}
	p.Step(&cold, 60)
	near(t, "boiling point", p.Truth().BoilingC, 90, 0.1)
	near(t, "pressure in Pa", p.Truth().LoopPressurePa, c.AirPaAbs, 50)
	p.Damage.FluidGone = true
	p.Step(&cold, 60)
	near(t, "pressure of an empty loop in Pa", p.Truth().LoopPressurePa, c.AirPaAbs, 1e-6)
}

// A loop sized for it steams, empties its collector into the vessel, sits at the
// dry stagnation temperature and is as it was when it has cooled.
func TestSizedLoopStandsStagnation(t *testing.T) {
	for _, stepS := range []float64{60, 10} {
		p := build(t, Typical())
		coolDown(p, 15)
		before := p.Truth()
		least, most := 1e9, 0.0
		stagnate(p, 1000, 10, stepS, func() {
			most = max(most, p.Truth().LoopPressurePa)
			if p.Truth().LoopPressurePa < least && p.Truth().SteamShare > 0.99 {
				least = p.Truth().LoopPressurePa
			}
		})
		hot := p.Truth()
		if hot.SteamShare < 0.999 || !hot.Hazards.Steaming || hot.FluidLostL != 0 || hot.LoopPressurePa < before.LoopPressurePa+0.5e5 {
			t.Errorf("step %g s: stagnating %+v", stepS, hot)
		}
		// The vessel is sized for a content that is hot throughout, so there is some to spare.
		if limit := physics.StandardPressurePa + 0.9*6e5; most > limit || most < 0.6*limit {
			t.Errorf("step %g s: the pressure went to %.0f Pa", stepS, most)
		}
		near(t, "dry stagnation", hot.CollectorC, p.config.Collector.StagnationC(1000, 30), 0.05)
		coolDown(p, 15)
		after := p.Truth()
		near(t, "pressure afterwards", after.LoopPressurePa, before.LoopPressurePa, 0.05e5)
		if after.SteamShare != 0 || after.LoopAirL != 0 {
			t.Errorf("step %g s: afterwards %+v", stepS, after)
		}
		p.SetPump(1)
		p.Step(&Surroundings{AirC: 15, RoomC: 20}, 60)
		near(t, "flow afterwards", p.Truth().FlowKgS, p.config.pumpFlowKgS(20), 0.002)
	}
}

// The latent heat comes from the sun: the collector stays near the boiling
// point for as long as it takes to boil the residual content away.
func TestBoilingTakesItsTime(t *testing.T) {
	p := build(t, Typical())
	boiling := 0.0
	stagnate(p, 1000, 8, 10, func() {
		if s := p.Truth().SteamShare; s > 0.001 && s < 0.999 {
			boiling += 10
		}
	})
	c := &p.config
	surplusW := c.Collector.OutputW(1000, p.boilingC, 30)
	near(t, "minutes of boiling", boiling/60, p.filling.steam.storedJ()/surplusW/60, 0.35*p.filling.steam.storedJ()/surplusW/60)
}

// The well-known sequence: a vessel that is too small, or has lost its cushion,
// lets the relief valve open; the fluid that went is missing when it cools; air
// comes in and the pump moves nothing, until somebody refills the loop.
func TestLoopThatLosesItsCushion(t *testing.T) {
	small := Typical()
	small.Sealing.VesselL = 2
	none := Typical()
	none.Sealing.NoVessel = true
	for name, c := range map[string]struct {
		config Config
		damage Damage
	}{
		"small vessel": {config: small},
		"no vessel":    {config: none},
		"lost cushion": {config: Typical(), damage: Damage{CushionLost: true}},
	} {
		p := build(t, c.config)
		p.Damage = c.damage
		opened := false
		most := 0.0
		stagnate(p, 1000, 8, 10, func() {
			opened = opened || p.Truth().Hazards.LoopReliefOpen
			most = max(most, p.Truth().LoopPressurePa)
		})
		if !opened || most > 7.02e5 {
			t.Errorf("%s: opened %v, pressure to %.0f Pa", name, opened, most)
		}
		if lost := p.Truth().FluidLostL; lost < 0.5 || lost > 5 {
			t.Errorf("%s: %.2f litres lost", name, lost)
		}
		coolDown(p, 5)
		p.SetPump(1)
		p.Step(&Surroundings{AirC: 5, RoomC: 20}, 60)
		cold := p.Truth()
		if cold.LoopAirL < 0.3 || cold.FlowKgS > 0.02 || cold.LoopPressurePa > 2e5 {
			t.Errorf("%s: after cooling %+v", name, cold)
		}
		p.Damage = Damage{}
		if !p.RefillLoop() {
			t.Errorf("%s: the cold loop could not be refilled", name)
		}
		p.Step(&Surroundings{AirC: 5, RoomC: 20}, 60)
		p.Step(&Surroundings{AirC: 5, RoomC: 20}, 60)
		near(t, name+": flow after refilling", p.Truth().FlowKgS, c.config.pumpFlowKgS(15), 0.004)
	}
}

// Without a relief valve, or with one that is stuck, nothing bounds the
// pressure but the steam's own.
func TestPressureWithoutRelief(t *testing.T) {
	c := Typical()
	c.Sealing.VesselL = 4
	stuck := build(t, c)
	stuck.Damage.LoopReliefShut = true
	c.Sealing.NoRelief = true
	missing := build(t, c)
	for _, p := range []*Plant{stuck, missing} {
		stagnate(p, 1100, 10, 60, func() {})
		if tr := p.Truth(); tr.LoopPressurePa < 7.5e5 || tr.FluidLostL != 0 || tr.Hazards.LoopReliefOpen {
			t.Errorf("%+v", tr)
		}
	}
}

// Under a steady sun a stiff loop settles; steam and pressure do not chase each
// other, at any step.
func TestSteamAndPressureDoNotSwing(t *testing.T) {
	var share []float64
	for _, stepS := range []float64{60, 10, 1} {
		c := Typical()
		c.Sealing.VesselL, c.Sealing.NoRelief = 2.5, true
		p := build(t, c)
		last, turns, rising := 0.0, 0, true
		stagnate(p, 700, 6, stepS, func() {
			now := p.Truth().LoopPressurePa
			if up := now >= last-1; up != rising {
				rising, turns = up, turns+1
			}
			last = now
		})
		if turns > 2 {
			t.Errorf("step %g s: the pressure turned %d times", stepS, turns)
		}
		share = append(share, p.Truth().SteamShare)
	}
	near(t, "steam by the longest step", share[0], share[2], 0.02)
	t.Logf("steam share %.3f", share)
}

func TestLeaksAndLostFluid(t *testing.T) {
	p := build(t, Typical())
	p.Damage.LoopLeakLPerDay = 4
	s := Surroundings{AirC: 15, RoomC: 15, ColdC: 10}
	first := p.Truth().LoopPressurePa
	for range 12 * 60 {
		p.Step(&s, 60)
	}
	near(t, "litres leaked", p.Truth().FluidLostL, 2, 0.02)
	if now := p.Truth().LoopPressurePa; now > first-0.3e5 {
		t.Errorf("the pressure only fell from %.0f to %.0f Pa", first, now)
	}
	for range 36 * 60 {
		p.Step(&s, 60)
	}
	p.SetPump(1)
	p.Step(&s, 60)
	if tr := p.Truth(); tr.LoopAirL < 1 || tr.FlowKgS != 0 {
		t.Errorf("two days of leaking: %+v", tr)
	}
	p = build(t, Typical())
	p.SetPump(1)
	p.Damage.FluidGone = true
	stagnate(p, 1000, 8, 60, func() {})
	if tr := p.Truth(); tr.FlowKgS != 0 || tr.LoopPressurePa > 1.02e5 || tr.SteamShare != 0 {
		t.Errorf("no fluid: %+v", tr)
	}
	near(t, "dry stagnation", p.CollectorC(), p.config.Collector.StagnationC(1000, 30), 0.5)
	if p.RefillLoop() {
		t.Error("a hot collector was refilled")
	}
	p.Damage = Damage{}
	coolDown(p, 15)
	if tr := p.Truth(); tr.FlowKgS == 0 || tr.FluidLostL != 0 {
		t.Errorf("filled again: %+v", tr)
	}
}

// Of the content of a field that has run dry only a part has boiled, the rest was
// pushed out as liquid: about a seventh (common practice, no source). Source of
// the latent heat: IAPWS-IF97 at 3 bar, 2163 kJ/kg (from memory).
func TestHeatOfTheSteam(t *testing.T) {
	p := build(t, Typical())
	stagnate(p, 1000, 10, 60, func() {})
	if share := p.Truth().SteamShare; share < 0.999 {
		t.Fatalf("%g of the field is steam", share)
	}
	contentKg := p.filling.collectorL * p.config.Fluid.DensityKgM3(90) / 1000
	near(t, "part that has boiled", p.filling.steam.storedJ()/(contentKg*2163e3), 1.0/7, 0.015)
}
