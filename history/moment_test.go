package history

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/station/tick"
)

func momentAt(t *testing.T, r *Reader, at time.Time) *Moment {
	t.Helper()
	m, err := r.Moment(context.Background(), at)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func (m *Moment) figure(t *testing.T, name string) *Figure {
	t.Helper()
	for i := range m.Figures {
		if m.Figures[i].Name == name {
			return &m.Figures[i]
		}
	}
	t.Fatalf("no figure %s in the moment", name)
	return nil
}

// TestMoment: one run of 20 min, a pause of 10 min, and another of 20 min.
func TestMoment(t *testing.T) {
	folder := t.TempDir()
	h := newHouse(t, folder)
	h.pass(20 * time.Minute)
	h.stop()
	next := h.again(10 * time.Minute)
	next.pass(20*time.Minute, func(t *tick.Tick) { t.Readings[1].Quality = control.Missing })
	next.stop()
	r := openFolder(t, folder)

	m := momentAt(t, r, noon.Add(7*time.Minute+31*time.Second))
	if m == nil || !m.Start.Equal(noon.Add(7*time.Minute)) || m.Span != time.Minute || m.Watched != time.Minute || !m.Sure {
		t.Fatalf("%+v, want the minute 12:07", m)
	}
	if f := m.figure(t, "tank_top"); f.Mean != 47.8 || f.Known != time.Minute {
		t.Errorf("tank top %+v, want 47.8 °C for a minute", f)
	}
	if f := momentAt(t, r, noon.Add(40*time.Minute)).figure(t, "tank_top"); f.Known != 0 {
		t.Errorf("tank top %+v, want no value", f)
	}
	for _, gap := range []time.Duration{-time.Minute, 25 * time.Minute, 55 * time.Minute, 24 * time.Hour} {
		if m := momentAt(t, r, noon.Add(gap)); m != nil {
			t.Errorf("%v after noon nothing was watched, and yet there is %+v", gap, m)
		}
	}
	newest, err := r.Newest(context.Background())
	if want := noon.Add(49 * time.Minute); err != nil || !newest.Equal(want) {
		t.Errorf("newest %v, %v, want %v", newest, err, want)
	}

	// Once minutes are dropped, the quarter of an hour stands for them.
	db, err := openForWriting(h.h.path, "")
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if _, err := db.Exec("DELETE FROM minutes WHERE start < ?", noon.Add(15*time.Minute).Unix()); err != nil {
		t.Fatal(err)
	}
	if m := momentAt(t, r, noon.Add(7*time.Minute)); m == nil || m.Span != 15*time.Minute || m.figure(t, "tank_top").Mean != 47.8 {
		t.Errorf("%+v, want the quarter hour from 12:00", m)
	}
}

func TestBeside(t *testing.T) {
	folder := t.TempDir()
	h := newHouse(t, folder)
	h.pass(20 * time.Minute)
	h.stop()
	next := h.again(10 * time.Minute)
	next.pass(20 * time.Minute)
	next.stop()
	r := openFolder(t, folder)
	for _, c := range []struct{ at, before, after time.Duration }{
		{-time.Hour, -1, 0}, {25 * time.Minute, 20 * time.Minute, 30 * time.Minute}, {2 * time.Hour, 50 * time.Minute, -1},
	} {
		before, after, err := r.Beside(context.Background(), noon.Add(c.at))
		if err != nil {
			t.Fatal(err)
		}
		for _, side := range []struct {
			got  time.Time
			want time.Duration
		}{{before, c.before}, {after, c.after}} {
			if want := noon.Add(side.want); side.want >= 0 && !side.got.Equal(want) || side.want < 0 && !side.got.IsZero() {
				t.Errorf("beside %v: %v to %v", c.at, before, after)
			}
		}
	}
}

func TestStanding(t *testing.T) {
	folder := t.TempDir()
	h := newHouse(t, folder)
	h.tick.Findings = []control.Finding{{Kind: control.FoundStagnation}}
	h.pass(2 * time.Minute)
	h.stop()
	next := h.again(10 * time.Minute)
	next.pass(time.Minute)
	next.decide(0, 1, control.Comfort, control.SaysLoopGains, 62, 12)
	next.tick.Findings = []control.Finding{{Kind: control.FoundClockUnset}}
	next.pass(time.Minute)
	next.tick.Outputs[1].Override = control.OverrideState{Left: time.Hour, Level: 1}
	next.pass(time.Minute)
	next.tick.Findings = nil
	next.tick.Outputs[1].Override = control.OverrideState{}
	next.pass(time.Minute)
	next.stop()
	r := openFolder(t, folder)
	stood := func(after time.Duration) *Standing {
		s, err := r.Standing(context.Background(), noon.Add(after))
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	s := stood(14*time.Minute + 30*time.Second)
	if want := noon.Add(12 * time.Minute); !s.Run.Equal(want) {
		t.Errorf("the run began at %v, want %v", s.Run, want)
	}
	if len(s.Decisions) != 2 || s.Decisions[0].Part != "loop_pump" || s.Decisions[0].Text() != "the collector, 62.0 °C, is 12.0 K hotter than the tank bottom" {
		t.Errorf("decisions %+v", s.Decisions)
	}
	if len(s.Findings) != 1 || s.Findings[0].What.Key != "clock_unset" {
		t.Errorf("findings %+v, want that of this run which stands", s.Findings)
	}
	if len(s.Overrides) != 1 || s.Overrides[0].Level != 1 {
		t.Errorf("overrides %+v", s.Overrides)
	}
	if s := stood(12*time.Minute + 30*time.Second); s.Decisions[0].Level != 0 || len(s.Findings)+len(s.Overrides) > 0 {
		t.Errorf("%+v before anything had happened", s)
	}
	if s := stood(15*time.Minute + 30*time.Second); len(s.Findings)+len(s.Overrides) > 0 {
		t.Errorf("%+v after all had ended", s)
	}
	if s := stood(-time.Hour); !s.Run.IsZero() || len(s.Decisions) > 0 {
		t.Errorf("%+v before the first start", s)
	}
}

// TestWhatIsNotYetWrittenIsToldToo: a moment, what counted and what happened in the
// minutes that wait, each once.
func TestWhatIsNotYetWrittenIsToldToo(t *testing.T) {
	h := newHouse(t, t.TempDir())
	h.pass(12 * time.Minute)
	h.write()
	h.read(1, 51.5)
	h.decide(1, 1, control.Comfort, control.SaysHeaterCold, 31.2, 45)
	h.pass(5 * time.Minute)
	tell := func() (told string) {
		t.Helper()
		r, err := h.h.Open()
		if err != nil {
			t.Fatal(err)
		}
		defer r.Close()
		at := noon.Add(14 * time.Minute)
		m, err := r.Moment(t.Context(), at)
		if err != nil || m == nil {
			t.Fatalf("%v, %v", m, err)
		}
		s, err := r.Standing(t.Context(), at)
		if err != nil {
			t.Fatal(err)
		}
		told = fmt.Sprintf("from %v for %v, tank top %g, run %v: ", m.Start, m.Span, m.Figures[1].Mean, s.Run)
		for _, e := range append(s.Decisions, eventsOf(t, r)...) {
			told += fmt.Sprintf("%v %v %s %g %s; ", e.Time, e.Kind, e.Part, e.Level, e.Text())
		}
		return told
	}
	waiting := tell()
	if !strings.Contains(waiting, "tank top 51.5") || strings.Count(waiting, "decision backup_heater 1") != 2 {
		t.Error(waiting)
	}
	h.stop()
	written := tell()
	if before, _, _ := strings.Cut(written, noon.Add(16*time.Minute+59*time.Second).String()); before != waiting { // when it stopped
		t.Errorf("as it waits\n%s\nas it is written\n%s", waiting, written)
	}
}

// TestAYoungHistoryIsSeenBeforeItIsWritten: what is kept, since when and until when,
// and its curves, in the first minutes of all.
func TestAYoungHistoryIsSeenBeforeItIsWritten(t *testing.T) {
	h := newHouse(t, t.TempDir())
	h.write() // nothing, but there is a file
	h.pass(5*time.Minute + time.Second)
	r, err := h.h.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	series, err := r.Series(t.Context())
	oldest, oldErr := r.Oldest(t.Context())
	newest, newErr := r.Newest(t.Context())
	chart, chartErr := r.Chart(t.Context(), Wanted{From: noon, To: noon.Add(time.Hour), Points: 60, Series: series})
	if err := errors.Join(err, oldErr, newErr, chartErr); err != nil {
		t.Fatal(err)
	}
	if len(series) == 0 || !oldest.Equal(noon) || !newest.Equal(noon.Add(4*time.Minute)) || len(chart.Starts) != 5 || len(chart.Lines) != len(series) {
		t.Errorf("%d series, from %v to %v, %d points of %d lines", len(series), oldest, newest, len(chart.Starts), len(chart.Lines))
	}
	h.stop()
	again, err := h.h.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer again.Close()
	if written, err := again.Series(t.Context()); err != nil || !slices.Equal(written, series) {
		t.Errorf("%v once it is written, %v before, %v", written, series, err)
	}
}

// TestARunThatIsNotYetWrittenStandsAlone: what the run before it had decided and
// found no longer counts.
func TestARunThatIsNotYetWrittenStandsAlone(t *testing.T) {
	h := newHouse(t, t.TempDir())
	h.tick.Findings = []control.Finding{{Kind: control.FoundStagnation, Evidence: control.Reason{Words: control.SawStagnation}}}
	h.pass(12 * time.Minute)
	h.stop()
	next := h.again(time.Minute)
	next.pass(3 * time.Minute)
	r, err := next.h.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	s, err := r.Standing(t.Context(), next.tick.Wall.Time)
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Findings) != 0 || !s.Run.After(noon.Add(12*time.Minute)) || len(s.Decisions) != 2 {
		t.Errorf("%+v", s)
	}
}
