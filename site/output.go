package site

import "sunstoker/control"

// The kinds of output, as a site file writes them.
const (
	Relay           = "relay"      // a line of the kernel's GPIO device
	LevelFile       = "level file" // a number written into a file
	SpeedSignal     = "pwm"        // a pump's speed by the kernel's PWM class
	SimulatedOutput = "simulated"  // drives a simulated plant; Modbus is a kind too
)

// OnBoard tells of a kind of output that the kernel of the board drives, which a
// guard can hold in the daemon's place.
func OnBoard(kind string) bool { return kind == Relay || kind == LevelFile || kind == SpeedSignal }

// OutputWiring says what an output drives.
type OutputWiring struct {
	control.Output
	Kind            string
	Chip            string  // of a relay
	Line            string  // of a relay: the line's label, or its number on the chip
	PulseHertz      float64 // of a relay: pulses that hold it; 0 where a level does
	WithoutGuard    bool    // of a relay: it may switch a heater though neither guard nor pulses would drop it
	File            string  // of a level file
	Full            int     // of a level file: the number that means full; 0 when the kernel knows it
	DropsWhenSilent bool    // of a level file or coil: it drops by itself when the program falls silent
	Coil            CoilWiring
	PWM             PWMWiring // its least speed is LeastLevel
	FileLine        int       // where it stands in the site file
}

// CoilWiring is which coil of a Modbus module an output is behind.
type CoilWiring struct {
	Connection Connection
	Unit       uint8
	Number     uint16
}

// PWMWiring is the speed signal of a pump. Shares are on-times at the pump's own
// input, from 0 to 1.
type PWMWiring struct {
	Folder  string // of the kernel's chip
	Channel int
	Hertz   float64
	Stop    float64 // the pump stands still
	Slowest float64 // it turns at its least speed
	Full    float64 // it turns at full
	// Inverted says that the wiring between board and pump turns the signal around.
	Inverted bool
}
