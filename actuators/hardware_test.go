package actuators

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// TestRealLines runs on lines of a real kernel that nothing is wired to, such as
// those of its simulated chips (gpio-sim):
//
//	SUNSTOKER_TEST_CHIP=gpiochip0 SUNSTOKER_TEST_LINES=RELAY0,RELAY1 go test -run TestRealLines -v ./actuators
func TestRealLines(t *testing.T) {
	chipName, labels := os.Getenv("SUNSTOKER_TEST_CHIP"), os.Getenv("SUNSTOKER_TEST_LINES")
	if chipName == "" || labels == "" {
		t.Skip("no spare lines named in SUNSTOKER_TEST_CHIP and SUNSTOKER_TEST_LINES")
	}
	var wiring []RelayLine
	for _, label := range strings.Split(labels, ",") {
		wiring = append(wiring, RelayLine{Name: "relay_" + label, Line: label})
	}
	for round := range 2 { // the second round proves that the first gave the lines back
		bank, err := OpenRelayBank(chipName, wiring)
		must(t, err)
		_, err = OpenRelayBank(chipName, wiring)
		says(t, err, "another program", wiring[0].Name)
		for _, level := range []float64{0, 1, 1, 0} {
			for _, line := range wiring {
				r := relayOf(t, bank, line.Name)
				must(t, r.Set(Command{Level: level}))
				must(t, bank.ReadBack())
				if r.Level() != level {
					t.Errorf("round %d: %s is told at %v, want %v", round, r, r.Level(), level)
				}
			}
		}
		must(t, relayOf(t, bank, wiring[0].Name).Set(Command{Level: 1}))
		must(t, bank.Close())
	}
	_, err := OpenRelayBank(chipName, []RelayLine{{Name: "valve", Line: "NO SUCH LINE"}})
	says(t, err, wiring[0].Line)
}

// TestRealInputLine runs on a line of a real kernel that nothing is wired to and
// whose chip has pull-ups, so that the contact at it is open:
//
//	SUNSTOKER_TEST_CHIP=gpiochip0 SUNSTOKER_TEST_INPUT=BUTTON0 go test -run TestRealInputLine -v ./actuators
func TestRealInputLine(t *testing.T) {
	chipName, label := os.Getenv("SUNSTOKER_TEST_CHIP"), os.Getenv("SUNSTOKER_TEST_INPUT")
	if chipName == "" || label == "" {
		t.Skip("no spare line named in SUNSTOKER_TEST_CHIP and SUNSTOKER_TEST_INPUT")
	}
	for range 2 { // the second round proves that the first gave the line back
		in, err := OpenInputLine(chipName, label)
		must(t, err)
		_, err = OpenInputLine(chipName, label)
		says(t, err, "another program", label)
		closed, err := in.Closed()
		if must(t, err); closed {
			t.Error("a line with nothing on it is told as a closed contact")
		}
		changed, _, err := in.Wait(time.Millisecond)
		if must(t, err); changed {
			t.Error("a line with nothing on it changed")
		}
		must(t, in.Close())
	}
}

// TestRealLED runs on an LED of a real kernel that nothing is wired to, such as
// one of its user LEDs (uleds), with a full brightness of 2 or more and, if one
// is wished, a trigger set:
//
//	SUNSTOKER_TEST_LED=/sys/class/leds/NAME go test -run TestRealLED -v ./actuators
func TestRealLED(t *testing.T) {
	folder := os.Getenv("SUNSTOKER_TEST_LED")
	if folder == "" {
		t.Skip("no spare LED named in SUNSTOKER_TEST_LED")
	}
	path := filepath.Join(folder, "brightness")
	l, err := OpenLevelFile("loop_pump", path, 0)
	must(t, err)
	if trigger := text(t, filepath.Join(folder, "trigger")); !strings.Contains(trigger, "[none]") {
		t.Errorf("a trigger is left: %s", trigger)
	}
	for _, level := range []float64{1, 0.5, 1, 0, 1} {
		must(t, l.Set(Command{Level: level}))
		if got := readNumber(t, path); got != l.number(level) {
			t.Errorf("level %v: the kernel says %d, want %d", level, got, l.number(level))
		}
	}
	must(t, l.Close())
	if got := readNumber(t, path); got != 0 {
		t.Errorf("the kernel says %d after Close", got)
	}
	if most := readNumber(t, filepath.Join(folder, "max_brightness")); most != l.max {
		t.Errorf("full is %d, the kernel's is %d", l.max, most)
	}
}
