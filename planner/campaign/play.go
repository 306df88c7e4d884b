package campaign

import (
	"time"

	"sunstoker/control"
	"sunstoker/planner"
	"sunstoker/sim"
)

// runner plays a trial.
type runner struct {
	trial               Trial
	run                 *planner.Run
	rec                 *Record
	watch               *watch
	probes              []func() float64
	open                []int // spans of findings that stand
	hung, said          bool
	torn                bool // what was saved since the last start can't be read
	lastTrace, lastCare time.Duration
}

func (r *runner) play() error {
	t := &r.trial
	struck, mended := false, false
	for now := r.run.House.Elapsed(); now < t.ends(); now = r.run.House.Elapsed() {
		if !struck && now >= t.strikes() {
			struck = true
			r.watch.begin()
			if err := r.doPersons(true); err != nil {
				return err
			}
		}
		if !mended && now >= t.repaired() {
			mended = true
			if err := r.doPersons(false); err != nil {
				return err
			}
			r.watch.settles = now + time.Hour
		}
		r.step(struck && !mended)
		r.watch.look()
		if struck {
			r.lookAtBarriers()
		}
		if mended {
			r.care(now)
		}
		if !r.said && now >= t.repaired()+wordAfter {
			r.said = true
			r.giveWord()
		}
		if now-r.lastTrace >= traceEvery {
			r.lastTrace = now
			for _, tempC := range r.probes {
				r.rec.trace = append(r.rec.trace, float32(tempC()))
			}
			for i := range t.House.site.Systems {
				r.rec.trace = append(r.rec.trace, float32(r.run.House.Truth(i).CollectorC)/3)
			}
		}
	}
	for _, i := range r.open {
		r.rec.spans[i].to = t.ends()
	}
	return nil
}

// step makes a step; a board that hangs makes none, and starts anew after.
func (r *runner) step(broken bool) {
	hangs := false
	if broken {
		for _, f := range r.trial.Faults {
			hangs = hangs || f.Hangs && r.run.House.Elapsed() < r.trial.strikes()+f.lasts()
		}
	}
	if hangs {
		r.hung = true
		r.run.House.Step(r.trial.Step)
		return
	}
	if r.hung {
		r.hung = false
		r.run.Controller.Restarted()
		if r.torn {
			r.torn = false
			r.run.Controller.MemoryLost()
		}
	}
	r.torn = r.torn || r.run.House.Storage().Tears
	r.tellBoard(broken)
	if out := r.run.Step(); out != nil {
		r.note(out)
	}
}

// tellBoard says what the running program would know of its board, as package
// station does it: a line that does not obey, a state that can't be saved, a
// probe that is not of the maker's.
func (r *runner) tellBoard(broken bool) {
	storage := r.run.House.Storage()
	b := control.Board{TempC: r.run.House.BoardC(), StorageKnown: true, StorageReadOnly: storage.ReadOnly, StorageFreeMB: roomMB}
	switch {
	case storage.Full:
		b.Unsaved, b.StorageFreeMB = "no space is left on the storage card", 0
	case storage.ReadOnly:
		b.Unsaved = "the storage card is read-only"
	}
	if broken {
		for _, f := range r.trial.Faults {
			r.onBoard(&b, f)
		}
	}
	r.run.Controller.Tell(b)
}

// roomMB is free on a card that is not full.
const roomMB = 1000

// onBoard adds what the simulated house has no part for.
func (r *runner) onBoard(b *control.Board, f Switch) {
	plan := &r.trial.House.site.Plan
	switch f.Kind {
	case "outputs driven by a second program":
		for range plan.Outputs {
			b.OutputFaults = append(b.OutputFaults, "its line is not as it was driven")
		}
	case "probe counterfeit":
		b.ProbeNotes = make([]string, len(plan.Probes))
		for i, p := range plan.Probes {
			if p.Place.String() == f.Place {
				b.ProbeNotes[i] = "its number is not of the maker's pattern"
			}
		}
	case "probe replaced by a stranger":
		b.Stranger = "a probe that no place of the site file has"
	}
	for _, w := range f.With {
		r.onBoard(b, w)
	}
}

// note keeps what the controller says.
func (r *runner) note(out *control.Outcome) {
	now := r.run.House.Elapsed()
	for i := range out.Decisions {
		if w := out.Decisions[i].Reason.Words; r.rec.reasons[w] == 0 {
			r.rec.reasons[w], r.rec.first[w] = now, out.Decisions[i].Reason.String()
		}
	}
	if len(out.Findings) == 0 && len(r.open) == 0 {
		return
	}
	still := r.open[:0]
	for _, i := range r.open {
		if standsIn(out.Findings, r.rec.spans[i].kind) {
			still = append(still, i)
		} else {
			r.rec.spans[i].to = now
		}
	}
	r.open = still
	for i := range out.Findings {
		if f := &out.Findings[i]; !r.isOpen(f.Kind) {
			r.open = append(r.open, len(r.rec.spans))
			r.rec.spans = append(r.rec.spans, span{kind: f.Kind, from: now, text: f.Evidence.String()})
		}
	}
}

func standsIn(found []control.Finding, k control.FindingKind) bool {
	for i := range found {
		if found[i].Kind == k {
			return true
		}
	}
	return false
}

func (r *runner) isOpen(k control.FindingKind) bool {
	for _, i := range r.open {
		if r.rec.spans[i].kind == k {
			return true
		}
	}
	return false
}

// lookAtBarriers notes which independent parts did their duty.
func (r *runner) lookAtBarriers() {
	for i := range r.trial.House.site.Systems {
		t := r.run.House.Truth(i)
		r.rec.cutOut = r.rec.cutOut || t.CutOutOpen
		r.rec.tankRelief = r.rec.tankRelief || t.Hazards.ReliefOpen
		r.rec.loopRelief = r.rec.loopRelief || t.Hazards.LoopReliefOpen
	}
}

// care is the person who comes after the repair: resets the cut-out, fills up
// loop and store, once an hour until all is well.
func (r *runner) care(now time.Duration) {
	if now-r.lastCare < time.Hour {
		return
	}
	r.lastCare = now
	repair(r.run.House, len(r.trial.House.site.Systems))
}

// giveWord is a person who ends the service state where a finding that waits for
// it still stands.
func (r *runner) giveWord() {
	for _, i := range r.open {
		if k := r.rec.spans[i].kind; k.TakesWord() {
			r.rec.words = append(r.rec.words, k)
		}
	}
	if len(r.rec.words) > 0 {
		saysMended(r.run.Controller)
	}
}

// saysMended is a person's word.
func saysMended(c *control.Controller) {
	c.SetServicing(true)
	c.SetServicing(false)
}

// repair is a person who resets cut-outs and fills up loops and stores where
// that is needed.
func repair(house *sim.House, systems int) {
	for i := range systems {
		t := house.Truth(i)
		if t.CutOutOpen {
			house.ResetCutOut(i)
		}
		if t.FluidLostL > 0.5 || t.LoopAirL > 0.5 || t.Hazards.Burst {
			house.RefillLoop(i)
		}
		if t.StoreLevel < 0.99 {
			house.TopUpStore(i)
		}
	}
}
