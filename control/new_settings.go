package control

import (
	"errors"
	"fmt"
	"slices"
)

// NewSettings puts other settings in the place of those that count, between two
// steps: of the house, and of every system in the plan's order. What is
// remembered stays; minimum times that run are measured by the new ones. But a
// hygiene heat-up under way was held at the old temperature: it begins anew when the
// new one is higher. Each
// setting is held to its own limits here; whether they go together is for the
// caller to ask before ([Settings.Check], and the site file's checks). On an
// error nothing has changed. The plan that [Controller.Plan] gave before keeps
// the systems it had, so that whoever still reads them is not disturbed.
func (c *Controller) NewSettings(house Settings, systems []Settings) error {
	if len(systems) != len(c.plan.Systems) {
		return fmt.Errorf("control: settings of %d systems for a house of %d", len(systems), len(c.plan.Systems))
	}
	errs := []error{house.withinLimits("the house")}
	for i := range systems {
		errs = append(errs, systems[i].withinLimits(c.plan.Systems[i].Name))
	}
	if err := errors.Join(errs...); err != nil {
		return err
	}
	next := slices.Clone(c.plan.Systems)
	for i := range next {
		if next[i].Settings.HygieneC < systems[i].HygieneC {
			c.st.Systems[i].HygieneHold, c.st.Systems[i].HygieneStill = 0, 0
		}
		next[i].Settings = systems[i]
	}
	c.plan.Settings, c.plan.Systems = house, next
	c.bind()
	return nil
}

// withinLimits refuses what no site file could hold.
func (s *Settings) withinLimits(whose string) error {
	var errs []error
	for _, row := range settingsTable {
		tried := *s
		if err := row.Set(&tried, row.Text(s)); err != nil {
			errs = append(errs, fmt.Errorf("control: %s of %s: %w", row.Name, whose, err))
		}
	}
	return errors.Join(errs...)
}
