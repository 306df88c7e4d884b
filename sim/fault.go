package sim

import (
	"errors"
	"fmt"
	"math"
	"time"

	"sunstoker/sim/plant"
)

// Fault is one thing that breaks, as data.
type Fault struct {
	Name string // one of FaultKinds
	// System is the index of the system it happens to; unused for probes.
	System int
	// Probe is the name of the probe it happens to; empty for systems.
	Probe string
	// Other is the name of the second probe of a swapped pair; else empty.
	Other string
	// Start is the elapsed time at which it begins.
	Start time.Duration
	// Duration is how long it lasts; zero means for good.
	Duration time.Duration
	// Amount is how bad it is, for kinds that have one (see FaultKind.Amount);
	// nil takes the kind's usual amount.
	Amount *float64
}

func (f Fault) active(elapsed time.Duration) bool {
	return elapsed >= f.Start && (f.Duration == 0 || elapsed < f.Start+f.Duration)
}

// plannedFault is a checked fault with what it refers to.
type plannedFault struct {
	Fault
	kind         *FaultKind
	amount       float64
	probe, other *Probe // those named, nil if none
}

const never = time.Duration(math.MaxInt64)

// faultPlan holds all faults of a house and when the next one changes.
type faultPlan struct {
	all  []plannedFault
	next time.Duration
}

// AddFault adds a fault. One whose start has passed begins with the next step.
// What is not there can't break: a fault of a part that the plant does not have,
// or that a probe cannot have at its place, is an error that says where it can
// happen.
func (h *House) AddFault(f Fault) error {
	kind, err := faultKindNamed(f.Name)
	if err != nil {
		return err
	}
	if f.Start < 0 || f.Duration < 0 {
		return fmt.Errorf("sim: fault %q starts at %v and lasts %v; neither may be negative", f.Name, f.Start, f.Duration)
	}
	planned := plannedFault{Fault: f, kind: kind, amount: kind.UsualAmount}
	if f.Amount != nil {
		if planned.amount, err = kind.check(*f.Amount); err != nil {
			return fmt.Errorf("sim: fault %q: %w", kind.Name, err)
		}
	}
	if err := h.checkTarget(f, kind); err != nil {
		return err
	}
	// Names that are not needed are empty by now.
	planned.probe, _ = h.Probe(f.Probe)
	planned.other, _ = h.Probe(f.Other)
	h.faults.all = append(h.faults.all, planned)
	h.faults.next = 0
	return nil
}

func (k *FaultKind) check(amount float64) (float64, error) {
	if k.Amount == "" {
		return 0, errors.New("it has no amount; leave it out")
	}
	if !(amount >= k.Least && amount <= k.Most) {
		return 0, fmt.Errorf("the %s is %g; give %g to %g", k.Amount, amount, k.Least, k.Most)
	}
	return amount, nil
}

func (h *House) checkTarget(f Fault, kind *FaultKind) error {
	if kind.swaps {
		if _, err := h.Probe(f.Other); err != nil || f.Other == f.Probe {
			return fmt.Errorf("sim: fault %q needs a second probe as Other, and %q is none", f.Name, f.Other)
		}
	} else if f.Other != "" {
		return fmt.Errorf("sim: fault %q has no second probe %q; leave it out", f.Name, f.Other)
	}
	if kind.OfProbe() {
		if err := h.checkPlace(kind, f); err != nil {
			return fmt.Errorf("sim: fault %q: %w", f.Name, err)
		}
		return nil
	}
	if f.Probe != "" {
		return fmt.Errorf("sim: fault %q happens to a system or the house, not to the probe %q", f.Name, f.Probe)
	}
	if kind.OfHouse() {
		return nil
	}
	if f.System < 0 || f.System >= len(h.systems) {
		return fmt.Errorf("sim: fault %q: there is no system %d; there are %d, counted from 0", f.Name, f.System, len(h.systems))
	}
	if err := h.checkNeeds(kind, f.System); err != nil {
		return fmt.Errorf("sim: fault %q: %w", f.Name, err)
	}
	return nil
}

// ClearFaults repairs everything at once and forgets faults to come.
func (h *House) ClearFaults() {
	h.faults.all = nil
	h.applyFaults()
}

// ActiveFaults appends the faults that are in force now to into.
func (h *House) ActiveFaults(into []Fault) []Fault {
	for _, f := range h.faults.all {
		if f.active(h.elapsed) {
			into = append(into, f.Fault)
		}
	}
	return into
}

// applyFaults makes plants and probes sound and breaks them anew by every
// fault in force, so that overlapping faults end each in its own time.
func (h *House) applyFaults() {
	for i := range h.systems {
		h.systems[i].plant.Damage = plant.Damage{}
	}
	h.broken = houseFault{}
	h.faults.next = never
	for _, f := range h.faults.all {
		for _, change := range []time.Duration{f.Start, f.Start + f.Duration} {
			if change > h.elapsed {
				h.faults.next = min(h.faults.next, change)
			}
		}
		if !f.active(h.elapsed) {
			continue
		}
		switch {
		case f.kind.OfHouse():
			f.kind.breakHouse(&h.broken, f)
		case !f.kind.OfProbe():
			f.kind.breakPlant(&h.systems[f.System].plant.Damage, f.amount)
		}
	}
	for i := range h.systems {
		h.broken.addOutputs(&h.systems[i].plant.Damage.Outputs)
	}
	for _, p := range h.probes {
		h.breakProbe(p)
	}
}

func (h *House) breakProbe(p *Probe) {
	broken := probeFault{missing: h.broken.busSilent}
	if unit, err := PlaceUnit(p.config.Place); err == nil && unit == "degC" {
		broken.biasK, broken.humK = h.broken.busShiftK, h.broken.busHumK
	}
	for _, f := range h.faults.all {
		if !f.kind.OfProbe() || !f.active(h.elapsed) {
			continue
		}
		switch {
		case f.probe == p:
			f.kind.breakProbe(&broken, f)
		case f.other == p: // the other one of a pair reads what the first should
			f.other = f.probe
			f.kind.breakProbe(&broken, f)
		}
	}
	p.setFault(broken)
}
