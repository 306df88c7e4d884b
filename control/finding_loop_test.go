package control

import (
	"testing"
	"time"
)

// TestSunBesideTheHeater: while the heater heats the top, the bottom alone tells
// of the loop; it gains, however hot the top gets.
func TestSunBesideTheHeater(t *testing.T) {
	d := newDesk(t)
	if err := d.c.Override(outHeater, 1, 10*time.Hour); err != nil {
		t.Fatal(err)
	}
	for gained := range 60 {
		d.set(20, 60+float64(gained)/4, 40+float64(gained)/4, 30+float64(gained)/4)
		d.run(3 * time.Minute)
		d.expectFinding(FoundPumpMovesNoHeat, false)
	}
}

// TestHeaterHidesNoDeadLoop: a top that the heater warms is no gain of the loop,
// neither while it heats nor when the mean counts again after that.
func TestHeaterHidesNoDeadLoop(t *testing.T) {
	d := newDesk(t)
	d.set(20, 85, 40, 30)
	d.settled()
	if err := d.c.Override(outHeater, 1, 30*time.Minute); err != nil {
		t.Fatal(err)
	}
	for heated := range 30 {
		d.set(20, 95, 40+float64(heated)/2, 30)
		d.run(time.Minute)
	}
	d.expectFinding(FoundPumpMovesNoHeat, true)
	if err := d.c.Override(outPump, 1, 10*time.Hour); err != nil {
		t.Fatal(err)
	}
	d.run(2 * time.Hour)
	d.expectFinding(FoundPumpMovesNoHeat, true)
}
