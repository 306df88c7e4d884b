package sim

import (
	"fmt"
	"math"
	"slices"

	"sunstoker/sim/plant"
)

// FaultKind is one way of breaking.
type FaultKind struct {
	Name    string
	Part    string // what of a house it happens to, one of FaultParts
	Meaning string
	// Amount says what Fault.Amount stands for, empty if nothing. It must lie
	// from Least to Most; UsualAmount is taken when none is given (NaN: the
	// kind decides by itself, see Amount).
	Amount                   string
	UsualAmount, Least, Most float64

	// One of the three, according to what it happens to.
	breakPlant func(d *plant.Damage, amount float64)
	breakProbe func(p *probeFault, f plannedFault)
	breakHouse func(h *houseFault, f plannedFault)
	// swaps marks the kind that needs a second probe, Fault.Other.
	swaps bool
	// What it needs to mean anything, of the plant or of the probe; nil: nothing.
	needs      *need
	probeNeeds *placeNeed
}

// OfProbe tells whether it happens to a probe rather than to a system.
func (k FaultKind) OfProbe() bool { return k.breakProbe != nil }

// OfHouse tells whether it happens to the house as a whole: its mains power, the
// board, the bus of all probes, the clock, the storage, the people.
func (k FaultKind) OfHouse() bool { return k.breakHouse != nil }

// FaultKinds lists all kinds. Add a row to add one.
func FaultKinds() []FaultKind { return append([]FaultKind(nil), faultKinds...) }

// FaultParts are the parts of a house, in the order of FaultKinds.
func FaultParts() []string {
	var parts []string
	for i := range faultKinds {
		if part := faultKinds[i].Part; !slices.Contains(parts, part) {
			parts = append(parts, part)
		}
	}
	return parts
}

var faultKinds = slices.Concat(
	ofPart("loop and collector", firstLoopFaultKinds, loopFaultKinds),
	ofPart("heater", firstHeaterFaultKinds, heaterFaultKinds),
	ofPart("tank and hot water", firstTankFaultKinds, tankFaultKinds),
	ofPart("probe", firstProbeFaultKinds, probeFaultKinds),
	ofPart("house and board", houseFaultKinds),
)

// ofPart puts the tables of a part together.
func ofPart(part string, tables ...[]FaultKind) []FaultKind {
	kinds := slices.Concat(tables...)
	for i := range kinds {
		kinds[i].Part = part
	}
	return kinds
}

var firstLoopFaultKinds = []FaultKind{
	{Name: "pump does not turn", needs: loopPump, Meaning: "seized, unplugged or tripped",
		breakPlant: func(d *plant.Damage, _ float64) { d.PumpDead = true }},
	{Name: "pump relay welded", needs: loopPump, Meaning: "the pump runs at full level whatever it is told",
		breakPlant: func(d *plant.Damage, _ float64) { d.PumpWelded = true }},
	{Name: "flow blocked", Meaning: "air, dirt or a weak pump take part of the flow",
		Amount: "share of the flow lost", UsualAmount: 0.8, Least: 0, Most: 1,
		breakPlant: func(d *plant.Damage, amount float64) { d.FlowLost = math.Max(d.FlowLost, amount) }},
	{Name: "check valve stuck open", needs: checkValve, Meaning: "the loop can run backwards at night",
		breakPlant: func(d *plant.Damage, _ float64) { d.CheckValveOpen = true }},
	{Name: "check valve stuck shut", needs: checkValve, Meaning: "nothing flows whatever the pump does",
		breakPlant: func(d *plant.Damage, _ float64) { d.CheckValveShut = true }},
	{Name: "shade on the collector", Meaning: "leaves, snow, dirt or a new neighbour",
		Amount: "share of the light kept off", UsualAmount: 0.7, Least: 0, Most: 1,
		breakPlant: func(d *plant.Damage, amount float64) { d.Shade = math.Max(d.Shade, amount) }},
}

var firstHeaterFaultKinds = []FaultKind{
	{Name: "heater relay welded", needs: anyHeater, Meaning: "the heater is on whatever it is told; only its own thermostats stop it",
		breakPlant: func(d *plant.Damage, _ float64) { d.HeaterWelded = true }},
	{Name: "heater element open", needs: anyHeater, Meaning: "the heater takes no current",
		breakPlant: func(d *plant.Damage, _ float64) { d.ElementOpen = true }},
	{Name: "heater thermostat welded", needs: thermostat, Meaning: "the heater's own thermostat no longer opens",
		breakPlant: func(d *plant.Damage, _ float64) { d.ThermostatWelded = true }},
	{Name: "heater cut-out bridged", needs: cutOut, Meaning: "the last barrier against overheating is gone",
		breakPlant: func(d *plant.Damage, _ float64) { d.CutOutBridged = true }},
}

var firstTankFaultKinds = []FaultKind{
	{Name: "tempering valve stuck hot", needs: tempering, Meaning: "the tap gets water as hot as the tank",
		breakPlant: func(d *plant.Damage, _ float64) { d.TemperingStuckHot = true }},
	{Name: "tank relief valve blocked", needs: tankRelief, Meaning: "an overheated tank cannot let water out",
		breakPlant: func(d *plant.Damage, _ float64) { d.ReliefValveBlocked = true }},
}

var firstProbeFaultKinds = []FaultKind{
	{Name: "probe missing", Meaning: "open wire, or gone from the bus: no reading",
		breakProbe: func(p *probeFault, _ plannedFault) { p.missing = true }},
	{Name: "probe frozen", Meaning: "the reading no longer changes",
		Amount: "frozen reading in degC (usually the last one)", UsualAmount: math.NaN(), Least: -300, Most: 1000,
		breakProbe: func(p *probeFault, f plannedFault) { p.frozen, p.frozenAtC = true, f.amount }},
	{Name: "probe shorted", Meaning: "one special value instead of readings",
		Amount: "special value in degC", UsualAmount: 85, Least: -300, Most: 1000,
		breakProbe: func(p *probeFault, f plannedFault) { p.shorted, p.shortC = true, f.amount }},
	{Name: "probe pulled out", probeNeeds: pocketed, Meaning: "it reads the air beside its pocket",
		breakProbe: func(p *probeFault, _ plannedFault) { p.pulledOut = true }},
	{Name: "probe noisy", Meaning: "a burst of noise from a bad cable or a switching load",
		Amount: "standard deviation in K", UsualAmount: 5, Least: 0, Most: 100,
		breakProbe: func(p *probeFault, f plannedFault) { p.noiseK = math.Hypot(p.noiseK, f.amount) }},
	{Name: "probe off by", Meaning: "a constant error: wrong curve, cable or counterfeit",
		Amount: "error in K", UsualAmount: 5, Least: -200, Most: 200,
		breakProbe: func(p *probeFault, f plannedFault) { p.biasK += f.amount }},
	{Name: "probe drifts", Meaning: "an error that grows from the start of the fault on",
		Amount: "drift in K a day", UsualAmount: 0.1, Least: -50, Most: 50,
		breakProbe: func(p *probeFault, f plannedFault) { p.driftKPerDay, p.driftFrom = f.amount, f.Start }},
}

func faultKindNamed(name string) (*FaultKind, error) {
	for i := range faultKinds {
		if faultKinds[i].Name == name {
			return &faultKinds[i], nil
		}
	}
	names := make([]string, len(faultKinds))
	for i, k := range faultKinds {
		names[i] = k.Name
	}
	return nil, fmt.Errorf("sim: there is no fault %q; faults are %q", name, names)
}
