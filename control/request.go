package control

import (
	"fmt"
	"time"
)

// What a person may ask of the controller, beside overriding one output.
const (
	LongestBoost   = 4 * time.Hour
	LongestHoliday = 90 * 24 * time.Hour
)

// Boost asks for hot water now: the system's backup heater heats to
// heater_stop, whatever the windows, for the length at most. A length of 0 ends
// a boost.
func (c *Controller) Boost(system int, length time.Duration) error {
	switch {
	case system < 0 || system >= len(c.systems):
		return fmt.Errorf("control: there is no system %d; there are %d", system, len(c.systems))
	case c.systems[system].heater == none:
		return fmt.Errorf("control: the system %q has no backup heater that could heat now", c.systems[system].plan.Name)
	case length < 0 || length > LongestBoost:
		return fmt.Errorf("control: a boost must end within %v, not after %v", LongestBoost, length)
	}
	c.systems[system].mem.BoostLeft = length
	return nil
}

// Holiday tells that nobody will draw water for the length: the backup heaters
// keep to their floor, and tanks are cooled by night where that is set. A
// length of 0 ends the holiday.
func (c *Controller) Holiday(length time.Duration) error {
	if length < 0 || length > LongestHoliday {
		return fmt.Errorf("control: a holiday must end within %v, not after %v", LongestHoliday, length)
	}
	c.st.HolidayLeft, c.holidayAsked = length, true
	return nil
}

// SetServicing begins or ends the service state, in which every output is held
// off until a person ends it; an output is on only while it is overridden by
// hand, to try it. Frost protection is off too: the state is for a person who
// stands beside the plant. Its end is a person's word that what was found has been
// mended.
func (c *Controller) SetServicing(on bool) {
	if c.st.Servicing && !on {
		c.takeWord()
	}
	c.st.Servicing = on
}

// Servicing tells whether the service state is on.
func (c *Controller) Servicing() bool { return c.st.Servicing }

// HolidayLeft tells how long the holiday still lasts; 0 when there is none.
func (c *Controller) HolidayLeft() time.Duration { return c.st.HolidayLeft }
