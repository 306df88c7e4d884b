package site

import (
	"fmt"
	"math"

	"sunstoker/control"
	"sunstoker/physics"
)

// boilingMarginK is how near the restart ceiling may come to the boiling point
// before it is worth a thought: a gauge that is wrong by 0.3 bar moves the
// boiling point that much. Common practice, no source.
const boilingMarginK = 5

// checkBoiling holds the restart ceiling against the boiling point of water at
// the loop's pressure and the place's air pressure. Fresh antifreeze boils a
// little later, aged antifreeze does not.
func (c *systemCheck) checkBoiling() {
	if c.Loop != control.Pumped || !c.solid("loop", "loop_pressure") || !c.sound["place.altitude"] || !c.solidSettings("restart_ceiling") {
		return
	}
	boilsC := physics.WaterBoilingPointC(c.LoopPressurePaAbs(c.site.AltitudeM))
	ceiling, lower := c.Settings.RestartCeilingC, math.Floor(boilsC-boilingMarginK)
	what := fmt.Sprintf("at %g bar and %g m above the sea the loop boils at %.0f °C, and the restart ceiling is %g °C", c.LoopPressureBar, c.site.AltitudeM, boilsC, ceiling)
	key, at := c.settingSpot("restart_ceiling")
	if ceiling > boilsC {
		do := "fill the loop to a higher pressure"
		if row, _ := control.SettingNamed("restart_ceiling"); lower >= row.Min {
			do = fmt.Sprintf("write restart_ceiling = \"%.0f °C\" or less, or %s", lower, do)
		}
		c.wrong(key, at, what+": the pump could push water into steam", do)
	} else if ceiling > boilsC-boilingMarginK {
		c.advise(key, at, what+", which is close", fmt.Sprintf("a restart ceiling of %.0f °C leaves room for the gauge's error", lower))
	}
}

// The stagnation conditions of ISO 9806 (from memory).
const (
	stagnationSunWM2 = 1000
	stagnationAirC   = 30
)

// probeMostC is where a kind of probe ends, °C. One-wire: the maker's data sheet
// of the DS18B20, operating range -55 to 125 °C. Thermistor: the end of its
// driver's range. A platinum probe outlives every collector.
var probeMostC = map[string]float64{OneWire: 125, Thermistor: 150}

// checkStagnation holds the collector's stagnation temperature against what
// its probe can bear.
func (c *systemCheck) checkStagnation() {
	p := c.probeAt(c.index, control.Collector)
	if p == nil || probeMostC[p.Kind] == 0 || !c.solid("collector.optical_efficiency", "collector.loss", "collector.loss_growth", "collector.area") {
		return
	}
	hottest := c.Collector.Curve().StagnationC(stagnationSunWM2, stagnationAirC)
	most := probeMostC[p.Kind]
	if hottest <= most {
		return
	}
	key, at := c.spot("probe.collector")
	c.advise(key, at, fmt.Sprintf("this collector can reach some %.0f °C in full sun without flow, and a %s probe reads to %g °C and may be spoiled above", hottest, p.Kind, most),
		"fix it to the pipe just outside the collector's outlet, under the insulation, with a cable that bears the heat")
}

// readableMarginK is how far below the end of its probe's range a restart
// ceiling must lie, so that a steaming collector is seen and not only missed.
const readableMarginK = 5

// checkReadable holds the restart ceiling against what the collector's probe
// can read at all.
func (c *systemCheck) checkReadable() {
	p := c.probeAt(c.index, control.Collector)
	if p == nil || probeMostC[p.Kind] == 0 || c.Loop != control.Pumped || !c.solidSettings("restart_ceiling") {
		return
	}
	if ceiling := c.Settings.RestartCeilingC; ceiling > probeMostC[p.Kind]-readableMarginK {
		most := probeMostC[p.Kind]
		key, at := c.settingSpot("restart_ceiling")
		c.wrong(key, at, fmt.Sprintf("the restart ceiling is %g °C, and the collector's %s probe reads to %g °C only, so a steaming collector would hardly be seen", ceiling, p.Kind, most),
			fmt.Sprintf("write restart_ceiling = \"%g °C\" or less", most-readableMarginK))
	}
}

// checkHeater looks at what belongs to a backup heater.
func (c *systemCheck) checkHeater() {
	described := c.written(c.path + ".heater")
	output := c.outputAt(c.index, control.BackupHeater)
	key, at := c.spot("output.backup_heater")
	switch {
	case output != nil && !described:
		c.wrong(key, at, "the backup heater is not described", "add [system.heater] with its power")
	case output == nil && described:
		key, at = c.spot("heater")
		c.advise(key, at, "there is no output that switches this heater", "add [system.output.backup_heater], or take [system.heater] out")
	case output != nil:
		c.checkCutOut()
		c.checkSupply()
	}
}

// checkSupply refuses a supply limit under which this heater could never run.
func (c *systemCheck) checkSupply() {
	limit := c.site.SupplyW
	if limit == 0 || !c.sound["supply_limit"] || !c.solid("heater.power") || c.Heater.PowerW <= limit {
		return
	}
	c.wrong("supply_limit", c.at("supply_limit"), fmt.Sprintf("the heater of %q draws %g W alone, more than the %g W that the heaters may draw together: it could never run", c.Name, c.Heater.PowerW, limit),
		"write what the supply really bears, or fit a smaller heater; a qualified electrician decides")
}

func (c *systemCheck) checkCutOut() {
	key, at := c.spot("heater.cut_out")
	if !c.written(c.path + ".heater.cut_out") {
		c.advise(key, at, "no cut-out with manual reset is named for this heater", "see that one is there, since it protects people when relay or program fail, and write cut_out")
		return
	}
	if !c.solid("heater.cut_out") || !c.solidSettings("tank_limit") {
		return
	}
	if limit := c.Settings.TankLimitC; c.Heater.CutOutC <= limit {
		c.advise(key, at, fmt.Sprintf("the cut-out opens at %g °C, and the sun may heat the tank to the tank limit of %g °C: it would trip on sunny days", c.Heater.CutOutC, limit),
			"lower tank_limit, or ask an electrician whether the cut-out is the right one")
	}
}

// scaldingLimitC is the tank limit above which a tempering valve is asked for.
const scaldingLimitC = 60

// checkScald asks for a tempering valve. Burn times: physics.ScaldSeconds.
func (c *systemCheck) checkScald() {
	if !c.solidSettings("tank_limit") || c.Settings.TankLimitC <= scaldingLimitC {
		return
	}
	if c.written(c.path + ".tank.tempering_valve") {
		return
	}
	_, burn := physics.ScaldSeconds(scaldingLimitC)
	key, at := c.settingSpot("tank_limit")
	c.advise(key, at, fmt.Sprintf("the tank may reach %g °C, and water of %d °C burns an adult's skin in %.0f s, a child's sooner", c.Settings.TankLimitC, scaldingLimitC, burn),
		"have a tempering valve fitted and write tempering_valve under [system.tank], or lower tank_limit")
}
