package station

import (
	"fmt"
	"strings"
	"time"

	"sunstoker/control"
	"sunstoker/station/request"
	"sunstoker/station/tick"
)

// serveDesk grants what was asked since the tick before, or refuses it. It
// stands before the step, so that what comes of a request shows in the same
// tick.
func (s *Station) serveDesk(wall control.Wall) []*ticket {
	tickets := s.desk.take()
	for _, t := range tickets {
		t.words, t.refused = s.grant(t, wall)
		if t.refused != nil {
			t.words = t.refused.Error()
		}
		t.words = sentence(t.words)
		s.log.Info("a person asked", "who", t.by, "answer", t.words, "refused", t.refused != nil)
	}
	return tickets
}

// grant does what a ticket asks for and says so, or gives why it can't be done.
func (s *Station) grant(t *ticket, wall control.Wall) (words string, err error) {
	switch r := t.request.(type) {
	case request.Boost:
		return s.grantBoost(r)
	case request.Holiday:
		if err := s.ctl.Holiday(r.Length); err != nil {
			return "", err
		}
		if r.Length == 0 {
			return "the holiday has ended", nil
		}
		return "a holiday of " + length(r.Length) + " begins: the backup heaters keep to their floor, and the hygiene heat-up waits for its end", nil
	case request.Override:
		return s.grantOverride(r)
	case request.Servicing:
		s.ctl.SetServicing(r.On)
		if r.On {
			return "the service state is on until a person ends it: every output is held off, frost protection too", nil
		}
		return "the service state has ended: what was found wrong counts as mended until it is found anew", nil
	case request.Settings, request.Undo:
		return s.grantBook(t, wall)
	}
	return "", fmt.Errorf("nobody here knows how to do this: %T", t.request)
}

func (s *Station) grantBoost(r request.Boost) (words string, err error) {
	if err := s.ctl.Boost(r.System, r.Length); err != nil {
		return "", err
	}
	system := &s.house.Plan.Systems[r.System]
	if r.Length == 0 {
		return "hot water now is no longer asked of " + system.Name, nil
	}
	return fmt.Sprintf("hot water now is asked of %s: its backup heater heats to %s, for %s at most",
		system.Name, control.Celsius.Format(system.Settings.HeaterStopC), length(r.Length)), nil
}

func (s *Station) grantOverride(r request.Override) (words string, err error) {
	if r.Output < 0 || r.Output >= len(s.house.Plan.Outputs) {
		return "", fmt.Errorf("there is no output %d to override; there are %d", r.Output, len(s.house.Plan.Outputs))
	}
	o := s.house.Plan.Outputs[r.Output]
	name := fmt.Sprintf("the %s of %s", o.Actuator.Words(), s.house.Plan.Systems[o.System].Name)
	level := control.Percent.Format(r.Level * 100)
	switch {
	case r.Level == 0 || r.Level == 1:
		level = onOff(r.Level > 0)
	case o.LeastLevel == 0 && r.Length != 0:
		return "", fmt.Errorf("%s can only be on or off, not at %s", name, level)
	}
	if err := s.ctl.Override(r.Output, r.Level, r.Length); err != nil {
		return "", err
	}
	if r.Length == 0 {
		return name + " is no longer set by hand", nil
	}
	return fmt.Sprintf("%s is set by hand to %s for %s; protections still come first", name, level, length(r.Length)), nil
}

// grantBook lets other settings count.
func (s *Station) grantBook(t *ticket, wall control.Wall) (words string, err error) {
	before := s.desk.book.Load()
	if t.next == before {
		return "it is so already: nothing has changed", nil
	}
	r, undo := t.request.(request.Undo)
	if !undo && wall.Trusted {
		t.next = t.next.stamped(wall.Time.UTC().Round(0))
	}
	if err := s.follow(t.next); err != nil {
		return "", err
	}
	if undo {
		return fmt.Sprintf("change %d of settings is taken back: %s", r.Number, differences(before.newest(), before, t.next)), nil
	}
	t.change = t.next.newest()
	words = differences(t.change, before, t.next)
	if advice := t.next.advice(before); len(advice) > 0 {
		words += ". Worth a thought: " + strings.Join(advice, ". ")
	}
	return words, nil
}

// differences says what a change of settings has made of them.
func differences(c *request.Change, before, after *book) string {
	system, _ := systemNamed(after.file, c.System)
	var parts []string
	for _, v := range c.Values {
		row, _ := control.SettingNamed(v.Setting)
		parts = append(parts, fmt.Sprintf("%s of %s is %s now, after %s", v.Setting, ownerName(c.System),
			row.Text(after.shown.Now.Of(system)), row.Text(before.shown.Now.Of(system))))
	}
	return strings.Join(parts, ", ")
}

// follow makes a book the one that counts: for the controller, for the outputs'
// minimum times, and for whoever reads the plan from this tick on.
func (s *Station) follow(b *book) error {
	if b.file != nil {
		if err := s.ctl.NewSettings(b.shown.Now.House, b.shown.Now.Systems); err != nil {
			return err
		}
		plan := *s.ctl.Plan()
		s.house = &tick.House{Name: s.house.Name, Plan: &plan, Version: s.house.Version}
		s.drive.repace(&plan)
	}
	s.desk.book.Store(b)
	return nil
}

// length is a time span as a site file writes it.
func length(d time.Duration) string { return control.Second.Format(d.Seconds()) }
