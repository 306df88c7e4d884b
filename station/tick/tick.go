// Package tick holds what the running daemon hands to its watchers once a
// second: history, metrics, dashboard, messages. A tick never changes once it
// was handed over, so that every watcher may keep it and read it at leisure.
package tick

import (
	"time"

	"sunstoker/control"
)

// Watcher sees every tick and decides nothing. Watch must return at once: a
// watcher that has slow work to do keeps the newest tick and does the work on
// a goroutine of its own.
type Watcher interface {
	Watch(t *Tick)
}

// House is what stays the same from tick to tick.
type House struct {
	Name    string        // the site's name
	Plan    *control.Plan // systems, probes and outputs, in the order of the slices below
	Version string        // of the program
}

// Tick is one turn of the daemon.
type Tick struct {
	House   *House
	Number  uint64        // 1 for the first since the start
	At      time.Duration // monotonic, since the start of the program
	Wall    control.Wall  // the wall clock as far as it is trusted
	Late    time.Duration // how long after its due time the tick began
	Took    time.Duration // from its begin until every output was driven
	Service time.Duration // time the controller has worked, all runs together

	Readings []Reading         // one per Plan.Probes
	Outputs  []Output          // one per Plan.Outputs
	Systems  []System          // one per Plan.Systems
	Findings []control.Finding // what is wrong now, most urgent first

	HolidayLeft time.Duration // 0 when there is none
	Servicing   bool          // the service state is on
	Asked       []Asked       // what persons asked for, taken by this tick

	ForecastTrouble string // why the site's file of foretold light can't be used, in words; empty when it can, or none is named
}

// Asked is what a person has asked for and was answered.
type Asked struct {
	By      string // who asked
	Words   string // the answer, one sentence or more
	Refused bool
}

// Reading is a judged reading with what the installer wants to see beside it.
type Reading struct {
	control.Judged
	Kind string // of the probe: "one-wire", "simulated" …
	Raw  string // raw bytes as they came from the bus, may be empty
}

// System is what is counted and reckoned for one system.
type System struct {
	Energy            control.Energy   // since the site was first started
	CountsHeat        bool             // its heat is counted, not its electricity alone
	CountsCirculation bool             // what its hot-water circulation loses is told apart from what is drawn
	Outlook           *control.Outlook // of the rule that waits for the sun; nil when there is none
	HotLitres         float64          // still to be had at the tap temperature; -1 when that is not known
	BoostLeft         time.Duration    // 0 when nobody asks for hot water now
	HygieneSince      time.Duration    // service time since the last hygiene heat-up that was held to its end
}

// Output is a decision and what became of it.
type Output struct {
	control.Decision
	Driven     float64               // level that the output has now, 0 to 1
	Fault      string                // why it could not be driven, empty when it could
	Switchings uint64                // since the site was first started
	Refused    uint64                // switchings that its minimum times held back after the decision, since the program was started
	On         time.Duration         // run time since the site was first started
	Override   control.OverrideState // Left is 0 when nobody set it by hand
}
