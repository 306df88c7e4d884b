package commissioning

import (
	"context"
	"fmt"
	"math"
	"strings"
	"time"

	"sunstoker/control"
	"sunstoker/planner/handover"
	"sunstoker/site"
	"sunstoker/station/survey"
)

// try does a live step. It is false when it could not be tried, which was told.
func (s *session) try(ctx context.Context, step *handover.Step, reply *handover.Reply) (tried bool, err error) {
	if err := s.openPlant(ctx); err != nil {
		s.cannot(step, err)
		return false, nil
	}
	if step.Output >= 0 {
		if why := s.plant.forbids(step.Output); why != "" {
			s.say("Not now: %s This step stays open.", why)
			return false, nil
		}
	}
	switch step.Form {
	case handover.Warm:
		return true, s.warm(ctx, step, reply)
	case handover.Switch:
		return true, s.hold(ctx, step, reply)
	case handover.Move:
		return true, s.move(ctx, step, reply)
	}
	return true, s.heat(ctx, step, reply)
}

// openPlant takes the plant, if it was not yet.
func (s *session) openPlant(ctx context.Context) error {
	if s.plant.Taken == nil && s.Answers == nil {
		s.say("The outputs are taken, off, and the probes are read …")
	}
	return s.plant.open(ctx)
}

// cannot tells once why the plant can't be had; the steps stay open.
func (s *session) cannot(step *handover.Step, err error) {
	s.say("This step stays open, since the plant can't be tried now.")
	if !s.untold[err.Error()] {
		s.untold[err.Error()] = true
		s.failed = append(s.failed, err)
		s.say("%v", err)
	}
}

// nameOf is a probe in words.
func (s *session) nameOf(probe int) string {
	p := s.Site.Probes[probe]
	words := p.Place.Words()
	if p.System >= 0 && len(s.Site.Systems) > 1 {
		words += " of " + s.Site.Systems[p.System].Name
	}
	return words
}

const (
	handPatience = 2 * time.Minute // that the hand has
	handLook     = 2 * time.Second
)

// warm looks which probe gets warm in the hand.
func (s *session) warm(ctx context.Context, step *handover.Step, reply *handover.Reply) error {
	if _, why := s.plant.read(step.Probe); why != "" {
		reply.Outcome, reply.Seen = handover.Fault, fmt.Sprintf("The probe of the %s gives no value (%s): look at its plug, its cable and its line in the site file.", s.nameOf(step.Probe), why)
		return nil
	}
	if s.Hand != nil {
		s.Hand(step.Probe)
		defer s.Hand(-1)
	}
	var finder survey.Finder
	first := s.temperatures()
	for waited := time.Duration(0); waited < handPatience; waited += handLook {
		now := s.temperatures()
		if waited%(10*time.Second) == 0 {
			s.say("  %s", s.list(now))
		}
		switch name, verdict := finder.Look(now); verdict {
		case survey.Found:
			s.judgeWarm(step, reply, name, now[name]-first[name])
			return nil
		case survey.Several:
			reply.Outcome, reply.Seen = handover.NotProven, "Several probes get warm alike: hold one alone, out of sun and draught."
			return nil
		}
		if err := s.Time.Pass(ctx, handLook); err != nil {
			return err
		}
	}
	reply.Outcome, reply.Seen = handover.NotProven, fmt.Sprintf("No probe got warm within %.0f min. One above some %d °C does not warm in a hand: let it cool first, or dip it into warm water.", handPatience.Minutes(), survey.HandWarmC)
	return nil
}

func (s *session) judgeWarm(step *handover.Step, reply *handover.Reply, name string, rise float64) {
	if wanted := s.nameOf(step.Probe); name != wanted {
		reply.Outcome = handover.Fault
		reply.Seen = fmt.Sprintf("It was the probe that the site file calls %s that got warm, by %.1f K, and not that of the %s: the two are swapped in the site file or in their pockets, or another one was held.", name, rise, wanted)
		return
	}
	reply.Outcome, reply.Seen = handover.Done, fmt.Sprintf("It got warm by %.1f K, and no other did.", rise)
}

// temperatures are the newest values in °C by their probes' names.
func (s *session) temperatures() map[string]float64 {
	values := map[string]float64{}
	for i, p := range s.Site.Probes {
		if p.Place.Unit() != control.Celsius {
			continue
		}
		if v, why := s.plant.read(i); why == "" {
			values[s.nameOf(i)] = v
		}
	}
	return values
}

// list is a line of readings, in the order of the site.
func (s *session) list(values map[string]float64) string {
	var parts []string
	for i := range s.Site.Probes {
		if v, known := values[s.nameOf(i)]; known {
			parts = append(parts, fmt.Sprintf("%s %.1f °C", s.nameOf(i), v))
		}
	}
	return strings.Join(parts, ", ")
}

// showReading tells what a probe reads that is no thermometer.
func (s *session) showReading(ctx context.Context, step *handover.Step) {
	if err := s.openPlant(ctx); err != nil {
		s.say("It can't be read now (%v); while the daemon runs its page shows it.", err)
		return
	}
	p := s.Site.Probes[step.Probe]
	if v, why := s.plant.read(step.Probe); why == "" {
		s.say("The program reads %s.", p.Place.Unit().Format(math.Round(v*100)/100))
	} else {
		s.say("The program reads nothing: %s.", why)
	}
}

// holdFor is how long an output is held on for a person to see.
const holdFor = 5 * time.Second

// hold switches an output alone and takes what the person has seen.
func (s *session) hold(ctx context.Context, step *handover.Step, reply *handover.Reply) error {
	o := s.Site.Outputs[step.Output]
	before, metered := s.witness(o)
	s.say("The %s is on for %.0f s …", o.Actuator.Words(), holdFor.Seconds())
	during := 0.0
	fault := s.plant.drive(ctx, step.Output, holdFor, func(time.Duration) bool {
		now, _ := s.witness(o)
		during = max(during, now)
		return s.plant.forbids(step.Output) != ""
	})
	if ctx.Err() != nil {
		return ctx.Err()
	}
	s.saidOff(fault)
	if fault != nil {
		reply.Answer = handover.Answer{Step: step.Key, About: step.About, Outcome: handover.Fault, Said: "now", Seen: fmt.Sprintf("It can't be driven: %v", fault)}
		return nil
	}
	seen, err := s.ask.saw(ctx, s, step, reply)
	if err != nil {
		return err
	}
	*reply = *seen
	if s.Answers != nil && reply.Outcome == handover.Done {
		reply.Seen = "Switched as a file of answers was read, which says so."
	}
	if metered {
		s.contradict(reply, o, before, during)
	}
	return nil
}

// witnessA is the current from which something draws, in A; a clamp's noise is below
// (common practice, no source).
const witnessA = 0.05

// witness is the current that an output's load draws, where a clamp is fitted.
func (s *session) witness(o site.OutputWiring) (ampere float64, fitted bool) {
	place := control.HeaterCurrent
	switch o.Actuator {
	case control.LoopPump:
		place = control.PumpCurrent
	case control.BackupHeater:
	default:
		return 0, false
	}
	v, why := s.plant.at(o.System, place)
	return v, why == ""
}

// contradict holds what a person saw against the clamp.
func (s *session) contradict(reply *handover.Reply, o site.OutputWiring, before, during float64) {
	words := fmt.Sprintf("The current clamp showed %.2f A before and %.2f A meanwhile.", before, during)
	switch {
	case before > witnessA && during < before/2:
		reply.Outcome = handover.Fault
		words += " DANGER: that is the wrong way round. Off at its isolator, and have the wiring changed."
	case reply.Outcome == handover.Done && o.Actuator == control.LoopPump && during <= witnessA:
		reply.Outcome = handover.NotProven
		words += " Nothing draws current there: look at the pump, its isolator and the clamp."
	}
	reply.Seen = strings.TrimSpace(reply.Seen + " " + words)
}

// saidOff tells of the end of a trial.
func (s *session) saidOff(fault error) {
	if fault == nil {
		s.say("… and is off.")
	}
}

const (
	moveFor     = 4 * time.Minute
	moveAtLeast = 20 * time.Second // for a flow meter to settle
)

// move runs the pump and looks for the heat that it moves.
func (s *session) move(ctx context.Context, step *handover.Step, reply *handover.Reply) error {
	system := s.Site.Outputs[step.Output].System
	gap := func() float64 {
		hot, noHot := s.plant.at(system, control.Collector)
		cold, noCold := s.plant.at(system, control.TankBottom)
		if noHot != "" || noCold != "" {
			return math.NaN()
		}
		return hot - cold
	}
	before := gap()
	if math.IsNaN(before) {
		reply.Outcome, reply.Seen = handover.NotProven, "Collector and tank bottom must both be read for this: mend the probe first."
		return nil
	}
	enough := before >= handover.GapNeededK(&s.Site.Systems[system])
	most := moveFor
	if !enough {
		most = moveAtLeast
	}
	s.say("Collector above tank bottom: %.1f K. The pump runs for at most %s …", before, control.Second.Format(most.Seconds()))
	flow, after, held := -1.0, before, time.Duration(0)
	fault := s.plant.drive(ctx, step.Output, most, func(now time.Duration) bool {
		held, after = now, gap()
		if v, why := s.plant.at(system, control.LoopFlow); why == "" {
			flow = v
		}
		return s.plant.forbids(step.Output) != "" || enough && now >= moveAtLeast && handover.GapFell(before, after)
	})
	if ctx.Err() != nil {
		return ctx.Err()
	}
	s.saidOff(fault)
	switch {
	case fault != nil:
		reply.Outcome, reply.Seen = handover.Fault, fmt.Sprintf("The pump can't be driven: %v", fault)
	case math.IsNaN(after):
		reply.Outcome, reply.Seen = handover.NotProven, "A probe was lost meanwhile: mend it first."
	default:
		reply.Outcome, reply.Seen = handover.JudgeMoving(&s.Site.Systems[system], before, after, held.Seconds(), flow)
	}
	return nil
}

// heat runs the heater until the tank top has risen.
func (s *session) heat(ctx context.Context, step *handover.Step, reply *handover.Reply) error {
	number := s.Site.Outputs[step.Output].System
	system := &s.Site.Systems[number]
	begin, _ := s.plant.at(number, control.TankTop) // it was good a moment ago
	most := time.Duration(handover.MostHeatingS(system)) * time.Second
	s.say("Tank top: %.1f °C. The heater is on until it has risen by %d K, at most for %.0f min. Ctrl-C switches it off …", begin, handover.WarmedK, most.Minutes())
	rise, held, stopped := 0.0, time.Duration(0), ""
	fault := s.plant.drive(ctx, step.Output, most, func(now time.Duration) bool {
		held = now
		if stopped = s.plant.forbids(step.Output); stopped != "" {
			return true
		}
		top, _ := s.plant.at(number, control.TankTop)
		rise = top - begin
		if now%time.Minute == 0 {
			s.say("  %.0f min: tank top %.1f °C", now.Minutes(), top)
		}
		return rise >= handover.WarmedK && !handover.TooFast(system, rise, now.Seconds()) && now >= minHeat || handover.TooFast(system, rise, now.Seconds())
	})
	if ctx.Err() != nil {
		return ctx.Err()
	}
	s.saidOff(fault)
	switch {
	case fault != nil:
		reply.Outcome, reply.Seen = handover.Fault, fmt.Sprintf("The heater can't be driven: %v", fault)
	case stopped != "":
		reply.Outcome, reply.Seen = handover.NotProven, "It was ended early. "+stopped
	default:
		reply.Outcome, reply.Seen = handover.JudgeHeating(system, rise, held.Seconds())
	}
	return nil
}

// minHeat is the least time of a trial, so that one wild sample ends none.
const minHeat = 10 * time.Second
