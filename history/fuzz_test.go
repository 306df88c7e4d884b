package history

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// FuzzFile opens a history of which some bytes are others, or any bytes at all:
// the next run writes in any case, and reading ends with rows or with an error.
func FuzzFile(f *testing.F) {
	sound := soundFile(f)
	f.Add(uint32(0), []byte(nil), uint32(1<<31))
	f.Add(uint32(0), []byte("this is no history"), uint32(18))
	f.Add(uint32(18), []byte{9, 9}, uint32(1<<31))       // another form of log
	f.Add(uint32(60), []byte{0, 0}, uint32(1<<31))       // of the tables
	f.Add(uint32(28), []byte{0, 0, 0, 1}, uint32(1<<31)) // pages
	f.Add(uint32(4096*3), []byte{13, 0, 0, 0, 200}, uint32(4096*9))
	f.Fuzz(func(t *testing.T, at uint32, bytes []byte, length uint32) {
		data := append([]byte(nil), sound...)
		if int(at) < len(data) {
			copy(data[at:], bytes)
		}
		folder := t.TempDir()
		path := filepath.Join(folder, FileName)
		if err := os.WriteFile(path, data[:min(int(length), len(data))], 0o640); err != nil {
			t.Fatal(err)
		}
		if r, err := Open(folder); err == nil {
			if _, err := r.Chart(context.Background(), Wanted{From: noon, To: noon.Add(time.Hour)}); err != nil {
				t.Log(err)
			}
			if err := r.Close(); err != nil {
				t.Log(err)
			}
		}
		var out logText
		if err := Check(context.Background(), folder, noon, time.UTC, &out); err != nil {
			t.Log(err)
		}
		h := newHouse(t, folder)
		h.tick.Wall.Time = noon.Add(5 * time.Hour)
		h.pass(2 * time.Minute)
		h.write()
		h.stop()
		if why := h.h.Trouble(); why != "" && leavesAlone(path) {
			return // of another program or a newer one
		} else if why != "" {
			t.Error(why)
		}
	})
}

// leavesAlone tells whether the file is one that is not ours.
func leavesAlone(path string) bool {
	_, err := openForWriting(path, "")
	return err != nil && !isDamaged(err)
}

// soundFile is the bytes of a small history.
func soundFile(f *testing.F) []byte {
	folder := f.TempDir()
	h := newHouse(nil, folder)
	h.pass(time.Hour)
	h.h.attempt(true)
	if err := h.h.store.close(); err != nil {
		f.Fatal(err)
	}
	data, err := os.ReadFile(h.h.path)
	if err != nil {
		f.Fatal(err)
	}
	return data
}

// FuzzCells unpacks any bytes: figures come out, or an error, and what comes out
// packs to the same again.
func FuzzCells(f *testing.F) {
	series := []Series{{Name: "tank_top", Unit: "°C", Steps: 100}, {Name: "sun_heat", Unit: "J", Steps: 1, Sum: true}, {Name: "loop_pressure", Unit: "bar", Steps: 1000}}
	some := row{seconds: 60, series: series, cells: []cell{{seconds: 60, mean: 45.5, low: -3, high: 81.2}, {amount: 12345}, {}}}
	f.Add(int64(60), some.encode(nil))
	f.Add(int64(60), []byte{0})
	f.Add(int64(-1), []byte{255, 255, 255, 255, 255, 255, 255, 255, 255, 1})
	f.Fuzz(func(t *testing.T, seconds int64, packed []byte) {
		r := row{seconds: seconds, series: series}
		if r.decode(packed) != nil {
			return
		}
		again := row{seconds: seconds, series: series}
		if err := again.decode(r.encode(nil)); err != nil {
			t.Fatalf("%+v packs to what can't be unpacked: %v", r.cells, err)
		}
		for i := range r.cells {
			a, b := r.cells[i], again.cells[i]
			if a.seconds != b.seconds || !near(a.mean, b.mean, 1e-6*max(1, math.Abs(a.mean))) || !near(a.amount, b.amount, 1) {
				t.Errorf("%+v comes back as %+v", a, b)
			}
		}
	})
}

// TestPackedFiguresComeBack to within half a step.
func TestPackedFiguresComeBack(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := Series{Steps: rapid.SampledFrom([]float64{1, 10, 100, 1000}).Draw(rt, "steps")}
		low := rapid.Float64Range(-300, 300).Draw(rt, "low")
		mean := low + rapid.Float64Range(0, 300).Draw(rt, "up")
		c := cell{seconds: rapid.Int64Range(1, 60).Draw(rt, "known"), mean: mean, low: low, high: mean + rapid.Float64Range(0, 300).Draw(rt, "top")}
		in := row{seconds: 60, series: []Series{s, {Steps: 1, Sum: true}}, cells: []cell{c, {amount: float64(rapid.Int64Range(0, 1e12).Draw(rt, "amount"))}}}
		out := row{seconds: 60, series: in.series}
		if err := out.decode(in.encode(nil)); err != nil {
			rt.Fatal(err)
		}
		half := 0.5/s.Steps + 1e-9
		if got := out.cells[0]; got.seconds != c.seconds || !near(got.mean, c.mean, half) || !near(got.low, c.low, half) || !near(got.high, c.high, half) || out.cells[1].amount != in.cells[1].amount {
			rt.Errorf("%+v comes back as %+v", c, got)
		}
	})
}

// TestFiguresBeyondReasonArePacked: a driver that says infinity is no reason to
// stop.
func TestFiguresBeyondReasonArePacked(t *testing.T) {
	series := []Series{{Steps: 1000}, {Steps: 1, Sum: true}}
	for _, v := range []float64{math.Inf(1), math.Inf(-1), math.NaN(), 1e300, -1e300} {
		in := row{seconds: 60, series: series, cells: []cell{{seconds: 60, mean: v, low: -1e300, high: 1e300}, {amount: v}}}
		out := row{seconds: 60, series: series}
		if err := out.decode(in.encode(nil)); err != nil {
			t.Errorf("%g: %v", v, err)
		}
	}
}
