package site

import (
	"fmt"
	"math"

	"sunstoker/control"
)

// What a simulation alone looks at must not contradict itself either: a key that
// would be passed over in silence is a mistake.

// checkTankFittings looks at what only one kind of tank can have.
func (c *systemCheck) checkTankFittings() {
	top, bottom := c.path+".tank_fittings.coil_top", c.path+".tank_fittings.coil_bottom"
	if c.written(top) != c.written(bottom) {
		c.wrong("system.tank_fittings", c.at(top, bottom), "one end of the coil is written and the other is not", "write both coil_bottom and coil_top")
	} else if c.written(top) && c.solid("tank_fittings.coil_top", "tank_fittings.coil_bottom") && c.TankFittings.CoilTopPercent <= c.TankFittings.CoilBottomPercent {
		c.wrong("system.tank_fittings.coil_top", c.at(top), fmt.Sprintf("the coil's upper end at %g %% is not above its lower end at %g %%", c.TankFittings.CoilTopPercent, c.TankFittings.CoilBottomPercent), "write the higher figure as coil_top")
	}
	if !c.solid("store") {
		return
	}
	if c.Store == DrinkingWater {
		c.unfit("loop_fluid_store", "a tank of drinking water has nothing of it", `take the table out, or write store = "loop fluid"`)
		return
	}
	const open = "a store of loop fluid has none"
	const out = `take the key out, or write store = "drinking water"`
	c.unfit("tank_fittings.coil_area", "the loop of a store of loop fluid has no coil", out)
	for _, key := range []string{"relief_valve", "no_relief_valve", "inlet_stirs"} {
		c.unfit("tank_fittings."+key, open, out)
	}
	for _, key := range []string{"expansion_vessel", "no_vessel", "relief_valve", "no_relief_valve"} {
		c.unfit("plumbing."+key, "the loop is open to its store and has none", out)
	}
}

// unfit complains about a key or table that the plant cannot have.
func (c *systemCheck) unfit(key, what, do string) {
	if path := c.path + "." + key; c.written(path) {
		c.wrong("system."+key, c.at(path), what, do)
	}
}

// checkTakenAway looks for a part that is taken away and described all the same.
func (c *systemCheck) checkTakenAway() {
	for _, pair := range []struct {
		gone      bool
		no, given string
	}{
		{c.Heater.NoThermostat, "heater.no_thermostat", "heater.thermostat"},
		{c.TankFittings.NoReliefValve, "tank_fittings.no_relief_valve", "tank_fittings.relief_valve"},
		{c.Plumbing.NoCheckValve, "plumbing.no_check_valve", "plumbing.check_valve_opens"},
		{c.Plumbing.NoVessel, "plumbing.no_vessel", "plumbing.expansion_vessel"},
		{c.Plumbing.NoReliefValve, "plumbing.no_relief_valve", "plumbing.relief_valve"},
	} {
		if given := c.path + "." + pair.given; pair.gone && c.written(given) {
			c.wrong("system."+pair.no, c.at(c.path+"."+pair.no), "a part that is not there is described in line "+lineText(c.at(given)), "keep one of the two lines")
		}
	}
	if c.written(c.path+".heater.thermostat") && c.written(c.path+".heater.cut_out") && c.solid("heater.thermostat", "heater.cut_out") && c.Heater.ThermostatC >= c.Heater.CutOutC {
		key, at := c.spot("heater.thermostat")
		c.advise(key, at, fmt.Sprintf("the thermostat opens at %g °C, and the cut-out at %g °C already: it would trip in normal running", c.Heater.ThermostatC, c.Heater.CutOutC),
			"have the thermostat set at least 5 K below the cut-out")
	}
}

// checkHeatDump looks for the size of a heat dump that nothing switches.
func (c *systemCheck) checkHeatDump() {
	if size := c.path + ".plumbing.heat_dump"; c.written(size) && c.outputAt(c.index, control.HeatDump) == nil {
		c.advise("system.plumbing.heat_dump", c.at(size), "there is no output that switches a heat dump, so it is not simulated", "add [system.output.heat_dump], or take the key out")
	}
}

// sharesTolerance is by how much the draw shares may miss 100 %, as thirds do.
const sharesTolerance = 1

// checkDrawShares looks at how the systems share the draws.
func (w *walker) checkDrawShares() {
	series := w.site.Household.DrawsInSeries
	if series && len(w.systems) < 2 {
		w.wrong("household.draws_in_series", w.at("household.draws_in_series"), "the house has one system only", "take the key out")
	}
	sum, written, sound := 0.0, 0, true
	var last position
	for i, s := range w.systems {
		path := element("system", i) + ".draw_share"
		if !w.written(path) {
			continue
		}
		written++
		last = w.at(path)
		sound = sound && w.sound[path]
		sum += s.DrawSharePercent
		if series {
			w.wrong("system.draw_share", last, "draws pass through all systems in series, so there are no shares", "take the key out, or draws_in_series")
		}
	}
	switch {
	case written == 0 || series:
	case written < len(w.systems):
		w.wrong("system.draw_share", last, "not every system has a share", "write draw_share in every system or in none")
	case sound && math.Abs(sum-100) > sharesTolerance:
		w.wrong("system.draw_share", last, fmt.Sprintf("the shares of all systems add up to %g %%", sum), "let them add up to 100 %")
	}
}
