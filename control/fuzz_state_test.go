package control

import (
	"encoding/json"
	"math"
	"os"
	"reflect"
	"testing"
	"time"
)

// troubledState is a state in which much has happened.
func troubledState(t testing.TB) []byte {
	t.Helper()
	d := newDesk(t, tempered).settled()
	d.set(-5, 120, 72, 60)
	d.run(30 * time.Minute)
	d.fail(atTop)
	d.run(5 * time.Minute)
	for _, err := range []error{d.c.Override(outPump, 1, time.Hour), d.c.Boost(0, time.Hour), d.c.Holiday(day)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	saved, err := d.c.SaveState()
	if err != nil {
		t.Fatal(err)
	}
	return saved
}

// FuzzRestoreState: whatever lies in a state file, see workOn.
func FuzzRestoreState(f *testing.F) {
	f.Add(troubledState(f))
	f.Add([]byte(`{"version":1,"outputs":[{"system":"roof","actuator":"backup_heater","level":1}]}`))
	f.Add([]byte(`{"version":1,"systems":[{"system":"roof","hygiene_since_ns":3000000000000000000,"heater_effort_ns":3000000000000000000}]}`))
	f.Fuzz(func(t *testing.T, state []byte) { workOn(t, state) })
}

// TestProofStatesChangedInOnePlace puts extreme figures into every place of a
// state, one at a time, or into every third; see workOn.
func TestProofStatesChangedInOnePlace(t *testing.T) {
	saved := troubledState(t)
	var st State
	if err := json.Unmarshal(saved, &st); err != nil {
		t.Fatal(err)
	}
	refused, taken, every := 0, 0, 3
	switch {
	case os.Getenv("SUNSTOKER_PROOF") != "":
		every = 1
	case testing.Short():
		every = 11
	}
	for i, leaf := range leavesOf(reflect.ValueOf(&st).Elem()) {
		if i%every != 0 {
			continue
		}
		was := reflect.New(leaf.Type()).Elem()
		was.Set(leaf)
		for _, value := range extremes(leaf) {
			leaf.Set(reflect.ValueOf(value).Convert(leaf.Type()))
			wild, err := json.Marshal(st)
			if err != nil {
				t.Fatal(err)
			}
			span, isSpan := leaf.Interface().(time.Duration)
			switch {
			case !workOn(t, wild):
				refused++
			case isSpan && (span < 0 || span > longestSpan):
				t.Errorf("a duration of %v was taken up", span)
			default:
				taken++
			}
			if t.Failed() {
				t.Fatalf("by the state %s", wild)
			}
		}
		leaf.Set(was)
	}
	if taken == 0 || refused == 0 {
		t.Errorf("%d taken, %d refused: nothing was shown", taken, refused)
	}
	t.Logf("proof: saved states with one wild figure, refused = %d states", refused)
	t.Logf("proof: saved states with one wild figure, worked on = %d states", taken)
}

// extremes are the figures to try in one place.
func extremes(leaf reflect.Value) []any {
	switch leaf.Kind() {
	case reflect.Bool:
		return []any{!leaf.Bool()}
	case reflect.Int64:
		return []any{0, 1, -1, time.Hour, 300 * day, longestSpan - 60*day, int64(math.MaxInt64)}
	case reflect.Uint64:
		return []any{0, uint64(math.MaxUint64)}
	}
	return []any{0.0, 1.0, -1.0, 0.5, 999.0, -999.0, 1e9, -1e9, math.MaxFloat64}
}

// leavesOf gives everything inside v that can be changed: figures and marks.
func leavesOf(v reflect.Value) (leaves []reflect.Value) {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			leaves = append(leaves, leavesOf(v.Field(i))...)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			leaves = append(leaves, leavesOf(v.Index(i))...)
		}
	case reflect.Bool, reflect.Int64, reflect.Uint64, reflect.Float64:
		leaves = append(leaves, v)
	}
	return leaves
}

// workOn takes a state up and works on with it, if it is not refused. The
// invariants hold, and what is saved in the end would be taken up again.
func workOn(t *testing.T, state []byte) (taken bool) {
	t.Helper()
	d := newDesk(t, tempered)
	if d.c.RestoreState(state) != nil || longest(reflect.ValueOf(d.c.st)) > longestSpan-30*day {
		return false // refused, or about to grow out of what is believed of any plant
	}
	d.c.Restarted()
	d.c.WasAway(48 * time.Hour)
	var seen witness
	run := func(steps int, elapsed time.Duration) {
		for range steps {
			seen.begin(d.c, elapsed)
			if what := seen.broken(d.c.Step(elapsed, winter, d.readings)); what != "" {
				t.Error(what)
			}
		}
	}
	for range 5 {
		d.set(5, 60, 50, 40)
		run(180, time.Second)
		d.fail(atTop)
		run(60, time.Second)
		run(1, 24*time.Hour)
	}
	saved, err := d.c.SaveState()
	if err != nil {
		t.Error(err)
	}
	if err := newDesk(t, tempered).c.RestoreState(saved); err != nil {
		t.Errorf("the controller refuses the state that it has saved: %v", err)
	}
	return true
}

// longest gives the longest duration in a state.
func longest(v reflect.Value) (span time.Duration) {
	switch {
	case v.Type() == reflect.TypeFor[time.Duration]():
		return time.Duration(v.Int())
	case v.Kind() == reflect.Struct:
		for i := range v.NumField() {
			span = max(span, longest(v.Field(i)))
		}
	case v.Kind() == reflect.Slice:
		for i := range v.Len() {
			span = max(span, longest(v.Index(i)))
		}
	}
	return span
}
