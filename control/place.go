package control

import "strings"

// Place says where on the plant a reading is taken.
type Place uint8

// The places a probe can have. OutdoorAir belongs to the house, the others to
// one system each. Everything behind TankBottom is for plants that have more
// than the usual probes; no rule needs it, and many see more with it.
const (
	Collector         Place = iota // absorber or its outlet, °C
	TankTop                        // water at the draw-off, above the heater, °C
	TankBottom                     // water beside the solar coil, °C
	OutdoorAir                     // shaded outdoor air, °C
	CoilReturn                     // fluid on its way from the coil back to the collector, °C
	CirculationReturn              // hot-water circulation just before it is back in the tank, °C
	Tap                            // water on its way to the taps, behind the tempering valve, °C
	LoopFlow                       // fluid through the loop, l/min
	DrawFlow                       // cold water on its way into the tank, l/min
	LoopPressure                   // of the loop above the air around it, bar
	PumpCurrent                    // of the loop pump's supply, A
	HeaterCurrent                  // of the backup heater's supply, A
	CirculationButton              // a person at a tap wants hot water: 1 while pressed, else 0
	numPlaces
)

var placeWords = [numPlaces]string{
	"collector", "tank top", "tank bottom", "outdoor air", "coil return", "circulation return", "tap",
	"loop flow", "draw flow", "loop pressure", "pump current", "heater current", "circulation button",
}

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

// Unit is the unit of the place's readings.
func (p Place) Unit() Unit {
	switch p {
	case LoopFlow, DrawFlow:
		return LitrePerMin
	case LoopPressure:
		return Bar
	case PumpCurrent, HeaterCurrent:
		return Ampere
	case CirculationButton:
		return Plain
	}
	return Celsius
}

// Places lists every place in a fixed order.
func Places() []Place {
	places := make([]Place, numPlaces)
	for i := range places {
		places[i] = Place(i)
	}
	return places
}

// placeLimits holds what a reading can physically be at a place, and how fast
// it can move. Figures: common practice, no source. The collector's upper end
// leaves room for a stagnating flat plate (up to about 200 °C); its speed for
// cold fluid meeting a hot absorber at pump start. Flow, pressure, current and
// a button may jump: no speed is impossible for them.
type placeLimit struct {
	low, high float64 // in the place's unit; outside of it the reading is suspect
	step      float64 // jump that is always allowed
	ratePerS  float64 // per second, allowed on top
	says      Words   // when it is out of range
}

var placeLimits = [numPlaces]placeLimit{
	Collector:         {low: -50, high: 230, step: 8, ratePerS: 2, says: SaysOutOfRange},
	TankTop:           {low: -2, high: 130, step: 4, ratePerS: 0.5, says: SaysOutOfRange},
	TankBottom:        {low: -2, high: 130, step: 4, ratePerS: 0.5, says: SaysOutOfRange},
	OutdoorAir:        {low: -60, high: 60, step: 4, ratePerS: 0.2, says: SaysOutOfRange},
	CoilReturn:        {low: -50, high: 160, step: 8, ratePerS: 2, says: SaysOutOfRange},
	CirculationReturn: {low: -2, high: 110, step: 8, ratePerS: 2, says: SaysOutOfRange},
	Tap:               {low: -2, high: 110, step: 15, ratePerS: 10, says: SaysOutOfRange},
	LoopFlow:          {low: 0, high: 100, step: 100, says: SaysBeyondRange},
	DrawFlow:          {low: 0, high: 200, step: 200, says: SaysBeyondRange},
	LoopPressure:      {low: -1, high: 20, step: 21, says: SaysBeyondRange},
	PumpCurrent:       {low: 0, high: 20, step: 20, says: SaysBeyondRange},
	HeaterCurrent:     {low: 0, high: 100, step: 100, says: SaysBeyondRange},
	CirculationButton: {low: 0, high: 1, step: 1, says: SaysBeyondRange},
}

// Actuator says what an output drives.
type Actuator uint8

// The actuators a system can have.
const (
	LoopPump            Actuator = iota // circulates the loop between collector and coil
	BackupHeater                        // electric immersion heater
	HotWaterCirculation                 // pump that keeps the pipe to the taps hot
	HeatDump                            // leads the loop's heat away from the tank, to a radiator outdoors
	numActuators
)

var actuatorWords = [numActuators]string{"loop pump", "backup heater", "hot-water circulation", "heat dump"}

// Words is the actuator as a person says it: "loop pump".
func (a Actuator) Words() string {
	if a >= numActuators {
		return "unknown actuator"
	}
	return actuatorWords[a]
}

// String is the actuator as a site file and a metric label write it: "loop_pump".
func (a Actuator) String() string {
	return strings.NewReplacer(" ", "_", "-", "_").Replace(a.Words())
}

// Heats tells whether the actuator can heat or scald when it is stuck on.
func (a Actuator) Heats() bool { return a == BackupHeater }

// Actuators lists every actuator in a fixed order.
func Actuators() []Actuator {
	return []Actuator{LoopPump, BackupHeater, HotWaterCirculation, HeatDump}
}
