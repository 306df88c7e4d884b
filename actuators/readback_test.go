package actuators

import (
	"errors"
	"testing"

	"periph.io/x/conn/v3/gpio"
)

func TestReadBackAgrees(t *testing.T) {
	bank, set := fakeBank(t)
	set.mayRead = true
	must(t, bank.ReadBack())
	must(t, relayOf(t, bank, "loop_pump").Set(Command{Level: 1}))
	must(t, bank.ReadBack())
	must(t, relayOf(t, bank, "loop_pump").Close())
	must(t, bank.ReadBack())
	if set.reads != 3 {
		t.Errorf("%d reads, want one for each read-back that agrees", set.reads)
	}
}

func TestReadBackForgivesOneSpike(t *testing.T) {
	bank, set := fakeBank(t)
	set.mayRead = true
	set.spike = 1
	must(t, bank.ReadBack())
	must(t, relayOf(t, bank, "loop_pump").Set(Command{Level: 1}))
}

// Another program puts the heater on and the pump off.
func TestReadBackGoesOffAndDoesNotFight(t *testing.T) {
	bank, set := fakeBank(t)
	set.mayRead = true
	pump, heater, valve := relayOf(t, bank, "loop_pump"), relayOf(t, bank, "backup_heater"), relayOf(t, bank, "valve")
	must(t, pump.Set(Command{Level: 1}))
	must(t, valve.Set(Command{Level: 1}))
	set.otherHand(2 | 4)

	err := bank.ReadBack()
	says(t, err, "loop_pump on line RELAY0 (offset 0) was driven on and reads off",
		"backup_heater on line RELAY1 (offset 1) was driven off and reads on, and it heats", "another program", "restart")
	var mismatch *MismatchError
	if !errors.As(err, &mismatch) || len(mismatch.Lines) != 2 || mismatch.Lines[1].Relay != "backup_heater" || mismatch.Lines[1].WantOn {
		t.Fatalf("mismatch told as %+v", mismatch)
	}
	if set.levels != 0 {
		t.Errorf("levels %b after the mismatch, want all off", set.levels)
	}
	for _, r := range []*Relay{pump, heater, valve} {
		if r.Level() != 0 {
			t.Errorf("%s is told as on", r)
		}
	}

	writes := set.writes
	for _, c := range []Command{{Level: 1}, {Level: 1, Urgent: true}, {Level: 0}} {
		if err := pump.Set(c); !errors.As(err, &mismatch) {
			t.Errorf("Set(%+v) in dispute: %v", c, err)
		}
	}
	if err := bank.ReadBack(); !errors.As(err, &mismatch) {
		t.Errorf("a later read-back: %v, want the mismatch again", err)
	}
	if set.writes != writes {
		t.Error("the bank fights over its lines")
	}

	set.otherHand(2)
	says(t, heater.Set(Command{Level: 0, Urgent: true}), "backup_heater")
	if set.levels != 0 {
		t.Error("an urgent off was not driven")
	}
	set.otherHand(2)
	must(t, bank.Safe())
	if set.levels != 0 {
		t.Error("Safe was not driven")
	}
	must(t, bank.Close())
}

func TestReadBackTellsWhatItCannotSwitchOff(t *testing.T) {
	bank, set := fakeBank(t)
	set.mayRead = true
	must(t, relayOf(t, bank, "backup_heater").Set(Command{Level: 1}))
	set.otherHand(1 | 2)
	set.failOut = func(gpio.GPIOValue, gpio.GPIOValue) error { return errDrive }
	says(t, bank.ReadBack(), "loop_pump", "backup_heater", "may still be on", "isolator")
}

func TestReadBackErrors(t *testing.T) {
	bank, set := fakeBank(t)
	set.mayRead = true
	set.failRead = errDrive
	says(t, bank.ReadBack(), "gpiochip0", "cannot be read back")
	set.failRead = nil
	must(t, relayOf(t, bank, "valve").Set(Command{Level: 1})) // a failed reading is no mismatch
	must(t, bank.Close())
	if err := bank.ReadBack(); !errors.Is(err, ErrClosed) {
		t.Errorf("after Close: %v", err)
	}
}
