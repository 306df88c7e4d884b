package station

import (
	"strings"
	"testing"

	"sunstoker/control"
	"sunstoker/site"
)

func TestWatchdogIsReadBack(t *testing.T) {
	const folder = "sys/class/watchdog/watchdog"
	for name, c := range map[string]struct {
		files map[string]string
		want  string // empty: it is armed
	}{
		"armed":           {map[string]string{folder + "0/state": "active", folder + "0/timeout": "14", folder + "0/identity": "chip"}, ""},
		"none":            {nil, "shows no watchdog"},
		"asleep":          {map[string]string{folder + "0/state": "inactive", folder + "0/timeout": "15", folder + "0/identity": "chip"}, `(chip) is not armed`},
		"asks too much":   {map[string]string{folder + "0/state": "active", folder + "0/timeout": "60"}, "wait for 60 s"},
		"asks too little": {map[string]string{folder + "0/state": "active", folder + "0/timeout": "4"}, "wait for 4 s"},
		"can't be read":   {map[string]string{folder + "0/state": "active"}, "does not say how long"},
		"the second one":  {map[string]string{folder + "0/state": "inactive", folder + "1/state": "active", folder + "1/timeout": "10"}, ""},
	} {
		t.Run(name, func(t *testing.T) {
			h := &Health{root: kernelTree(t, c.files), folder: t.TempDir(), hangs: true}
			h.look()
			var b control.Board
			h.addTo(&b)
			if c.want == "" && b.Watchdog != "" || !strings.Contains(b.Watchdog, c.want) {
				t.Errorf("told is %q, want %q", b.Watchdog, c.want)
			}
		})
	}
}

// A heater that drops by itself needs no watchdog, and a house without one neither.
func TestWhoNeedsAWatchdog(t *testing.T) {
	s := testSite(t, t.TempDir(), relays+oneWireProbes)
	if !hangLeavesOn(s) {
		t.Error("a heater on a relay needs none")
	}
	for i := range s.Outputs {
		s.Outputs[i].DropsWhenSilent = true
	}
	if hangLeavesOn(s) {
		t.Error("a heater that drops by itself needs one")
	}
	for i := range s.Outputs {
		s.Outputs[i].DropsWhenSilent, s.Outputs[i].PulseHertz = false, 10
	}
	if hangLeavesOn(s) {
		t.Error("a heater that pulses hold needs one")
	}
	for i := range s.Outputs {
		s.Outputs[i].PulseHertz, s.Outputs[i].Kind = 0, site.SimulatedOutput
	}
	if hangLeavesOn(s) {
		t.Error("a simulated heater needs one")
	}
}
