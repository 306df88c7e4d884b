package sim

import (
	"testing"
	"time"

	"sunstoker/sim/plant"
)

// tapped is a house with a family, a ring of hot water and a tank at 60 degC,
// without sun.
func tapped(t testing.TB, p plant.Config) Config {
	t.Helper()
	c := usualHouse(t, northItaly())
	p.StartC, p.Circulation = 60, plant.TypicalCirculation()
	p.Circulation.Supply.UAWK = 12 // hardly insulated: cold within an hour
	c.Systems[0].Plant = p
	return c
}

// Each fault of tank and hot-water line leaves its mark during the morning's
// draws, against the same morning with everything sound, and ends.
func TestTankFaultsHaveTheirEffect(t *testing.T) {
	for name, k := range map[string]struct {
		store               bool
		circulation, heater bool
		amount              *float64
		broken              func(h, sound *House) bool
	}{
		"circulation pump runs always": {broken: func(h, sound *House) bool {
			return h.Truth(0).CirculationTurns && h.Usage().ColdLitres < 0.5*sound.Usage().ColdLitres && h.TankC(0, 0.9) < sound.TankC(0, 0.9)-1
		}},
		"circulation pump never runs": {circulation: true, broken: func(h, sound *House) bool {
			return !h.Truth(0).CirculationTurns && sound.Truth(0).CirculationTurns && h.Usage().WaitS > sound.Usage().WaitS+20
		}},
		"tempering valve stuck cold": {broken: func(h, sound *House) bool {
			return h.Truth(0).AtTapC < 35 && h.Usage().ShortDraws > sound.Usage().ShortDraws
		}},
		"drinking-water coil scaled": {store: true, amount: new(0.95), broken: func(h, sound *House) bool {
			return h.Usage().DeliveredJ < 0.97*sound.Usage().DeliveredJ
		}},
		"tank inlet stopped": {broken: func(h, sound *House) bool {
			return h.Usage().DeliveredJ == 0 && h.Usage().ShortDraws == sound.Usage().Draws
		}},
		"heater element without water": {heater: true, broken: func(h, sound *House) bool {
			return h.Tally(0).BareS >= 60 && !h.Truth(0).Heating && h.TankC(0, 0.9) < sound.TankC(0, 0.9)
		}},
		"heater element scaled": {heater: true, amount: new(0.9), broken: func(h, sound *House) bool {
			return h.Book(0).HeaterJ < 0.8*sound.Book(0).HeaterJ
		}},
		"store leaks": {store: true, amount: new(100.0), broken: func(h, sound *House) bool {
			return h.Truth(0).StoreLevel < sound.Truth(0).StoreLevel-0.05
		}},
	} {
		p := plant.Typical()
		if k.store {
			p = plant.TypicalStore()
		}
		run := func(faults ...Fault) *House {
			c := tapped(t, p)
			c.Faults = faults
			if k.heater {
				c.Systems[0].Plant.StartC = 20 // so that the thermostat calls for heat
			}
			h := build(t, c)
			h.SetCirculation(0, k.circulation)
			h.SetHeater(0, k.heater)
			h.Advance(noon)
			return h
		}
		h, sound := run(Fault{Name: name, Amount: k.amount, Duration: 13 * time.Hour}), run()
		if !k.broken(h, sound) {
			t.Errorf("%s: no sign of it:\n%+v\n%+v\nsound:\n%+v\n%+v", name, h.Truth(0), h.Usage(), sound.Truth(0), sound.Usage())
		}
		h.Advance(14 * time.Hour)
		if h.systems[0].plant.Damage != (plant.Damage{}) {
			t.Errorf("%s: not repaired", name)
		}
	}
}
