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

// checkLength refuses what would not end in time. Errors of requests are sentences
// for the person who asked.
func checkLength(what string, length, longest time.Duration) error {
	switch {
	case length < 0:
		return fmt.Errorf("%s can't end before it has begun", what)
	case length > longest:
		return fmt.Errorf("%s must end within %s, not after %s", what, Second.Format(longest.Seconds()), Second.Format(length.Seconds()))
	}
	return nil
}

// Boost asks for hot water now: the system's backup heater heats to
// heater_stop, whatever the windows, for the length at most. A length of 0 ends
// a boost.
func (c *Controller) Boost(system int, length time.Duration) error {
	switch {
	case system < 0 || system >= len(c.systems):
		return fmt.Errorf("there is no system %d; there are %d", system, len(c.systems))
	case c.systems[system].heater == none:
		return fmt.Errorf("the system %q has no backup heater that could heat now", c.systems[system].plan.Name)
	}
	if err := checkLength("a boost", length, LongestBoost); err != nil {
		return err
	}
	c.systems[system].mem.BoostLeft = length
	return nil
}

// Holiday tells that nobody will draw water for the length: the backup heaters
// keep to their floor, and tanks are cooled by night where that is set. A
// length of 0 ends the holiday.
func (c *Controller) Holiday(length time.Duration) error {
	if err := checkLength("a holiday", length, LongestHoliday); err != nil {
		return err
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

// onHoliday tells whether the house is left alone.
func (c *Controller) onHoliday() bool { return c.st.HolidayLeft > 0 }

// HolidayLeft tells how long the holiday still lasts; 0 when there is none.
func (c *Controller) HolidayLeft() time.Duration { return c.st.HolidayLeft }

// BoostLeft tells how long a system's boost still lasts; 0 when there is none.
func (c *Controller) BoostLeft(system int) time.Duration { return c.st.Systems[system].BoostLeft }
