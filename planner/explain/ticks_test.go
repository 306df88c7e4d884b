package explain

import (
	"context"
	"fmt"
	"log/slog"
	"strings"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/history"
	"sunstoker/planner/recorded"
	"sunstoker/site"
	"sunstoker/station/tick"
)

// watch lets a program run for some minutes of a house in which nothing moves, each
// tick changed by the minute it lies in, and writes its history.
func watch(t *testing.T, s *site.Site, from time.Time, minutes int, trusted bool, change func(minute int, next *tick.Tick)) {
	t.Helper()
	h := history.New(history.Options{Folder: s.History.Folder, MinutesFor: history.UsualMinutesFor, AllFor: history.UsualAllFor, Log: slog.New(slog.DiscardHandler)})
	house := &tick.House{Name: s.Name, Plan: &s.Plan, Version: "0.1.0"}
	for at := time.Duration(0); at < time.Duration(minutes)*time.Minute; at += 5 * time.Second {
		next := &tick.Tick{
			House: house, Number: uint64(at/(5*time.Second)) + 1, At: at, Wall: control.Wall{Time: from.Add(at), Trusted: trusted},
			Readings: make([]tick.Reading, len(s.Plan.Probes)), Outputs: make([]tick.Output, len(s.Plan.Outputs)),
		}
		for i := range next.Readings {
			next.Readings[i].Judged = control.Judged{Value: 40, Quality: control.Good}
		}
		change(int(at/time.Minute), next)
		h.Watch(next)
	}
	ended, end := context.WithCancel(context.Background())
	end()
	if err := h.Run(ended); err != nil || h.Trouble() != "" {
		t.Fatal(err, h.Trouble())
	}
}

func says(t *testing.T, text string, wants ...string) {
	t.Helper()
	flat := strings.Join(strings.Fields(text), " ")
	for _, want := range wants {
		if !strings.Contains(flat, want) {
			t.Errorf("%q is not in\n%s", want, text)
		}
	}
}

// TestHandsAndClocks: what people set, runs that end and begin, and clocks that
// nobody vouches for.
func TestHandsAndClocks(t *testing.T) {
	s := house(t, recorded.Winter)
	stagnation := []control.Finding{{Kind: control.FoundStagnation, System: 0, Evidence: control.Reason{Words: control.SawStagnation, Values: [3]float64{131, 600}}}}
	noon := time.Date(2026, 6, 1, 12, 0, 30, 0, s.Zone)
	watch(t, s, noon, 10, true, func(minute int, next *tick.Tick) {
		if minute >= 2 {
			next.Findings = stagnation
		}
	})
	watch(t, s, noon.Add(20*time.Minute), 10, false, func(minute int, next *tick.Tick) {
		next.Findings = []control.Finding{{Kind: control.FoundStagnation, System: 0, Evidence: control.Reason{Words: control.SawStagnation, Values: [3]float64{140, 1800}}}}
		next.Outputs[1].Reason.Words = control.SaysHeaterWarm
		next.Outputs[1].Level, next.Outputs[1].Driven = 0, 0
		if minute >= 3 {
			next.Outputs[0].Override = control.OverrideState{Left: time.Hour, Level: 1}
			next.Outputs[0].Driven = 0.5
		}
	})
	at := func(clock string) string { return answer(t, Question{Site: s.File, At: "2026-06-01 " + clock}) }
	says(t, at("12:00"), "The program ran for 26 s of it.")
	says(t, at("12:05"), "raised at 12:02: the collector is at 131.0 °C with the pump at rest for 10 min", "good to know")
	says(t, at("12:25"), "found already when the program started at 12:20:", "Nobody could vouch for the board's clock then", "Set by hand to running at 12:23.", "The line itself stood at 50 %.", "The program stopped at 12:30.")
	says(t, at("12:15"), "There is a gap from 12:11 to 12:20")
	says(t, answer(t, Question{Site: s.File, Name: "stagnation"}), "roof: from 1 June 2026 12:02 and stands at the end", "and at 12:20: the collector is at 140.0 °C")
}

// TestManyTimes: of a finding that came often the newest are told.
func TestManyTimes(t *testing.T) {
	s := house(t, recorded.Winter)
	watch(t, s, time.Date(2026, 6, 1, 12, 0, 0, 0, s.Zone), 26, true, func(minute int, next *tick.Tick) {
		if minute%2 == 1 {
			next.Findings = []control.Finding{{Kind: control.FoundClockJumps, System: control.House, Evidence: control.Reason{Words: control.SawClockJumps, Values: [3]float64{float64(minute)}}, Detail: "as told"}}
		}
	})
	text := answer(t, Question{Site: s.File, Name: "clock_jumps"})
	says(t, text, "It was found 13 times; the newest 10:", "seen: 7 jumps", "seen: 25 jumps", "in its own words: as told")
	if strings.Contains(text, "seen: 5 jumps") {
		t.Errorf("more than the newest are told:\n%s", text)
	}
}

// TestChangedSettings: what counts is told from what the file says, and why it is
// not known.
func TestChangedSettings(t *testing.T) {
	s := house(t, recorded.Winter)
	var out strings.Builder
	q := Question{Site: s.File, Name: "start_difference", Saved: func(s *site.Site) (*site.Site, error) {
		return s.With(site.SetSetting(0, "start_difference", "11 K"))
	}}
	if err := Answer(context.Background(), q, &out); err != nil {
		t.Fatal(err)
	}
	says(t, out.String(), "the house 8 K, the default", "roof 11 K, changed on the running program; the site file says 8 K")
	out.Reset()
	q.Saved = func(s *site.Site) (*site.Site, error) { return s, fmt.Errorf("it is torn") }
	if err := Answer(context.Background(), q, &out); err != nil {
		t.Fatal(err)
	}
	says(t, out.String(), "The values are those of the site file: it is torn")
}
