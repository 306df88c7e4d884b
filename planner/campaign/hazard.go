package campaign

import (
	"fmt"
	"time"

	"sunstoker/physics"
)

// Hazard is something bad that happens in a plant, as nature has it.
type Hazard uint8

// The hazards.
const (
	TapScalds Hazard = iota
	TankTooHot
	TankBoils
	LoopBurst
	LoopPressure
	PumpOnSteam
	HeaterDry
	FalseHygiene
	TapsCold
	HeatToTheRoof
	HeatFromTheMeter
	RelayChatters
	numHazards
)

const (
	// scaldC is where water at the tap counts as scalding: a child's skin burns
	// through in half a minute (physics.ScaldSecondsChild; summary of a paediatric
	// study on a public medical page, read).
	scaldC = physics.ScaldChildC
	// overLimitK is how far above its limit a tank counts as too hot. Sun and
	// heater are off at the limit, and the program reports from 8 K above it.
	// Common practice, no source.
	overLimitK = 10
	// bearsBar is the pressure that the parts of a loop are usually made for, in
	// bar above the air around. Common practice, no source.
	bearsBar = 10
	// sunDownWM2 is the light on the collector below which it is night.
	sunDownWM2 = 20
	// chatterStarts is how many starts of one output in an hour wear its relay.
	// The program's own minimum times allow 15. Common practice, no source.
	chatterStarts = 12
	// leastHeatKWh is how much heat out of the tank counts, over all the days of a
	// run: half a kilowatt hour a day is a minute under the shower, and less than
	// the visit of anybody who would mend it. Common practice, no source.
	leastHeatKWh = 2
	// moreThanTwin is how much more of a hazard than its twin a run must have,
	// where even the twin has some: a tank of natural circulation is overheated by
	// the sun, and guests run any tank cold. Chance moves that by some tenths.
	moreThanTwin = 1.3
)

// hazardTable says how each hazard is counted and how much of it, beyond what
// the healthy twin had, counts.
var hazardTable = [numHazards]struct {
	words  string
	unit   string
	least  float64
	severe bool     // it hurts people or destroys the plant
	alarms []string // findings that tell of the hazard itself, whatever its cause
}{
	TapScalds:        {fmt.Sprintf("water of %d °C or more at the tap", int(scaldC)), "min", 1, true, nil},
	TankTooHot:       {fmt.Sprintf("tank more than %d K above its limit", overLimitK), "min", 10, true, []string{"tank_too_hot"}},
	TankBoils:        {"tank boils", "min", 1, true, []string{"tank_too_hot"}},
	LoopBurst:        {"loop frozen solid", "min", 1, true, []string{"frost_not_helped", "frost_blind", "near_freezing"}},
	LoopPressure:     {fmt.Sprintf("more than %d bar in the loop", bearsBar), "min", 1, true, nil},
	PumpOnSteam:      {"pump started on steam", "times", 1, true, nil},
	HeaterDry:        {"current in an element without water", "min", 0.1, true, nil},
	FalseHygiene:     {"hygiene heat-up claimed that was none", "times", 1, true, []string{"hygiene_overdue"}},
	TapsCold:         {"hot water that did not come", "kWh", leastHeatKWh, false, nil},
	HeatToTheRoof:    {"heat from the tank to the roof at night", "kWh", leastHeatKWh, false, nil},
	HeatFromTheMeter: {"more heat from the meter", "kWh", 4, false, nil},
	RelayChatters:    {"starts of one output in an hour", "times", 0, false, nil},
}

// String names the hazard.
func (h Hazard) String() string { return hazardTable[h].words }

// Severe tells whether it hurts people or destroys the plant.
func (h Hazard) Severe() bool { return hazardTable[h].severe }

// Harm is how much of each hazard a run had since the fault began, and when the
// hazard first showed.
type Harm struct {
	Amount [numHazards]float64 // in the hazard's own unit
	First  [numHazards]time.Duration
}

// beyond tells whether a run had more of a hazard than its healthy twin, by so
// much that it counts.
func (m *Harm) beyond(twin *Harm, h Hazard) bool {
	if h == RelayChatters {
		return m.Amount[h] >= chatterStarts && m.Amount[h] > twin.Amount[h]+2
	}
	return m.Amount[h] >= moreThanTwin*twin.Amount[h]+hazardTable[h].least
}
