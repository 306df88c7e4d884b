package site

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"sunstoker/control"
	"sunstoker/physics"
)

// checkSettings holds the settings that count for the system against each
// other. Those of an output that the system has not are left alone.
func (c *systemCheck) checkSettings() {
	for _, p := range c.Settings.Check() {
		names := settingsNamed(p)
		if c.matters(p.Setting) && c.solidSettings(names...) {
			c.tell(p, c.path+".settings.", names)
		}
	}
}

// checkHouseSettings looks at the settings that the house's own probes use.
func (w *walker) checkHouseSettings() {
	for _, p := range w.site.Settings.Check() {
		names := settingsNamed(p)
		unsound := func(name string) bool { return !w.sound["settings."+name] }
		if p.Setting == "jump_patience" && !slices.ContainsFunc(names, unsound) {
			w.tell(p, "settings.", names)
		}
	}
}

// matters tells whether the system has what a setting is for.
func (c *systemCheck) matters(name string) bool {
	switch {
	case strings.HasPrefix(name, "hygiene_"):
		return c.outputAt(c.index, control.BackupHeater) != nil && c.Tank.TemperingC > 0
	case strings.HasPrefix(name, "heater_"), strings.HasPrefix(name, "off_peak_"):
		return c.outputAt(c.index, control.BackupHeater) != nil
	case name == "heat_dump_start":
		return c.outputAt(c.index, control.HeatDump) != nil
	case name == "target_difference":
		pump := c.outputAt(c.index, control.LoopPump)
		return pump != nil && pump.LeastLevel > 0
	case strings.HasSuffix(name, "_difference"), strings.HasPrefix(name, "restart_ceiling"):
		return c.outputAt(c.index, control.LoopPump) != nil
	}
	return true
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

// tell places a problem at the first of the settings that is written, those
// under the prefix before the house's; else at the table.
func (w *walker) tell(p control.Problem, prefix string, names []string) {
	path := prefix + names[0]
	at := w.where(path)
	for _, candidate := range []string{prefix, "settings."} {
		i := slices.IndexFunc(names, func(name string) bool { return w.written(candidate + name) })
		if i >= 0 {
			path = candidate + names[i]
			at = w.at(path)
			break
		}
	}
	if p.Advice {
		w.advise(spoken(path), at, p.What, p.Do)
	} else {
		w.wrong(spoken(path), at, p.What, p.Do)
	}
}

const (
	// huntingPeriod is a start every so often that a pump bears for years.
	// Common practice, no source.
	huntingPeriod = 3 * time.Minute
	// workingDifferenceK is a collector's usual difference to the air, workingC
	// the fluid's usual temperature. Common practice, no source.
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
	most, err := c.largestStableStopDifferenceK()
	if err != nil || set.StopDifferenceK <= most {
		return
	}
	key, at := c.settingSpot("minimum_run")
	c.advise(key, at, fmt.Sprintf("in weak sun the pump may start and stop again and again: with a start difference of %g K it runs on steadily only when the stop difference is %.1f K or less, and that is %g K",
		set.StartDifferenceK, most, set.StopDifferenceK),
		fmt.Sprintf("let minimum_run and minimum_rest together last %g min or more", huntingPeriod.Minutes()))
}

// largestStableStopDifferenceK: see physics. The coil counts as perfect, which
// gives the smallest, most careful figure.
func (s *System) largestStableStopDifferenceK() (float64, error) {
	fluid, err := s.LoopFluid()
	if err != nil {
		return 0, err
	}
	rateWK := s.LoopFlowLPerMin / 60000 * fluid.DensityKgM3(workingC) * fluid.SpecificHeatJKgK(workingC)
	inlet, err := s.Collector.Curve().InletForm(rateWK, workingDifferenceK)
	if err != nil {
		return 0, err
	}
	return physics.LargestStableStopDifferenceK(s.Settings.StartDifferenceK, s.Collector.AreaM2, inlet, 1, rateWK)
}
