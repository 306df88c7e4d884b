package handover

import (
	"fmt"

	"sunstoker/control"
	"sunstoker/site"
)

func (l *list) people() {
	l.add(control.House, Step{Key: installerKey, Group: groupPeople, Form: Text,
		Do:  "Name and firm of whoever hands the plant over, and the licence where the local code asks for one.",
		Ask: "Who hands over?"})
	l.add(control.House, Step{Key: ownerKey, Group: groupPeople, Form: Text, Ask: "Who takes the plant over?"})
	l.add(control.House, Step{Key: dateKey, Group: groupPeople, Form: Date, Ask: "Which day is it?"})
}

// mains asks once for a house what belongs to people with a licence.
func (l *list) mains() {
	if len(l.site.Outputs) == 0 {
		return
	}
	l.add(control.House, Step{Key: "mains wiring", Group: groupBefore, Form: Confirm, Grave: true,
		Do:  "DANGER, mains voltage: wiring of heater, pump, contactor and isolators is work for a qualified electrician under the local code. The electrician has connected it, tripped the residual-current device by its button, and found breaker and earthing in order.",
		Ask: "Has a qualified electrician done and tested this?"})
	l.add(control.House, Step{Key: "labels", Group: groupBefore, Form: Confirm,
		Do:  "Every isolator (heater, pump, controller) bears a label, can be reached and can be locked.",
		Ask: "Are all isolators labelled?"})
}

const tankFull, loopReady = "tank full", "loop filled and vented"

func (l *list) before(i int) {
	s := &l.site.Systems[i]
	if l.has(i, control.BackupHeater) {
		do, ask := "Fill the tank, let the air out at the taps until water comes without bubbles.", "Is the tank full of water, and did water come at every tap without air?"
		if s.Store == site.LoopFluid {
			do, ask = "Fill the store up to its mark, above the element and its coil. Let the air out of the drinking-water coil at the taps.", "Is the store full, well above the element?"
		}
		l.add(i, Step{Key: tankFull, Group: groupBefore, Form: Confirm, Grave: true,
			Do:  "DANGER, fire: an element without water burns out within moments. Leave the heater's isolator off. " + do,
			Ask: ask})
	}
	do := "The loop is rinsed, filled and under pressure, and the air is out at the top. Automatic air vents are shut off again, since steam would escape there."
	if s.Loop == control.Natural {
		do = "The loop is rinsed and filled, every pipe rises from collector to tank without a high spot in between, and the air is out at the top."
	}
	l.add(i, Step{Key: loopReady, Group: groupBefore, Form: Confirm,
		Do:  "DANGER, steam: never fill, open or vent a loop in the sun. Cover the collectors or wait for the evening. " + do,
		Ask: "Is the loop filled and free of air?"})
}

func (l *list) probes() {
	defer l.thermometer()
	for i, p := range l.site.Probes {
		step := Step{Group: groupProbes, About: p.Where(), System: p.System, Probe: i, Output: -1, Key: l.key(p.System, p.Place.Words()+" probe")}
		if p.Place.Unit() == control.Celsius {
			step.Form = Warm
			step.Do = "Take the probe of the " + l.key(p.System, p.Place.Words()) + " out of its pocket, where it can be reached without danger, and hold it alone in the hand. It must be colder than the hand; put it back in well afterwards. On a roof only with fall protection."
			if p.Place == control.OutdoorAir {
				step.Do += " It belongs in the shade all day, on the side away from the noon sun, a metre from warm walls and vents: one in the sun reads too warm, and nothing tells of it."
			}
			step.Ask = "Do you hold it?"
		} else {
			step.Form = Confirm
			step.Do = "Compare what the program reads with a gauge or meter beside it, or press the button while you look."
			step.Ask = "Does it read right?"
		}
		l.steps = append(l.steps, step)
	}
}

// thermometer asks once whether the probes tell the truth.
func (l *list) thermometer() {
	if len(l.site.Probes) > 0 {
		l.add(control.House, Step{Key: "probes against a thermometer", Group: groupProbes, Form: Confirm,
			Do:  "Every probe that can be taken out: in melting ice it reads 0 °C, and in hot water what a thermometer beside it reads, within 1 K. The command \"probe\" shows them live.",
			Ask: "Do all probes tell the truth?"})
	}
}

// switchDo says what to do while an output is tried, the danger first.
var switchDo = map[control.Actuator]string{
	control.LoopPump:            "DANGER, steam: not with a hot collector. Stand where you see and hear the pump. The program switches it on for a few seconds, and nothing else.",
	control.BackupHeater:        "DANGER, mains voltage and fire: tank full, heater's isolator still off, covers closed. Stand where you hear the contactor. The program lets it close for a few seconds, and nothing else. With the isolator off no current flows.",
	control.HotWaterCirculation: "Stand where you see and hear the circulation's pump. The program switches it on for a few seconds, and nothing else.",
	control.HeatDump:            "Stand where you see the heat dump's valve. The program opens it for a few seconds, and nothing else.",
}

func (l *list) outputs() {
	for i, o := range l.site.Outputs {
		step := Step{Form: Switch, Group: groupSwitch, System: o.System, Probe: -1, Output: i,
			Key: l.key(o.System, o.Actuator.Words()+" switches"), About: WiringOf(l.site, i),
			Do: switchDo[o.Actuator], Needs: []string{"mains wiring"},
			Ask: `What did you see? "right": it came on and went off again. "nothing". "inverted": it was on before, and off meanwhile. "other", and what came on.`}
		switch o.Actuator {
		case control.BackupHeater:
			step.Needs = append(step.Needs, l.key(o.System, tankFull))
		case control.LoopPump:
			step.Needs = append(step.Needs, l.key(o.System, loopReady))
		}
		l.steps = append(l.steps, step)
	}
}

func (l *list) work(i int) {
	s := &l.site.Systems[i]
	if l.has(i, control.LoopPump) {
		l.add(i, Step{Key: "pump moves heat", Group: groupWork, Form: Move,
			Do:    "In the sun, with the collector well above the tank. The program runs the pump for some minutes and looks whether the collector gives its heat to the tank. Without sun it says so, and you come back on a sunny day.",
			Ask:   "Shall it be tried now?",
			Needs: []string{l.key(i, loopReady), l.key(i, "loop pump switches")}})
		l.steps[len(l.steps)-1].Output = l.output(i, control.LoopPump)
	}
	if s.Loop == control.Natural {
		l.add(i, Step{Key: "natural circulation", Group: groupWork, Form: Confirm,
			Do:  "After an hour of clear sun: the upper pipe is hot as far as the tank, the lower one is colder. There is no pump to stop: the tank gets as hot as the sun makes it.",
			Ask: "Does the sun drive the loop?"})
	}
	if l.has(i, control.BackupHeater) {
		l.add(i, Step{Key: "heater warms the tank", Group: groupWork, Form: Heat,
			Do:    fmt.Sprintf("DANGER, mains voltage, fire, scalding: only when every step above is in order, and the electrician has put the heater's isolator on. Keep all taps shut. The program heats until the tank top has risen, %s, and compares the rise with the heater's power.", l.heatTime(i)),
			Ask:   "Shall it be tried now?",
			Needs: []string{l.key(i, tankFull), l.key(i, "backup heater switches"), l.key(i, "cut-out")}})
		l.steps[len(l.steps)-1].Output = l.output(i, control.BackupHeater)
	}
}

// output is the index of a system's output.
func (l *list) output(system int, a control.Actuator) int {
	for i, o := range l.site.Outputs {
		if o.System == system && o.Actuator == a {
			return i
		}
	}
	return -1
}

func (l *list) heatTime(i int) string {
	s := &l.site.Systems[i]
	rate := HeatRateKPerS(s)
	if rate <= 0 {
		return "at most an hour"
	}
	return fmt.Sprintf("some %.0f min", WarmedK/rate/60+1)
}

func (l *list) leave() {
	if l.hasAny(control.BackupHeater) {
		l.add(control.House, Step{Key: "heater drops when program and board die", Group: groupLeave, Form: Confirm,
			Do:  "With the daemon running, a heater's contactor closed and its isolator off: kill the program hard, then start it again; then cut the board's power. The contactor opened both times, within seconds, and nothing clicked on while the board started. If it stayed closed, have a drive fitted that drops by itself before the element gets power.",
			Ask: "Did the contactor open both times?"})
	}
	if len(l.site.Probes) > 0 {
		l.add(control.House, Step{Key: "pulled plugs are told", Group: groupLeave, Form: Confirm,
			Do:  fmt.Sprintf("With the daemon running, pull the plug of each probe in turn: the page tells of it within minutes, and with the tank top's the contactor opens within %s and a little.", control.Second.Format(l.site.Settings.ReadingAgeLimit.Seconds())),
			Ask: "Was every pulled plug told?"})
	}
	l.add(control.House, Step{Key: "owner shown", Group: groupLeave, Form: Confirm,
		Do:  "The owner has read the page, has switched off heater and pump at their isolators, knows that hot water can burn, that collectors and discharge pipes can be hot, and whom to call.",
		Ask: "Has the owner done it once, and heard of the dangers?"})
	l.add(control.House, Step{Key: "manual left", Group: groupLeave, Form: Confirm,
		Do:  "Makers' manuals, the page on safety, the site file and this report stay with the owner, with the dates of the yearly service.",
		Ask: "Are manuals, site file and report with the owner?"})
	l.add(control.House, Step{Key: serviceKey, Group: groupLeave, Form: Date,
		Do:  "A year from now at the latest: antifreeze, pressure and pre-charge, relief valves lifted, tempering valve at the tap, residual-current device, cut-out and thermostat.",
		Ask: "On which day?"})
	l.add(control.House, Step{Key: photosKey, Group: groupLeave, Form: Photos,
		Do:  "Names of files with pictures of the plant, separated by commas: collectors and their fixing, tank with its valves, wiring with covers closed, labels, gauges.",
		Ask: "Which files?"})
	l.add(control.House, Step{Key: remarksKey, Group: groupLeave, Form: Text, Ask: "What else should the next visitor know?"})
	l.add(control.House, Step{Key: SignKey, Group: groupLeave, Form: Sign,
		Do:  "Whoever hands over stands for the answers above as they are. A later change of an answer takes the signature away. The report has lines to sign by hand as well.",
		Ask: "Type the name of whoever hands over once more to sign."})
}
