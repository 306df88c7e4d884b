package site

import (
	"fmt"
	"strings"
	"time"

	"sunstoker/control"
	"sunstoker/physics"
)

// checkSettings holds settings against each other: the house's when c is nil,
// else one system's. What is wrong with the house's is not said again for
// every system.
func (w *walker) checkSettings(path string, s *control.Settings, c *systemCheck) {
	told := map[control.Problem]bool{}
	if c != nil {
		for _, p := range w.site.Settings.Check() {
			told[p] = true
		}
	}
	for _, p := range s.Check() {
		names := settingsNamed(p)
		if told[p] || !w.settingsSound(c, names) {
			continue
		}
		key, at := w.problemSpot(path, c, names)
		if p.Advice {
			w.advise(key, at, p.What, p.Do)
		} else {
			w.wrong(key, at, p.What, p.Do)
		}
	}
}

// settingsNamed gives the settings that a problem is between: its own first,
// then those that its advice names.
func settingsNamed(p control.Problem) []string {
	names := []string{p.Setting}
	for word := range strings.FieldsSeq(p.Do) {
		if _, known := control.SettingNamed(word); known && word != p.Setting {
			names = append(names, word)
		}
	}
	return names
}

func (w *walker) settingsSound(c *systemCheck, names []string) bool {
	if c != nil {
		return c.solidSettings(names...)
	}
	for _, name := range names {
		if !w.sound["settings."+name] {
			return false
		}
	}
	return true
}

// problemSpot finds the line of the first setting that is written, else the
// table's.
func (w *walker) problemSpot(path string, c *systemCheck, names []string) (string, position) {
	for _, name := range names {
		if c != nil {
			if at, written := w.positions[path+".settings."+name]; written {
				return "system.settings." + name, at
			}
		}
	}
	for _, name := range names {
		if at, written := w.positions["settings."+name]; written {
			return "settings." + name, at
		}
	}
	if c != nil {
		return "system.settings." + names[0], w.where(path + ".settings")
	}
	return "settings." + names[0], w.where("settings")
}

const (
	// huntingPeriod is a start every so often that a pump bears for years.
	// Common practice, no source.
	huntingPeriod = 3 * time.Minute
	// workingDifferenceK is a collector's usual difference to the air.
	workingDifferenceK = 30
	workingC           = 50
)

// checkHunting holds start and stop difference against the published rule for
// a pump that does not stop as soon as it has started. Nearly every plant
// breaks it in the first sun of the morning, and minimum run and rest then
// keep the pump from hunting; so it is worth a word only when these are short.
func (c *systemCheck) checkHunting() {
	set := &c.Settings
	if c.Loop != control.Pumped || set.MinimumRun+set.MinimumRest >= huntingPeriod ||
		!c.solid("loop", "fluid", "loop_flow", "collector.area", "collector.optical_efficiency", "collector.loss", "collector.loss_growth") ||
		c.Glycol && !c.solid("antifreeze") ||
		!c.solidSettings("start_difference", "stop_difference", "minimum_run", "minimum_rest") {
		return
	}
	fluid, err := c.LoopFluid()
	if err != nil {
		return
	}
	rateWK := c.LoopFlowLPerMin / 60000 * fluid.DensityKgM3(workingC) * fluid.SpecificHeatJKgK(workingC)
	inlet, err := c.Collector.Curve().InletForm(rateWK, workingDifferenceK)
	if err != nil {
		return
	}
	most, err := physics.LargestStableStopDifferenceK(set.StartDifferenceK, c.Collector.AreaM2, inlet, 1, rateWK)
	if err != nil || set.StopDifferenceK <= most {
		return
	}
	key, at := c.settingSpot("minimum_run")
	c.advise(key, at, fmt.Sprintf("in weak sun the pump may start and stop again and again: with a start difference of %g K it runs on steadily only when the stop difference is %.1f K or less, and that is %g K",
		set.StartDifferenceK, most, set.StopDifferenceK),
		fmt.Sprintf("let minimum_run and minimum_rest together last %g min or more", huntingPeriod.Minutes()))
}
