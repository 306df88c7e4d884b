package dashboard

import (
	"bufio"
	"context"
	"flag"
	"fmt"
	"os"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/dashboard/door"
	"sunstoker/station/request"
	"sunstoker/station/tick"
)

var (
	serveThePage = flag.Bool("serve-the-page", false, "serve the page to the browser tests under page/test, which start this")
	pastDays     = flag.Int("past-days", 0, "with so many days of history; 0 for a house that keeps none")
)

// scenes are the states of a house that the browser tests look at.
var scenes = map[string]func() *tick.Tick{
	"sunny":   sunnyTick,
	"trouble": troubleTick,
	"night":   nightTick,
	"calm":    calmTick,
	"doubted": doubtedTick,
	"long":    longTick,
}

// longTick has long texts, and markup, wherever one can come from outside, and
// the fewest probes a system can have.
func longTick() *tick.Tick {
	tk := troubleTick()
	markup := `<img src="x" onerror="document.title='broken'">` + strings.Repeat("long", 40)
	plan := tk.House.Plan
	tk.House.Name, plan.Systems[0].Name = markup, markup
	plan.Probes, tk.Readings = plan.Probes[:2], tk.Readings[:2]
	tk.Readings[0].Fault, tk.Outputs[0].Fault, tk.Findings[0].Detail = markup, markup, markup
	return tk
}

// nightTick is the meter heating a cold tank on a frosty evening.
func nightTick() *tick.Tick {
	tk := sunnyTick()
	tk.Wall.Time = time.Date(2026, 2, 19, 17, 3, 40, 0, time.UTC)
	for i, v := range []float64{-6.1, 27.4, 18.2, -2.3} {
		tk.Readings[i].Value = v
	}
	gain := says(control.SaysLoopNoGain, -6.1, 18.2, 8)
	cold := says(control.SaysHeaterCold, 27.4, 45)
	tk.Outputs[0].Decision = control.Decision{Rank: control.Comfort, Reason: gain, Votes: []control.Vote{{Rank: control.Comfort, Reason: gain}}}
	tk.Outputs[0].Driven = 0
	tk.Outputs[1].Decision = control.Decision{Level: 1, Rank: control.Comfort, Reason: cold, Votes: []control.Vote{{Level: 1, Rank: control.Comfort, Reason: cold}}}
	tk.Outputs[1].Driven = 1
	tk.Systems[0].HotLitres, tk.Systems[0].Outlook, tk.Systems[0].HygieneSince = 0, nil, 6*24*time.Hour+19*time.Hour
	return tk
}

// calmTick is a full tank on a summer evening: nothing has to heat, somebody
// draws water, and the circulation runs.
func calmTick() *tick.Tick {
	tk := sunnyTick()
	tk.Wall.Time = time.Date(2026, 7, 19, 18, 20, 0, 0, time.UTC)
	for i, v := range []float64{31.5, 64.9, 58.2, 22.7} {
		tk.Readings[i].Value = v
	}
	gain := says(control.SaysLoopNoGain, 31.5, 58.2, 8)
	tk.Outputs[0].Decision = control.Decision{Rank: control.Comfort, Reason: gain, Votes: []control.Vote{{Rank: control.Comfort, Reason: gain}}}
	tk.Outputs[0].Driven = 0
	warm := says(control.SaysHeaterWarm, 64.9, 45)
	tk.Outputs[1].Decision = control.Decision{Rank: control.Comfort, Reason: warm, Votes: []control.Vote{{Rank: control.Comfort, Reason: warm}}}
	plan, window := tk.House.Plan, says(control.SaysCirculationWindow, 41.5, 45)
	plan.Outputs = append(plan.Outputs, control.Output{Actuator: control.HotWaterCirculation})
	tk.Outputs = append(tk.Outputs, tick.Output{Driven: 1, On: 90 * time.Hour, Switchings: 1234, Decision: control.Decision{
		Level: 1, Rank: control.Comfort, Reason: window, Votes: []control.Vote{{Level: 1, Rank: control.Comfort, Reason: window}},
	}})
	plan.Probes = append(plan.Probes, control.Probe{Place: control.DrawFlow})
	tk.Readings = append(tk.Readings, good(7.5, time.Second))
	tk.Systems[0].HotLitres, tk.Systems[0].Outlook = 322, nil
	return tk
}

// doubtedTick is a moment after the start: no value is believed yet, and it is
// too early for a finding.
func doubtedTick() *tick.Tick {
	tk := sunnyTick()
	tk.Readings[2].Judged = control.Judged{Value: 36.4, Age: time.Second, Quality: control.Suspect, Why: says(control.SaysSettling)}
	gains := says(control.SaysLoopGainsByTop, 61.3, 13.5)
	tk.Outputs[0].Reason, tk.Outputs[0].Votes = gains, []control.Vote{{Level: 1, Rank: control.Comfort, Reason: gains}}
	tk.Outputs[1].Switchings, tk.Outputs[1].On = 0, 0
	return tk
}

// seenDesk shows settings of up to two systems; nobody in the browser tests of
// scenes may ask it for anything.
func seenDesk() *fakeDesk {
	figures := request.Figures{House: settings(), Systems: []control.Settings{settings(), settings()}}
	return &fakeDesk{tick: sunnyTick(), book: &request.Book{File: figures, Now: figures}}
}

// TestServeThePage is no test by itself: it serves the page as the daemon does
// and takes its orders from standard input, one a line: the name of a scene,
// or "older 30s" to let the newest tick grow old.
func TestServeThePage(t *testing.T) {
	if !*serveThePage {
		t.Skip("only for the browser tests")
	}
	var ahead atomic.Int64
	options := Options{
		Now:        func() time.Time { return time.Now().Add(time.Duration(ahead.Load())) },
		MaxViewers: 2,
		Desk:       seenDesk(),
	}
	if *pastDays > 0 {
		options.Past, options.Worth = lived(t, t.TempDir(), *pastDays).history, pastWorth
	}
	d := New(options)
	entrance, err := door.New(door.Options{Refuse: Refuse}).ListenOnBoard("127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() { done <- entrance.Serve(ctx, d) }()
	fmt.Println(entrance.URL())
	for lines := bufio.NewScanner(os.Stdin); lines.Scan(); {
		order, argument, _ := strings.Cut(lines.Text(), " ")
		switch scene, ok := scenes[order]; {
		case ok:
			d.Watch(scene())
		case order == "older":
			by, err := time.ParseDuration(argument)
			if err != nil {
				t.Fatal(err)
			}
			ahead.Add(int64(by))
		default:
			t.Fatalf("there is no order %q", order)
		}
	}
	cancel()
	if err := <-done; err != nil {
		t.Fatal(err)
	}
}
