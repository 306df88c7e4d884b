package site

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"sunstoker/control"
)

func lineText(at position) string { return strconv.Itoa(at.line) }

// checkWiring looks at each probe and output by itself, and for two of them in
// one place.
func (w *walker) checkWiring() {
	taken := map[string]position{}
	for _, p := range w.probes {
		w.checkProbe(taken, p)
	}
	for _, o := range w.outputs {
		path, name := w.wiringPath(o.System, "output", o.Actuator.String())
		w.checkKind(path, name, keysOfOutput(o.Actuator), o.Kind)
		if w.sound[path+".chip"] && w.sound[path+".line"] && o.Kind == Relay {
			w.takeLine(taken, o.Chip, o.Line, path, name)
		}
		if w.sound[path+".file"] && o.Kind == LevelFile {
			w.takeOnce(taken, o.Where(), path+".file", name+".file",
				"the file "+o.File+" is used in line ", "give every output a file of its own")
		}
		if o.Kind == SpeedSignal {
			w.checkPWM(taken, o, path, name)
		}
		if o.Kind == Modbus {
			w.checkCoil(taken, o, path, name)
		}
		w.checkHeldByNobody(o, path, name)
		if stays := staysAsItWas[o.Kind]; stays != "" && o.Actuator.Heats() && !o.DropsWhenSilent && w.sound[path+".drops_when_silent"] {
			w.wrong(name+".kind", w.where(path+".kind"),
				stays+" as it was when a program dies, and this output heats: water could boil",
				`use kind = "relay", or what drops the heater by itself, and then write drops_when_silent = true`)
		}
	}
	w.checkSimulated()
}

// takeLine complains when a GPIO line is used again, whatever its chip is called.
func (w *walker) takeLine(taken map[string]position, chip, line, path, name string) {
	w.takeOnce(taken, lineWords(chip, line), path+".line", name+".line",
		"the line "+line+" of "+chipName(chip)+" is used in line ", "give every probe and output a line of its own")
}

// sameLine writes the number of a line in one way, so that 17 and 017 are the
// same line; a label stays as it is.
func sameLine(line string) string {
	if number, err := strconv.Atoi(line); err == nil {
		return strconv.Itoa(number)
	}
	return line
}

// wiringPath gives the path of a probe or output and how a person writes it.
func (w *walker) wiringPath(system int, what, which string) (path, name string) {
	tail := what + "." + which
	if system == control.House {
		return tail, tail
	}
	return element("system", system) + "." + tail, "system." + tail
}

// takeOnce complains when a thing that can be used once is used again.
func (w *walker) takeOnce(taken map[string]position, thing, path, name, what, do string) {
	at := w.at(path)
	if first, again := taken[thing]; again {
		w.wrong(name, at, what+lineText(first)+" already", do)
		return
	}
	taken[thing] = at
}

// checkKind looks for keys that don't fit the kind, and for those it needs.
func (w *walker) checkKind(path, name string, keys []key, kind string) {
	if !w.sound[path+".kind"] {
		return
	}
	for i := range keys {
		k := &keys[i]
		at, written := w.positions[join(path, k.name)]
		switch {
		case written && !k.only.has(kind):
			w.wrong(join(name, k.name), at, `this key belongs to kind = `+quotedList(k.only)+`, but the kind here is "`+kind+`"`, "take it out, or change the kind")
		case !written && k.when != "" && k.only.has(kind):
			w.wrong(join(name, k.name), w.where(path), "this key is missing", "write it under ["+name+"], such as "+k.sample())
		}
	}
}

// checkHeldByNobody complains of a heater that a hung program keeps on: a line that it
// holds stays as it was until the service manager has ended it, whatever the board. Its
// file may say that this is meant so, and that is said again; of other outputs it is said
// as well.
func (w *walker) checkHeldByNobody(o *OutputWiring, path, name string) {
	if w.site.Guard != "" || !OnBoard(o.Kind) || o.PulseHertz > 0 || o.DropsWhenSilent {
		return
	}
	const do = "start the guard and write guard under [daemon], or have the relay held by pulses"
	switch {
	case !o.Actuator.Heats():
		w.advise(name+".kind", w.where(path+".kind"), "without a guard this output stays as it was for 20 s when the program hangs, and on many boards when it dies",
			"start the guard and write guard under [daemon]")
	case o.Kind != Relay: // refused below, with a guard too
	case o.WithoutGuard:
		w.advise(name+".without_guard", w.where(path+".without_guard"), "a program that hangs keeps this heater on for 20 s, and on many boards one that dies leaves it on", do)
	case w.sound[path+".without_guard"]:
		w.wrong(name+".kind", w.where(path+".kind"), "a program that hangs keeps this heater on for 20 s, and on many boards one that dies leaves it on",
			do+", or take it upon you and write without_guard = true")
	}
}

// staysAsItWas tells of kinds of output that nobody drops when the program dies.
var staysAsItWas = map[string]string{LevelFile: "the kernel keeps a level file", Modbus: "a module keeps a coil"}

// isReal tells of a kind that leads to hardware; a kind that is not known is none.
func isReal(kind string) bool { return kind != "" && kind != SimulatedProbe }

// checkSimulated keeps invented readings away from real outputs.
func (w *walker) checkSimulated() {
	simulated := ""
	real := false
	for _, p := range w.probes {
		if p.Kind == SimulatedProbe && simulated == "" {
			_, simulated = w.wiringPath(p.System, "probe", p.Place.String())
		}
		real = real || isReal(p.Kind)
	}
	for _, o := range w.outputs {
		path, name := w.wiringPath(o.System, "output", o.Actuator.String())
		if simulated != "" && isReal(o.Kind) {
			w.wrong(name+".kind", w.where(path+".kind"), "a real output would be switched by invented readings, since "+simulated+" is simulated",
				"make every probe real, or every output simulated")
		}
		if simulated == "" && real && o.Kind == SimulatedOutput {
			w.advise(name+".kind", w.where(path+".kind"), "this output is simulated: the "+o.Actuator.Words()+" will not be switched",
				"leave it so only to watch the plant")
		}
	}
}

// checkNeeds looks for readings and tables that an output can't do without.
func (c *systemCheck) checkNeeds() {
	has := func(places ...control.Place) bool {
		for _, place := range places {
			if c.probeAt(c.index, place) != nil {
				return true
			}
		}
		return false
	}
	need := func(a control.Actuator, why string, places ...control.Place) {
		if c.outputAt(c.index, a) == nil || has(places...) {
			return
		}
		var headers []string
		for _, place := range places {
			headers = append(headers, "[system.probe."+place.String()+"]")
		}
		key, at := c.spot("output." + a.String())
		c.wrong(key, at, "the "+a.Words()+" needs "+why, "wire such a probe and add "+strings.Join(headers, " or "))
	}
	need(control.LoopPump, "a reading of the collector to know when there is heat to fetch", control.Collector)
	need(control.LoopPump, "a reading of the tank to compare the collector with", control.TankBottom, control.TankTop)
	need(control.BackupHeater, "a reading of the tank top, and stays off without one", control.TankTop)
	need(control.HeatDump, "a reading of the collector to know when it must take heat", control.Collector)
	need(control.HotWaterCirculation, "a reading of the tank top, and rests without one", control.TankTop)
	if !slices.ContainsFunc(c.probes, func(p *ProbeWiring) bool { return p.System == c.index }) {
		key, at := c.spot("probe")
		c.advise(key, at, "nothing of this system is read", "wire its probes, such as [system.probe.tank_top], or take the system out")
	}
}

// checkLoop looks at what a pumped loop and one of natural circulation need.
func (c *systemCheck) checkLoop() {
	if !c.solid("loop") {
		return
	}
	if c.Loop == control.Natural {
		c.checkNatural()
		return
	}
	if c.outputAt(c.index, control.LoopPump) == nil {
		key, at := c.spot("loop")
		c.wrong(key, at, "a pumped loop needs an output that switches its pump", `add [system.output.loop_pump], or write loop = "natural"`)
	}
	c.missing("loop_pressure", "in a pumped loop")
	c.missing("loop_flow", "in a pumped loop")
}

// checkNatural looks for what natural circulation cannot have, and for a tank
// that hangs too low for it.
func (c *systemCheck) checkNatural() {
	if c.outputAt(c.index, control.LoopPump) != nil {
		key, at := c.spot("output.loop_pump")
		c.wrong(key, at, "in a loop of natural circulation there is no pump to switch", `take the output out, or write loop = "pumped"`)
	}
	if flow := c.path + ".loop_flow"; c.written(flow) {
		c.wrong("system.loop_flow", c.at(flow), "the flow of natural circulation follows the sun and cannot be given", `take the key out, or write loop = "pumped"`)
	}
	c.unfit("pump_power", "in a loop of natural circulation there is no pump", `take the key out, or write loop = "pumped"`)
	if height := c.path + ".plumbing.height"; c.written(height) && c.solid("plumbing.height") && c.Plumbing.HeightM >= 0 {
		c.wrong("system.plumbing.height", c.at(height), fmt.Sprintf("the collector is %g m above the coil, and natural circulation needs it below: the sun would never move the loop", c.Plumbing.HeightM),
			`write how far it lies below with a minus, or write loop = "pumped"`)
	}
	if valve := c.path + ".plumbing.no_check_valve"; c.written(valve) {
		c.wrong("system.plumbing.no_check_valve", c.at(valve), "a loop of natural circulation has no check valve unless check_valve_opens is written", "take the key out")
	}
}

// missing complains about a key that is needed under a condition.
func (c *systemCheck) missing(name, when string) {
	if c.written(c.path + "." + name) {
		return
	}
	k := schema.table("system").key(name)
	c.wrong("system."+name, c.where(c.path), "this key is missing, and it is needed "+when, "write it under [[system]], such as "+k.sample())
}
