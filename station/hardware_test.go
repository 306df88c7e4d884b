package station

import (
	"context"
	"os"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/sensors"
	"sunstoker/site"
)

// TestRealPulses counts the pulses of a simulated chip of a real kernel
// (gpio-sim), whose file "pull" stands for the contact:
//
//	SUNSTOKER_TEST_CHIP=gpiochip0 SUNSTOKER_TEST_INPUT=FLOW1 \
//	SUNSTOKER_TEST_PULL=/sys/devices/platform/gpio-sim.0/gpiochip0/sim_gpio1/pull \
//	go test -run TestRealPulses -v ./station
//
// It takes real time, since a kernel keeps no other.
func TestRealPulses(t *testing.T) {
	chip, label, pull := os.Getenv("SUNSTOKER_TEST_CHIP"), os.Getenv("SUNSTOKER_TEST_INPUT"), os.Getenv("SUNSTOKER_TEST_PULL")
	if chip == "" || label == "" || pull == "" {
		t.Skip("no simulated line named in SUNSTOKER_TEST_CHIP, SUNSTOKER_TEST_INPUT and SUNSTOKER_TEST_PULL")
	}
	contact := func(closed bool, stay time.Duration) {
		t.Helper()
		text := "pull-up"
		if closed {
			text = "pull-down"
		}
		if err := os.WriteFile(pull, []byte(text), 0); err != nil {
			t.Fatal(err)
		}
		time.Sleep(stay)
	}
	contact(false, 0)
	clock := NewSystemClock(false, time.Time{}, buildOptions().Log).Join("test", BusTurn)
	meter, err := contactDriver(site.FlowMeter, &site.ContactWiring{Chip: chip, Line: label, SettleS: 0.005, LitresPerPulse: 1}, board())
	if err != nil {
		t.Fatal(err)
	}
	ask := func() sensors.Answer {
		t.Helper()
		answer, err := meter.Ask(context.Background(), clock)
		if err != nil {
			t.Fatal(err)
		}
		return answer
	}
	if first := ask(); first.Raw != "0 pulses" {
		t.Fatalf("at the start: %+v", first)
	}
	contact(true, 30*time.Millisecond) // a pulse of an S0 meter
	contact(false, 70*time.Millisecond)
	contact(true, time.Millisecond) // a spike
	contact(false, 70*time.Millisecond)
	ask()
	for range 10 {
		contact(true, 50*time.Millisecond)
		contact(false, 50*time.Millisecond)
	}
	last := ask()
	if last.Raw != "11 pulses" {
		t.Errorf("%s for 11, and a spike", last.Raw)
	}
	if perMin := control.LitrePerMin.Format(last.Value); last.Value < 400 || last.Value > 660 {
		t.Errorf("%s for pulses of 1 l, 0.1 s apart", perMin)
	}
}
