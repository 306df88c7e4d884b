package actuators

import (
	"errors"
	"strings"
	"testing"
	"time"
)

// stubborn is an output whose way off goes wrong in a chosen way.
type stubborn struct {
	Output
	off func() error
}

func (s stubborn) Safe() error  { return s.off() }
func (s stubborn) Close() error { return s.off() }

func TestAllTriesEveryOutput(t *testing.T) {
	for name, do := range map[string]func(All) error{"Safe": All.Safe, "Close": All.Close} {
		t.Run(name, func(t *testing.T) {
			first, last := NewSimulated(nil), NewSimulated(nil)
			must(t, first.Set(Command{Level: 1}))
			must(t, last.Set(Command{Level: 1}))
			err := do(All{
				first,
				stubborn{off: func() error { return errors.New("the bus is dead") }},
				stubborn{off: func() error { panic("driver fell over") }},
				nil,
				last,
			})
			says(t, err, "the bus is dead", "output 2", "driver fell over", "output 3", "missing")
			if strings.Index(err.Error(), "bus is dead") > strings.Index(err.Error(), "fell over") {
				t.Error("errors are not in the order of the set")
			}
			if first.Level() != 0 || last.Level() != 0 {
				t.Errorf("levels %v and %v, want off", first.Level(), last.Level())
			}
		})
	}
}

func TestAllDoesNotWaitForOneThatHangs(t *testing.T) {
	offAfterAll := make(chan struct{})
	hanging := stubborn{off: func() error {
		select {
		case <-offAfterAll:
			return nil
		case <-time.After(10 * time.Second): // only when All goes one by one
			return errors.New("the others are still on")
		}
	}}
	follower := NewSimulated(func(level float64) {
		if level == 0 {
			close(offAfterAll) // the hang ends only once the other one is off
		}
	})
	must(t, follower.Set(Command{Level: 1}))
	must(t, All{hanging, follower}.Safe())
	if follower.Level() != 0 {
		t.Error("the output behind the hanging one is still on")
	}
}

func TestAllOfNothing(t *testing.T) {
	must(t, All(nil).Safe())
	must(t, All{}.Close())
}

func TestAllOverRelaysOfOneBank(t *testing.T) {
	bank, set := fakeBank(t)
	var all All
	for _, name := range []string{"loop_pump", "backup_heater", "valve"} {
		r := relayOf(t, bank, name)
		must(t, r.Set(Command{Level: 1}))
		all = append(all, Pace(r, testMinOn, testMinOff, still))
	}
	must(t, all.Safe())
	if set.levels != 0 {
		t.Errorf("levels %b after Safe", set.levels)
	}
	must(t, all.Close())
	if set.releases != 1 {
		t.Errorf("%d releases, want 1", set.releases)
	}
}
