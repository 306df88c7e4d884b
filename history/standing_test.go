package history

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"sunstoker/control"
)

// standingByAll adds up all events of a run: what [Reader.Standing] must come to.
func standingByAll(t testing.TB, r *Reader, at time.Time) *Standing {
	t.Helper()
	s := &Standing{}
	err := r.Events(context.Background(), WantedEvents{From: time.Unix(0, 0), To: at.Add(time.Second), Kinds: []Kind{Started, Decided, Raised, Cleared, OverrideSet, OverrideEnded}}, func(e *Event) error {
		s.add(e)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestStandingIsWhatAllEventsComeTo: over runs in which anything happens, written or not.
func TestStandingIsWhatAllEventsComeTo(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		h := newHouse(t, t.TempDir())
		for range rapid.IntRange(1, 8).Draw(rt, "doings") {
			output := rapid.IntRange(0, 1).Draw(rt, "output")
			switch rapid.IntRange(0, 5).Draw(rt, "doing") {
			case 0:
				h.stop()
				h = h.again(time.Duration(rapid.IntRange(1, 90).Draw(rt, "off")) * time.Minute)
			case 1:
				h.tick.Findings = []control.Finding{{Kind: control.FoundStagnation}, {Kind: control.FoundClockUnset}}[:rapid.IntRange(0, 2).Draw(rt, "findings")]
			case 2:
				h.tick.Outputs[output].Override = control.OverrideState{Left: time.Duration(rapid.IntRange(0, 1).Draw(rt, "left")) * time.Hour, Level: 1}
			case 3:
				h.write()
			default:
				h.decide(output, float64(rapid.IntRange(0, 1).Draw(rt, "level")), control.Comfort, control.SaysLoopGains, 62, 12)
			}
			h.pass(time.Duration(rapid.IntRange(1, 11).Draw(rt, "pass")) * time.Minute)
		}
		h.write()
		r, err := h.h.Open()
		if err != nil {
			rt.Fatal(err)
		}
		defer r.Close()
		for range 5 {
			at := noon.Add(time.Duration(rapid.IntRange(-5, 300).Draw(rt, "at")) * time.Minute)
			got, err := r.Standing(context.Background(), at)
			if want := standingByAll(t, r, at); err != nil || !reflect.DeepEqual(got, want) {
				rt.Errorf("at %v %v\n%+v, want\n%+v", at, err, got, want)
			}
		}
		h.stop()
	})
}

// longRun writes a run in which one output is switched so often, and the other never.
func longRun(t *testing.T, switchings int) *Reader {
	t.Helper()
	folder := t.TempDir()
	s, err := openStore(filepath.Join(folder, FileName), "")
	if err != nil {
		t.Fatal(err)
	}
	add := func(second int, kind Kind, part string) error {
		return s.event(Event{Time: noon.Add(time.Duration(second) * time.Second), Kind: kind, System: "roof", Part: part, Level: float64(second % 2)})
	}
	err = s.transaction(func() error {
		errs := []error{add(0, Started, ""), add(0, Decided, "loop_pump"), add(0, Decided, "backup_heater")}
		for i := range switchings {
			errs = append(errs, add(100+i, Decided, "loop_pump"))
		}
		return errors.Join(errs...)
	})
	if err := errors.Join(err, s.close()); err != nil {
		t.Fatal(err)
	}
	return openFolder(t, folder)
}

// TestALongRunIsNotReadThrough: how much is read does not grow with the run.
func TestALongRunIsNotReadThrough(t *testing.T) {
	var allocations [2]float64
	for i, switchings := range []int{20, 4000} {
		r := longRun(t, switchings)
		at := noon.Add(time.Duration(100+switchings) * time.Second)
		allocations[i] = testing.AllocsPerRun(3, func() {
			s, err := r.Standing(context.Background(), at)
			if err != nil || len(s.Decisions) != 2 || !s.Decisions[0].Time.Equal(at.Add(-time.Second)) || !s.Decisions[1].Time.Equal(noon) {
				t.Fatalf("%+v, %v", s, err)
			}
		})
	}
	if allocations[1] > allocations[0]+50 {
		t.Errorf("%g allocations, and %g after a long run", allocations[0], allocations[1])
	}
}

// TestRareEventsAreFoundByTheirIndex, also in a file that was made with another one.
func TestRareEventsAreFoundByTheirIndex(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, FileName)
	db, err := openForWriting(path, "")
	if err != nil {
		t.Fatal(err)
	}
	_, err = db.Exec("DROP INDEX rare_events; CREATE INDEX findings ON events (at) WHERE kind IN (2, 3)")
	if err := errors.Join(err, db.Close()); err != nil {
		t.Fatal(err)
	}
	if db, err = openForWriting(path, ""); err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	plan := ""
	for _, query := range []string{
		"SELECT max(at) FROM events WHERE kind = 6 AND kind > 1 AND at <= 5",
		selectEvents + "at >= 1 AND at <= 5 AND kind > 1 AND kind IN (2, 3) ORDER BY at, n",
	} {
		err := eachRow(context.Background(), db, "EXPLAIN QUERY PLAN "+query, func(scan func(...any) error) error {
			var id, parent, unused int
			var text string
			err := scan(&id, &parent, &unused, &text)
			plan += fmt.Sprintln(text)
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if strings.Count(plan, "rare_events") != 2 || strings.Contains(plan, "B-TREE") {
		t.Error(plan)
	}
}
