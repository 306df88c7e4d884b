package campaign

import (
	"slices"
	"time"
)

// Danger is what may come of a failure.
type Danger string

// The dangers.
const (
	Scalding   Danger = "scalding"
	Bursting   Danger = "bursting by steam or pressure"
	Freezing   Danger = "freezing"
	DryElement Danger = "an element without water"
	Shock      Danger = "electric shock or fire"
	Legionella Danger = "Legionella"
	ColdTaps   Danger = "no hot water"
	Waste      Danger = "wasted heat"
	Blindness  Danger = "a protection lost without a word"
)

// Severity says how bad a failure is at its worst.
type Severity uint8

// The severities.
const (
	EnergyLost Severity = iota + 1
	ComfortLost
	PlantDestroyed
	PeopleHurt
)

var severityWords = [...]string{EnergyLost: "energy lost", ComfortLost: "comfort lost", PlantDestroyed: "plant destroyed", PeopleHurt: "people hurt"}

// String is the severity in words.
func (s Severity) String() string { return severityWords[s] }

// Sight says how far software can see a failure by the usual readings.
type Sight uint8

// The kinds of sight.
const (
	Unseen    Sight = iota // not from the usual readings
	Compared               // by comparing readings over hours
	AtOneLook              // by one reading
)

var sightWords = [...]string{"can't be seen", "seen by comparing readings over hours", "seen by one reading"}

// String is the sight in words.
func (s Sight) String() string { return sightWords[s] }

// Failure is one part of a plant or of its board that fails in one way.
type Failure struct {
	Part     string
	Fails    string
	Dangers  []Danger
	Severity Severity
	Sight    Sight

	// Slow says that its sign is a comparison of weeks. It is tried in the long run
	// as well, and what is told of there is told of.
	Slow bool
	// ByTime marks a slow one that comes with years or weather: no fitter leaves it behind,
	// so that there is always a time before it.
	ByTime bool

	// Switches are the ways in which the simulator breaks it; each is tried by
	// itself. None: it has no physics there, and Elsewhere says why.
	Switches []Switch
	// Elsewhere says how the failure is covered when no Switch stands for it.
	Elsewhere string
	// Tests are tests of other rooms that hold it, as "folder.TestName".
	Tests []string

	// Tells are the keys of findings, or of reasons of a decision, that should
	// tell of it.
	Tells []string
	// Fit is what must be fitted or done, since no program can cover it; empty
	// for nothing.
	Fit string
	// Covers are simulated parts of Fit.
	Covers []Hardware
}

// Switch is one fault of package sim, or several at once.
type Switch struct {
	Kind   string   // name of a sim.FaultKind
	Place  string   // of a probe: as "tank_top"
	Other  string   // of the second probe of a swapped pair
	Amount *float64 // nil for the kind's usual one
	Needs  Need     // what a plant must have for it to mean anything
	// With are faults that are there as well, as when two barriers are gone.
	With []Switch
	// Lasts is how long it is there; 0 for the usual two days.
	Lasts time.Duration
	// Step is the step of the run where the fault is quicker than the usual
	// one; 0 for that.
	Step time.Duration
	// Hangs says that the program does not run meanwhile.
	Hangs bool
	// Person is what a person does to the controller, instead of a fault; Kind is
	// then empty.
	Person Doing
}

// Need is what a plant must have for a fault to mean anything.
type Need uint8

// The needs.
const (
	Anything Need = iota
	Pump
	CheckValve
	Circulation
	HeatDump
	Store      // of loop fluid
	DrinkTank  // of drinking water
	SealedLoop // a loop under pressure
	Antifreeze
)

func amount(x float64) *float64 { return &x }

// failures are all of them, by part.
var failures = slices.Concat(collectorProbeFailures, tankProbeFailures, anyProbeFailures, meterFailures,
	pumpFailures, valveFailures, heaterFailures, hotWaterFailures, fluidFailures, loopFailures, tankFailures,
	powerFailures, boardFailures, clockFailures, personFailures)
