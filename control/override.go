package control

import (
	"fmt"
	"time"
)

// LongestOverride bounds an override: whatever a person sets by hand ends by
// itself.
const LongestOverride = 24 * time.Hour

// OverrideState is an output that a person has set by hand; Left is 0 when
// nobody has.
type OverrideState struct {
	System   string        `json:"system"`
	Actuator string        `json:"actuator"`
	Level    float64       `json:"level"`
	Left     time.Duration `json:"left_ns"`
}

// Override sets an output by hand, to level 0 to 1, for a while. Protections
// still outrank it. A length of 0 ends an override.
func (c *Controller) Override(output int, level float64, length time.Duration) error {
	if output < 0 || output >= len(c.st.Overrides) {
		return fmt.Errorf("there is no output %d to override; there are %d", output, len(c.st.Overrides))
	}
	if !(level >= 0 && level <= 1) {
		return fmt.Errorf("an override's level must be 0 to 1, not %g", level)
	}
	if err := checkLength("an override", length, LongestOverride); err != nil {
		return err
	}
	o := &c.st.Overrides[output]
	o.Level, o.Left = level, length
	return nil
}

// overrideRule lets a person's will stand until its end.
func (c *Controller) overrideRule(elapsed time.Duration) {
	for i := range c.st.Overrides {
		o := &c.st.Overrides[i]
		if o.Left > 0 {
			c.ballots[i].cast(o.Level, Person, because(SaysOverride, seconds(o.Left)))
			o.Left = max(0, o.Left-elapsed)
		}
	}
}
