package demo

import (
	"context"
	"io"
	"log/slog"
	"math"
	"sync"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/station"
	"sunstoker/station/tick"
)

// observer notes what the demo shows as its day goes by.
type observer struct {
	mu       sync.Mutex
	zone     *time.Location
	pumpOn   map[int]time.Duration // by hour of the day
	heaterOn map[int]time.Duration
	helped   time.Duration // when the heater was first on; 0 while it was not
	seen     map[control.FindingKind]bool
	values   []float64 // of the tank top
	last     *tick.Tick
}

func (o *observer) Watch(t *tick.Tick) {
	o.mu.Lock()
	defer o.mu.Unlock()
	hour := t.Wall.Time.In(o.zone).Hour()
	if t.Outputs[0].Driven > 0 {
		o.pumpOn[hour] += time.Second
	}
	if t.Outputs[1].Driven > 0 {
		o.heaterOn[hour] += time.Second
		if o.helped == 0 {
			o.helped = t.At
		}
	}
	for _, f := range t.Findings {
		o.seen[f.Kind] = true
	}
	for i, probe := range t.House.Plan.Probes {
		if probe.Place == control.TankTop {
			o.values = append(o.values, t.Readings[i].Value)
		}
	}
	o.last = t
}

// TestTheDayShowsEverything runs the twelve hours that the demo shows in its
// first two minutes.
func TestTheDayShowsEverything(t *testing.T) {
	s, err := Site()
	if err != nil {
		t.Fatal(err)
	}
	s.StateFolder = t.TempDir()
	p, err := NewPlant(s)
	if err != nil {
		t.Fatal(err)
	}
	seen := &observer{zone: s.Zone, pumpOn: map[int]time.Duration{}, heaterOn: map[int]time.Duration{}, seen: map[control.FindingKind]bool{}}
	clock := station.NewLockstep()
	st, err := station.Build(s, clock, station.BuildOptions{
		Watchers: []tick.Watcher{seen}, Simulated: p, Log: slog.New(slog.NewTextHandler(io.Discard, nil)),
	})
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- st.Run(ctx, context.Background()) }()
	const shown = 2 * time.Minute * DefaultSpeed
	for at := time.Duration(0); at <= shown; at += 10 * time.Minute {
		wall := control.Wall{Time: Begin(s.Zone).Add(at), Trusted: true}
		if without, err := clock.Advance(ctx, at, wall); err != nil || len(without) > 0 {
			t.Fatalf("%v, without %q", err, without)
		}
	}
	stop()
	if err := <-ended; err != nil {
		t.Fatal(err)
	}
	t.Logf("pump %v\nheater %v", seen.pumpOn, seen.heaterOn)
	if seen.pumpOn[10] < 20*time.Minute {
		t.Error("the morning sun does not run the pump")
	}
	if seen.pumpOn[13] > 15*time.Minute {
		t.Error("the bank of cloud does not stop the pump")
	}
	if seen.pumpOn[15] < 20*time.Minute {
		t.Error("the afternoon sun does not run the pump")
	}
	if evening := seen.heaterOn[18] + seen.heaterOn[19] + seen.heaterOn[20]; evening < 5*time.Minute {
		t.Error("the evening's showers do not call the heater")
	}
	if latest := 90 * time.Second * DefaultSpeed; seen.helped > latest {
		t.Errorf("the heater is first on after %v of the demo, want %v at most, so that it is seen", seen.helped/DefaultSpeed, latest/DefaultSpeed)
	}
	t.Logf("the heater helps after %v of the demo", seen.helped/DefaultSpeed)
	if morning := seen.heaterOn[10] + seen.heaterOn[11] + seen.heaterOn[12]; morning > 0 {
		t.Error("the heater works while the sun shines")
	}
	if len(seen.seen) > 0 {
		t.Errorf("a sound house shows findings: %v", seen.seen)
	}
	flicker := 0
	for i, v := range seen.values[1:] {
		if math.Mod(v*16, 1) != 0 {
			t.Fatalf("a reading of %v is no sixteenth of a kelvin", v)
		}
		if v != seen.values[i] {
			flicker++
		}
	}
	if flicker < len(seen.values)/20 {
		t.Errorf("the readings changed %d times in %d ticks: there is no noise", flicker, len(seen.values))
	}
	if seen.last.House.Name != "Demo house" {
		t.Error("it is another house")
	}
}
