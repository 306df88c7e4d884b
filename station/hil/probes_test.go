//go:build hil

package hil

import (
	"context"
	"log/slog"
	"strings"
	"testing"
	"time"

	"sunstoker/sensors"
	"sunstoker/station"
)

// TestOneConversionForAll: the kernel converts all probes at once, so that three
// take hardly longer than one, and gives each its own value.
func TestOneConversionForAll(t *testing.T) {
	scene("three probes on one bus")
	probes(t, "milli_celsius", 71000, 52500, 31250)
	defer probes(t, "milli_celsius", 20000, 20000, 20000)
	values := map[string]float64{"28-000000000001": 71, "28-000000000002": 52.5, "28-000000000003": 31.25}
	clock := station.NewSystemClock(true, time.Time{}, slog.New(slog.DiscardHandler)).Join("test", station.BusTurn)
	for _, c := range []struct {
		together bool
		note     string
		within   time.Duration // for the three
	}{{false, "each probe converts in its turn", 4 * time.Second}, {true, "one conversion for all probes", 2 * time.Second}} {
		o := sensors.OneWireOptions{OneConversionForAll: c.together}
		for identity := range values {
			o.Identities = append(o.Identities, identity)
		}
		bus, err := sensors.NewOneWire(clock, o)
		if err != nil {
			t.Fatal(err)
		}
		ctx, stop := context.WithTimeout(t.Context(), 20*time.Second)
		ended := make(chan error, 1)
		begun := clock.Now()
		go func() { ended <- bus.Run(ctx) }()
		for identity, want := range values {
			probe, err := bus.Probe(identity)
			if err != nil {
				t.Fatal(err)
			}
			for probe.Latest().Never && ctx.Err() == nil {
				time.Sleep(10 * time.Millisecond)
			}
			if s := probe.Latest(); s.Fault != nil || s.Value != want {
				t.Errorf("together %v: %s gives %v (%v), want %v", c.together, identity, s.Value, s.Fault, want)
			}
		}
		took := clock.Now() - begun
		if measured(t, "three probes read, "+bus.ConversionNote(), took); took > c.within || bus.ConversionNote() != c.note {
			t.Errorf("three probes took %v by %q, want %v by %q", took, bus.ConversionNote(), c.within, c.note)
		}
		stop()
		<-ended
	}
}

// TestTheSurvey: beside the running daemon, a user sees every probe with its value
// and bytes, and who holds the lines.
func TestTheSurvey(t *testing.T) {
	scene("somebody surveys the probes of a house that is looked after")
	h := guarded(t)
	h.guard()
	h.daemon()
	heats(t)
	survey := h.start(binary, "probe", "--lines", "--for", "6s")
	survey.ends(30 * time.Second)
	for _, words := range []string{"1-wire 28-000000000001", "1-wire 28-000000000003", "°C", "good  [", "HEATER by sunstoker@", "free, with a label: ", "METER"} {
		if !strings.Contains(survey.said.String(), words) {
			t.Errorf("the survey does not say %q:\n%s", words, survey.said)
		}
	}
	site := h.start(binary, "probe", h.file, "--lines", "--for", "6s")
	site.ends(30 * time.Second)
	if said := site.said.String(); !strings.Contains(said, "tank top") || !strings.Contains(said, "good  [") {
		t.Errorf("with the site:\n%s", said)
	}
}
