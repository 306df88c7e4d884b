package sim

import (
	"fmt"
	"strings"

	"sunstoker/sim/plant"
)

// need is a part that a plant must have for a fault to mean anything.
type need struct {
	what string // as in "the system has no loop pump"
	has  func(c *plant.Config) bool
}

var (
	loopPump    = &need{"loop pump", func(c *plant.Config) bool { return c.PumpW > 0 }}
	checkValve  = &need{"check valve", func(c *plant.Config) bool { return c.CheckValve }}
	antifreeze  = &need{"antifreeze in its fluid", func(c *plant.Config) bool { return c.Fluid.GlycolMassFraction() > 0 }}
	sealedLoop  = &need{"sealed loop", (*plant.Config).Sealed}
	vessel      = &need{"expansion vessel", func(c *plant.Config) bool { return c.Sealed() && !c.Sealing.NoVessel }}
	loopRelief  = &need{"relief valve in a sealed loop", func(c *plant.Config) bool { return c.Sealed() && !c.Sealing.NoRelief }}
	anyHeater   = &need{"backup heater", heated}
	thermostat  = &need{"heater with a thermostat", func(c *plant.Config) bool { return heated(c) && c.ThermostatC > 0 }}
	cutOut      = &need{"heater with a cut-out", func(c *plant.Config) bool { return heated(c) && c.CutOutC > 0 }}
	tempering   = &need{"tempering valve", func(c *plant.Config) bool { return c.TemperingC > 0 }}
	tankRelief  = &need{"relief valve at its tank", func(c *plant.Config) bool { return c.ReliefC > 0 }}
	circulation = &need{"hot-water line with circulation", func(c *plant.Config) bool { return c.Circulation.PumpFlowLMin > 0 }}
	heatDump    = &need{"heat dump", func(c *plant.Config) bool { return c.HeatDumpWK > 0 }}
	loopStore   = &need{"store of loop fluid with a drinking-water coil", func(c *plant.Config) bool { return c.Store.TapCoilUAWK > 0 }}
)

func heated(c *plant.Config) bool { return c.HeaterW > 0 }

// HappensTo tells whether a plant has the part that breaks.
func (k FaultKind) HappensTo(c *plant.Config) bool { return k.needs == nil || k.needs.has(c) }

// checkNeeds refuses a fault of a part that is not there, and says which systems
// have it.
func (h *House) checkNeeds(kind *FaultKind, system int) error {
	config := h.systems[system].plant.Config()
	if kind.HappensTo(&config) {
		return nil
	}
	var having []string
	for i := range h.systems {
		if config := h.systems[i].plant.Config(); kind.HappensTo(&config) {
			having = append(having, fmt.Sprintf("%q", h.systems[i].name))
		}
	}
	missing := fmt.Sprintf("system %q has no %s, so nothing would break", h.systems[system].name, kind.needs.what)
	if len(having) == 0 {
		return fmt.Errorf("%s; no system of the house has one: leave the fault out, or describe the part in the house", missing)
	}
	return fmt.Errorf("%s; it can happen to system %s", missing, strings.Join(having, ", "))
}

// What a fault of a probe asks of its place.
type placeNeed struct {
	what string
	fits func(p *place, unit string) bool
}

var (
	flowMeter   = &placeNeed{"a flow meter", func(_ *place, unit string) bool { return unit == "l/min" }}
	thermometer = &placeNeed{"a probe of temperature", func(_ *place, unit string) bool { return unit == "degC" }}
	outdoors    = &placeNeed{"a probe of the outdoor air", func(p *place, _ string) bool { return p.name == "outdoor_air" }}
	pocketed    = &placeNeed{"a probe that can slip out of its place", func(p *place, _ string) bool { return p.name != p.elsewhere }}
)

// checkPlace refuses a fault that a probe at its place cannot have, and says
// which probes can.
func (h *House) checkPlace(kind *FaultKind, f Fault) error {
	at, err := h.Probe(f.Probe)
	if err != nil {
		return err
	}
	if kind.swaps {
		other, err := h.Probe(f.Other)
		if err != nil {
			return err
		}
		if unitOf(at) != unitOf(other) {
			return fmt.Errorf("the probes %q and %q measure different things and cannot be swapped; take two of one unit", f.Probe, f.Other)
		}
	}
	if kind.suits(at) {
		return nil
	}
	var fitting []string
	for _, p := range h.probes {
		if kind.suits(p) {
			fitting = append(fitting, fmt.Sprintf("%q", p.config.Name))
		}
	}
	missing := fmt.Sprintf("it happens to %s, and %q is none", kind.probeNeeds.what, f.Probe)
	if len(fitting) == 0 {
		return fmt.Errorf("%s; the house has no such probe: leave the fault out, or give the house one", missing)
	}
	return fmt.Errorf("%s; it can happen to %s", missing, strings.Join(fitting, ", "))
}

// suits tells whether a probe can break in that way.
func (k *FaultKind) suits(p *Probe) bool {
	at, err := placeNamed(p.config.Place)
	return k.probeNeeds == nil || err == nil && k.probeNeeds.fits(at, unitOf(p))
}

// unitOf is what a probe measures in; its place was checked when it was added.
func unitOf(p *Probe) string {
	unit, _ := PlaceUnit(p.config.Place)
	return unit
}
