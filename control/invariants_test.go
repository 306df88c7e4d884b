package control

import (
	"fmt"
	"math"
	"time"
)

// witness is what the invariants look at: a step, and what was before it.
type witness struct {
	c       *Controller
	elapsed time.Duration
	out     *Outcome
	outputs []OutputState // before
	energy  []Energy      // before
}

// begin notes what is before a step.
func (w *witness) begin(c *Controller, elapsed time.Duration) {
	w.c, w.elapsed = c, elapsed
	w.outputs = append(w.outputs[:0], c.st.Outputs...)
	w.energy = w.energy[:0]
	for i := range c.systems {
		w.energy = append(w.energy, c.EnergyOf(i))
	}
}

// broken gives the first invariant that the step has broken, in words, or
// nothing.
func (w *witness) broken(out *Outcome) string {
	w.out = out
	for _, inv := range invariants {
		for i := range out.Decisions {
			if what := inv.broken(w, i); what != "" {
				return fmt.Sprintf("%s: output %d: %s (%s)", inv.name, i, what, out.Decisions[i].Reason)
			}
		}
	}
	return ""
}

// invariants hold in every step, whatever came in and whatever was before.
var invariants = []struct {
	name   string
	broken func(w *witness, output int) string
}{
	{"every decision has a reason", func(w *witness, i int) string {
		if d := &w.out.Decisions[i]; d.Reason.Words == SaysNothing || d.Reason.Words >= numWords {
			return "it has none"
		}
		return ""
	}},
	{"a level is one that the output can be driven at", func(w *witness, i int) string {
		d, least := &w.out.Decisions[i], w.c.plan.Outputs[i].LeastLevel
		if d.Level == 0 || d.Level == 1 || least > 0 && d.Level >= least && d.Level <= 1 {
			return ""
		}
		return fmt.Sprint("the level is ", d.Level)
	}},
	{"there is room for every vote", func(w *witness, i int) string {
		if len(w.out.Decisions[i].Votes) == maxVotes {
			return "all the room is taken"
		}
		return ""
	}},
	{"a protection is never outranked", func(w *witness, i int) string {
		for _, v := range w.out.Decisions[i].Votes {
			if v.Rank == Protect && w.out.Decisions[i].Rank != Protect {
				return "a protection lost: " + v.Reason.String()
			}
		}
		return ""
	}},
	{"what a protection forbids is off", func(w *witness, i int) string {
		for _, v := range w.out.Decisions[i].Votes {
			if v.Rank == Protect && v.Level == 0 && w.out.Decisions[i].On() {
				return "it is on against: " + v.Reason.String()
			}
		}
		return ""
	}},
	{"the heater is on only with a good tank top reading, below the limit", func(w *witness, i int) string {
		s := w.systemOf(i)
		if w.c.plan.Outputs[i].Actuator != BackupHeater || !w.out.Decisions[i].On() {
			return ""
		}
		if hottest, _ := s.hottest(); !s.tankTop.OK() || hottest >= s.set.TankLimitC {
			return fmt.Sprintf("tank top good: %v, hottest %g °C", s.tankTop.OK(), hottest)
		}
		return ""
	}},
	{"the pump does not run into a steaming collector, nor into one that was last read as steaming and may still", func(w *witness, i int) string {
		s := w.systemOf(i)
		if !w.pumps(i) {
			return ""
		}
		if c, lately := lastWord(s.collector, s.collectorProbe); lately && c >= s.set.RestartCeilingC {
			return fmt.Sprintf("the collector is, or was last, at %g °C", c)
		}
		return ""
	}},
	{"without readings a pump runs against frost alone, and none with antifreeze unless the air tells of frost", func(w *witness, i int) string {
		s := w.systemOf(i)
		_, known := s.hottest()
		switch {
		case !w.pumps(i) || known && s.collector.OK():
			return ""
		case !s.frostCirculates || w.out.Decisions[i].Rank != Protect:
			return "collector or tank can't be read"
		case !s.plan.WaterFilled && (!known || !s.outdoor.OK()):
			return "collector and air, or the tank, can't be read"
		}
		return ""
	}},
	{"no pump runs against antifreeze that is at its freezing point", func(w *witness, i int) string {
		s := w.systemOf(i)
		if w.pumps(i) && !s.plan.WaterFilled && s.collector.OK() && s.collector.Value <= s.plan.FreezingPointC {
			return fmt.Sprintf("the collector is at %g °C, its fluid freezes at %g °C", s.collector.Value, s.plan.FreezingPointC)
		}
		return ""
	}},
	{"nothing heats a full tank by the sun, nor one that was full when it was last read", func(w *witness, i int) string {
		s := w.systemOf(i)
		dump := w.c.plan.outputOf(s.index, HeatDump)
		dumping := dump != none && w.out.Decisions[dump].On() && w.outputs[dump].Level > 0 &&
			w.outputs[dump].InState+w.elapsed >= dumpLead && s.tankSeen()
		hottest := math.Inf(-1)
		for _, probe := range []struct {
			reading *Judged
			mem     *ProbeState
		}{{s.tankTop, s.topProbe}, {s.tankBottom, s.bottomProbe}} {
			if v, lately := lastWord(probe.reading, probe.mem); lately {
				hottest = max(hottest, v)
			}
		}
		switch {
		case !w.pumps(i) || dumping || hottest < s.set.TankLimitC:
			return ""
		case s.collector.OK() && s.collector.Value < hottest:
			return ""
		case !s.collector.OK() && s.collectorProbe.Silent >= unseenPatience && s.outdoor.OK():
			return "" // a cold night, and nobody knows that there is a sun on the roof
		}
		return fmt.Sprintf("tank at %g °C, collector good %v, at %g °C", hottest, s.collector.OK(), s.collector.Value)
	}},
	{"nothing switches inside its minimum time", func(w *witness, i int) string {
		was, is, lim := w.outputs[i], &w.out.Decisions[i], &w.c.limits[i]
		if wasOn := was.Level > 0; wasOn == is.On() {
			return ""
		} else if wasOn && (is.Rank >= Person || was.Protecting || w.c.plan.ObserveOnly) {
			return ""
		}
		least := lim.minRun
		if is.On() {
			least = lim.minRest
			if is.Rank == Protect {
				least = min(least, protectRest)
			}
		}
		if lasted := was.InState + w.elapsed; lasted < least {
			return fmt.Sprintf("switched after %v", lasted)
		}
		return ""
	}},
	{"the heaters together keep to the supply limit", func(w *witness, i int) string {
		if i > 0 || w.c.plan.SupplyW == 0 {
			return ""
		}
		total := 0.0
		for k, o := range w.c.plan.Outputs {
			if o.Actuator == BackupHeater {
				total += w.out.Decisions[k].Level * w.c.plan.Systems[o.System].HeaterW
			}
		}
		if total > w.c.plan.SupplyW {
			return fmt.Sprintf("%g W are drawn, %g W are allowed", total, w.c.plan.SupplyW)
		}
		return ""
	}},
	{"where everything is only watched, nothing is on", func(w *witness, i int) string {
		if w.c.plan.ObserveOnly && (w.out.Decisions[i].On() || w.c.st.Outputs[i].Level > 0) {
			return "it is on"
		}
		return ""
	}},
	{"the circulation does not run from a tank that can't be read", func(w *witness, i int) string {
		if o := w.c.plan.Outputs[i]; o.Actuator == HotWaterCirculation && w.out.Decisions[i].Rank < Person &&
			w.out.Decisions[i].On() && w.out.Decisions[i].Held == 0 && !w.systemOf(i).tankTop.OK() {
			return "it runs"
		}
		return ""
	}},
	{"in the service state only a person switches on", func(w *witness, i int) string {
		if d := &w.out.Decisions[i]; w.c.st.Servicing && d.On() && d.Rank != Person && d.Held == 0 && !w.c.ballots[i].onByHand() {
			return "it is on"
		}
		return ""
	}},
	{"no energy counter falls", func(w *witness, i int) string {
		if i >= len(w.energy) {
			return ""
		}
		was, is := w.energy[i], w.c.EnergyOf(i)
		for _, pair := range [][2]float64{
			{was.SunJ, is.SunJ}, {was.MeterJ, is.MeterJ}, {was.DrawnJ, is.DrawnJ},
			{was.TankLossJ, is.TankLossJ}, {was.LoopLossJ, is.LoopLossJ}, {was.PumpJ, is.PumpJ},
			{was.CirculationLossJ, is.CirculationLossJ}, {was.CirculationPumpJ, is.CirculationPumpJ},
		} {
			if !(pair[1] >= pair[0] && pair[1] < mostJ) {
				return fmt.Sprintf("from %g J to %g J", pair[0], pair[1])
			}
		}
		return ""
	}},
}

// lastWord is what a probe says, or what it has last said: some hours later it is
// nothing any more.
func lastWord(reading *Judged, mem *ProbeState) (value float64, lately bool) {
	switch {
	case reading.OK():
		return reading.Value, true
	case mem == nil || mem.Silent >= unseenPatience:
		return 0, false
	}
	return mem.Last, true
}

func (w *witness) systemOf(output int) *system { return &w.c.systems[w.c.plan.Outputs[output].System] }

// pumps tells whether an output is a loop pump and runs.
func (w *witness) pumps(output int) bool {
	return w.c.plan.Outputs[output].Actuator == LoopPump && w.out.Decisions[output].On()
}
