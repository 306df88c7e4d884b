package control

import "strings"

// Place says where on the plant a reading is taken.
type Place uint8

// The places a probe can have. OutdoorAir belongs to the house, the others to
// one system each.
const (
	Collector  Place = iota // absorber or its outlet, °C
	TankTop                 // water at the draw-off, above the heater, °C
	TankBottom              // water beside the solar coil, °C
	OutdoorAir              // shaded outdoor air, °C
	numPlaces
)

var placeWords = [numPlaces]string{"collector", "tank top", "tank bottom", "outdoor air"}

// Words is the place as a person says it: "tank top".
func (p Place) Words() string {
	if p >= numPlaces {
		return "unknown place"
	}
	return placeWords[p]
}

// String is the place as a site file and a metric label write it: "tank_top".
func (p Place) String() string { return strings.ReplaceAll(p.Words(), " ", "_") }

// OfHouse tells whether the place belongs to the whole house, not to a system.
func (p Place) OfHouse() bool { return p == OutdoorAir }

// Places lists every place in a fixed order.
func Places() []Place { return []Place{Collector, TankTop, TankBottom, OutdoorAir} }

// placeLimits holds what a reading can physically be at a place, and how fast
// it can move. Figures: common practice, no source. The collector's upper end
// leaves room for a stagnating flat plate (up to about 200 °C); its speed for
// cold fluid meeting a hot absorber at pump start.
type placeLimit struct {
	lowC, highC float64 // °C, outside of it the reading is suspect
	stepK       float64 // K, jump that is always allowed
	rateKPerS   float64 // K per second allowed on top
}

var placeLimits = [numPlaces]placeLimit{
	Collector:  {lowC: -50, highC: 230, stepK: 8, rateKPerS: 2},
	TankTop:    {lowC: -2, highC: 130, stepK: 4, rateKPerS: 0.5},
	TankBottom: {lowC: -2, highC: 130, stepK: 4, rateKPerS: 0.5},
	OutdoorAir: {lowC: -60, highC: 60, stepK: 4, rateKPerS: 0.2},
}

// Actuator says what an output drives.
type Actuator uint8

// The actuators a system can have.
const (
	LoopPump     Actuator = iota // circulates the loop between collector and coil
	BackupHeater                 // electric immersion heater
	numActuators
)

var actuatorWords = [numActuators]string{"loop pump", "backup heater"}

// Words is the actuator as a person says it: "loop pump".
func (a Actuator) Words() string {
	if a >= numActuators {
		return "unknown actuator"
	}
	return actuatorWords[a]
}

// String is the actuator as a site file and a metric label write it: "loop_pump".
func (a Actuator) String() string { return strings.ReplaceAll(a.Words(), " ", "_") }

// Heats tells whether the actuator can heat or scald when it is stuck on.
func (a Actuator) Heats() bool { return a == BackupHeater }

// Actuators lists every actuator in a fixed order.
func Actuators() []Actuator { return []Actuator{LoopPump, BackupHeater} }
