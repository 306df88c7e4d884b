package actuators

import "testing"

func TestSimulatedPanicBecomesAnError(t *testing.T) {
	out := NewSimulated(func(level float64) {
		if level == 1 {
			panic("pipe burst")
		}
	})
	says(t, out.Set(Command{Level: 1}), "pipe burst", "level 1", "correct")
	if out.Level() != 0 {
		t.Error("told as on")
	}
	must(t, out.Set(Command{Level: 0.5})) // the lock was let go
	must(t, out.Close())
}

func TestSimulatedStartsWithoutACall(t *testing.T) {
	called := false
	if out := NewSimulated(func(float64) { called = true }); called || out.Level() != 0 {
		t.Error("the plant was touched before the first command")
	}
}
