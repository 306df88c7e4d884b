package site

import (
	"strings"

	"sunstoker/control"
)

// checks looks at the plant as a whole. A check is left out when a figure it
// needs is missing or wrong: that has been said already.
func (w *walker) checks() {
	w.checkNames()
	w.checkWiring()
	w.checkHouseSettings()
	w.checkPlace()
	w.checkHistory()
	w.checkNetwork()
	w.checkMQTT()
	w.checkPrices()
	w.checkForecast()
	for i, s := range w.systems {
		c := &systemCheck{walker: w, index: i, path: element("system", i), System: s}
		c.checkLoop()
		c.checkNeeds()
		c.checkDirection()
		c.checkFluid()
		c.checkBoiling()
		c.checkStagnation()
		c.checkReadable()
		c.checkHeater()
		c.checkScald()
		c.checkHunting()
		c.checkTankFittings()
		c.checkTakenAway()
		c.checkHeatDump()
		c.checkSettings()
	}
	w.checkHousehold()
	w.checkDrawShares()
}

// systemCheck is one system while it is looked at.
type systemCheck struct {
	*walker
	*System
	index int
	path  string
}

// solid tells whether all keys of the system can be relied on.
func (c *systemCheck) solid(keys ...string) bool {
	for _, key := range keys {
		if !c.sound[join(c.path, key)] {
			return false
		}
	}
	return true
}

// solidSettings tells whether all settings of the system can be relied on,
// whether its own or the house's.
func (c *systemCheck) solidSettings(names ...string) bool {
	for _, name := range names {
		if !c.sound["settings."+name] || !c.sound[c.path+".settings."+name] {
			return false
		}
	}
	return true
}

// spot gives a key's position and how a person writes it: that of the key, or
// of the nearest table around it.
func (c *systemCheck) spot(key string) (string, position) {
	return join("system", key), c.where(join(c.path, key))
}

// settingSpot is spot for a setting: the system's own line, else the house's,
// else the header of the system.
func (c *systemCheck) settingSpot(name string) (string, position) {
	for _, path := range []string{c.path + ".settings." + name, "settings." + name} {
		if c.written(path) {
			return spoken(path), c.at(path)
		}
	}
	return "system.settings." + name, c.where(c.path + ".settings")
}

func (w *walker) probeAt(system int, place control.Place) *ProbeWiring {
	for _, p := range w.probes {
		if p.System == system && p.Place == place {
			return p
		}
	}
	return nil
}

func (w *walker) outputAt(system int, actuator control.Actuator) *OutputWiring {
	for _, o := range w.outputs {
		if o.System == system && o.Actuator == actuator {
			return o
		}
	}
	return nil
}

func (w *walker) checkNames() {
	first := map[string]position{}
	for i, s := range w.systems {
		path := element("system", i) + ".name"
		if !w.sound[path] {
			continue
		}
		at, folded := w.at(path), strings.ToLower(s.Name)
		if other, taken := first[folded]; taken {
			w.wrong("system.name", at, `another system is called "`+s.Name+`" already, in line `+lineText(other), "give every system a name of its own")
			continue
		}
		first[folded] = at
	}
}

func (w *walker) checkHousehold() {
	for _, key := range []string{"people", "litres_per_person", "holidays", "guests"} {
		if w.written("household.profile") && w.written("household."+key) {
			w.wrong("household."+key, w.at("household."+key), "a profile is the same on every day and says itself how much is drawn", "keep either profile, or people with litres_per_person, holidays and guests")
		}
	}
}
