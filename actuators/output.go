package actuators

import (
	"errors"
	"fmt"
)

// RelayOnFrom is the level from which a two-state output is on.
const RelayOnFrom = 0.5

// ErrClosed is wrapped by the error of a command to a closed output.
var ErrClosed = errors.New("the output is closed and off: open it again before driving it")

// Command is what the controller wants of one output.
type Command struct {
	Level  float64 // 0 = off … 1 = full; a relay is on from RelayOnFrom
	Urgent bool    // a protection: minimum times do not hold it back
}

// check refuses what is not a level; NaN fails both comparisons.
func (c Command) check() error {
	if c.Level >= 0 && c.Level <= 1 {
		return nil
	}
	return fmt.Errorf("level %v is not between 0 (off) and 1 (full): output driven off; correct the rule that asked for it", c.Level)
}

// Output is one driven thing of the plant. See the package comment for the
// promises every kind keeps.
type Output interface {
	// Set drives the commanded level and writes it even when nothing changed.
	// Its error names the output and what to do.
	Set(Command) error
	// Level is the level last driven, 0 to 1: what the kind made of the command
	// (a relay says 0 or 1). It is never read from the line.
	Level() float64
	// Safe drives the safe state (off) at once, whatever the minimum times. On a
	// closed output it is nil when the output was off as it was closed.
	Safe() error
	// Close drives the safe state, then releases; a second Close does nothing.
	// What is held is released even when driving failed.
	Close() error
}

// stepped is an output that cannot drive every level. Wrappers ask it what
// becomes of a level before they let the command through.
type stepped interface {
	// driven is the level, 0 to 1, that a command of this level ends up as.
	driven(level float64) float64
}

// drivenBy is what out makes of a level; outputs that do not say take it as is.
func drivenBy(out Output, level float64) float64 {
	if s, ok := out.(stepped); ok {
		return s.driven(level)
	}
	return level
}

// relayStep is the level a two-state output makes of a wanted one.
func relayStep(level float64) float64 {
	if level >= RelayOnFrom {
		return 1
	}
	return 0
}
