package sim

import (
	"strings"
	"testing"
	"time"

	"sunstoker/physics"
	"sunstoker/sim/household"
	"sunstoker/sim/plant"
)

// barePlant is a pumped one with nothing that it could do without.
func barePlant() plant.Config {
	c := plant.Typical()
	c.Fluid, c.Sealing.Fitted, c.CheckValve = physics.Water(), false, false
	c.HeaterW, c.ThermostatC, c.CutOutC, c.TemperingC, c.ReliefC = 0, 0, 0, 0, 0
	return c
}

// everyPlant are plants that lack different parts.
var everyPlant = []struct {
	name  string
	of    func() plant.Config
	lacks []*need
}{
	{"pumped", plant.Typical, []*need{circulation, loopStore, heatDump}},
	{"with circulation and heat dump", func() plant.Config {
		c := plant.Typical()
		c.Circulation, c.HeatDumpWK = plant.TypicalCirculation(), 60
		return c
	}, []*need{loopStore}},
	{"hot-water line alone", func() plant.Config {
		c := plant.Typical()
		c.Circulation = plant.TypicalCirculation()
		c.Circulation.PumpFlowLMin, c.Circulation.PumpW, c.Circulation.Return = 0, 0, plant.Pipe{}
		return c
	}, []*need{circulation, loopStore, heatDump}},
	{"natural circulation", plant.TypicalNatural, []*need{loopPump, checkValve, circulation, loopStore, heatDump}},
	{"store of loop fluid", plant.TypicalStore, []*need{circulation, sealedLoop, vessel, loopRelief, tankRelief, heatDump}},
	{"no vessel, no relief valve", func() plant.Config {
		c := plant.Typical()
		c.Sealing.NoVessel, c.Sealing.NoRelief = true, true
		return c
	}, []*need{vessel, loopRelief, circulation, loopStore, heatDump}},
	{"bare", barePlant, []*need{antifreeze, sealedLoop, vessel, loopRelief, checkValve, anyHeater, thermostat, cutOut, tempering, tankRelief, circulation, loopStore, heatDump}},
}

// TestFaultsFitThePlant: every kind of fault on every plant. It is refused, in
// words, exactly where the plant lacks the part; else it shows within its day.
func TestFaultsFitThePlant(t *testing.T) {
	for _, p := range everyPlant {
		for _, kind := range FaultKinds() {
			if kind.OfProbe() || kind.OfHouse() {
				continue
			}
			lacks := false
			for _, n := range p.lacks {
				lacks = lacks || n == kind.needs
			}
			f := Fault{Name: kind.Name, Start: 6 * time.Hour}
			if scenes[kind.Name].fromStart {
				f.Start = 0
			}
			sound, broken := onePlant(t, p.of(), scenes[kind.Name]), onePlant(t, p.of(), scenes[kind.Name])
			err := broken.AddFault(f)
			if (err != nil) != lacks {
				t.Errorf("%s on a plant %s: error %v, lacks the part %v", kind.Name, p.name, err, lacks)
				continue
			}
			if err != nil {
				if _, same := broken.ParseFault(kind.Name); same == nil || !strings.Contains(err.Error(), "has no "+kind.needs.what) || !strings.Contains(err.Error(), "no system of the house") {
					t.Errorf("%s on a plant %s: %v, in words: %v", kind.Name, p.name, err, same)
				}
				continue
			}
			if !differ(sound, broken, scenes[kind.Name]) {
				t.Errorf("%s on a plant %s: nothing shows it", kind.Name, p.name)
			}
		}
	}
}

// onePlant is a house with people and one plant in a scene.
func onePlant(t *testing.T, p plant.Config, sc scene) *House {
	t.Helper()
	c := sunnyHouse(t)
	profile, err := household.TappingProfile("L")
	if err != nil {
		t.Fatal(err)
	}
	c.Household, c.Probes = profile, nil
	p.StartC = 50
	if sc.startC > 0 {
		p.StartC = sc.startC
	}
	c.Systems = []System{c.Systems[0]}
	c.Systems[0].Plant = p
	for _, name := range sc.also {
		if kind, err := faultKindNamed(name); err == nil && kind.HappensTo(&p) {
			c.Faults = append(c.Faults, Fault{Name: name})
		}
	}
	return build(t, c)
}

// differ runs two houses alike for a day and tells whether anything of their
// plants comes out differently.
func differ(a, b *House, sc scene) bool {
	for a.Elapsed() < 24*time.Hour {
		for _, h := range []*House{a, b} {
			sc.drive(h)
			h.Step(20 * time.Second)
		}
		if a.Elapsed()%time.Hour == 0 && (a.Truth(0) != b.Truth(0) || a.Book(0) != b.Book(0) || a.Usage() != b.Usage()) {
			return true
		}
	}
	return false
}
