package campaign

import (
	"sunstoker/physics"
	"sunstoker/sim/plant"
)

// Hardware is a part that keeps people and plant safe without the program, and
// that can be taken away from a simulated plant to see whether it mattered.
type Hardware uint8

// The parts.
const (
	Thermostat Hardware = iota
	CutOut
	TankRelief
	TemperingValve
	LoopRelief
	AntifreezeInLoop
	ValveInLoop
	numHardware
)

var hardwareTable = [numHardware]struct {
	words string
	take  func(p *plant.Config)
}{
	Thermostat:       {"the heater's own thermostat", func(p *plant.Config) { p.ThermostatC = 0 }},
	CutOut:           {"the heater's cut-out", func(p *plant.Config) { p.CutOutC = 0 }},
	TankRelief:       {"the tank's relief valve", func(p *plant.Config) { p.ReliefC = 0 }},
	TemperingValve:   {"the tempering valve", func(p *plant.Config) { p.TemperingC = 0 }},
	LoopRelief:       {"the loop's relief valve and expansion vessel", func(p *plant.Config) { p.Sealing.NoRelief, p.Sealing.NoVessel = true, true }},
	AntifreezeInLoop: {"the antifreeze", func(p *plant.Config) { p.Fluid = physics.Water() }},
	ValveInLoop:      {"the check valve", func(p *plant.Config) { p.CheckValve = false }},
}

// String names the part.
func (h Hardware) String() string { return hardwareTable[h].words }

// take removes parts from a plant.
func take(p *plant.Config, parts []Hardware) {
	for _, h := range parts {
		hardwareTable[h].take(p)
	}
}
