package replay

import (
	"math"
	"testing"
	"time"
)

// calmTraces are so many days of a warm tank that stands, and their record.
func calmTraces(days int) (*traces, *Record) {
	n := days * 24 * 60
	t, r := &traces{fastestFallK: fastestFallK}, &Record{}
	for i := range n {
		t.collector, t.top, t.bottom = append(t.collector, 20), append(t.top, 50), append(t.bottom, 49)
		t.pump, t.heater = append(t.pump, 0), append(t.heater, 0)
		r.starts = append(r.starts, int64(i)*60)
	}
	return t, r
}

// TestWindows: a day is compared after a day's lead-in, and days end where water is
// drawn, where the heater runs and where nobody watched.
func TestWindows(t *testing.T) {
	const day = 24 * 60
	for what, c := range map[string]struct {
		change func(t *traces, r *Record)
		want   []window
	}{
		"calm": {func(*traces, *Record) {}, []window{
			{0, []part{{day, 2 * day}}}, {day, []part{{2 * day, 3 * day}}}, {2 * day, []part{{3 * day, 4 * day}}}}},
		"a draw": {func(t *traces, _ *Record) { t.bottom[2*day] -= 1 }, []window{
			{0, []part{{day, 2 * day}}}, {2*day + 1, []part{{3*day + 1, 4 * day}}}}},
		"a pump that stirs": {func(t *traces, _ *Record) { t.pump[2*day-3], t.bottom[2*day] = 1, 48 }, []window{
			{0, []part{{day, 2 * day}}}, {day, []part{{2 * day, 3 * day}}}, {2 * day, []part{{3 * day, 4 * day}}}}},
		"a draw after it": {func(t *traces, _ *Record) { t.pump[2*day-4], t.bottom[2*day] = 1, 48 }, []window{
			{0, []part{{day, 2 * day}}}, {2*day + 1, []part{{3*day + 1, 4 * day}}}}},
		"the heater": {func(t *traces, _ *Record) { t.heater[day+100] = 1 }, []window{
			{day + 101, []part{{2*day + 101, 3*day + 101}}}, {2*day + 101, []part{{3*day + 101, 4 * day}}}}},
		"not watched": {func(_ *traces, r *Record) {
			for i := day; i < len(r.starts); i++ {
				r.starts[i] += 3600
			}
		}, []window{{day + 1, []part{{2*day + 1, 3*day + 1}}}, {2*day + 1, []part{{3*day + 1, 4 * day}}}}},
		"layers at first": {func(t *traces, _ *Record) { t.top[0], t.top[1] = 56, 56 }, []window{
			{2, []part{{day + 2, 2*day + 2}}}, {day + 2, []part{{2*day + 2, 3*day + 2}}}, {2*day + 2, []part{{3*day + 2, 4 * day}}}}},
		"cold": {func(t *traces, _ *Record) { t.bottom[2*day-1] = 24; t.bottom[2*day-2] = 24 }, []window{
			{0, []part{{day, 2*day - 2}}}, {2 * day, []part{{3 * day, 4 * day}}}}},
		"clouds for an hour": {func(t *traces, _ *Record) { passClouds(t, day+600, day+660) }, []window{
			{0, []part{{day, day + 536}, {day + 725, 2 * day}}}, {day, []part{{2 * day, 3 * day}}}, {2 * day, []part{{3 * day, 4 * day}}}}},
	} {
		t.Run(what, func(t *testing.T) {
			traces, r := calmTraces(4)
			c.change(traces, r)
			got := traces.windows(r)
			if len(got) != len(c.want) {
				t.Fatalf("%v, want %v", got, c.want)
			}
			for i := range got {
				if got[i].from != c.want[i].from || len(got[i].parts) != len(c.want[i].parts) {
					t.Fatalf("%v, want %v", got, c.want)
				}
				for k := range got[i].parts {
					if got[i].parts[k] != c.want[i].parts[k] {
						t.Errorf("%v, want %v", got, c.want)
					}
				}
			}
		})
	}
}

// passClouds lets the collector swing by 25 K every ten minutes: it bends sharply in
// three of five, so that half an hour of it is too many for the hour and a half before
// and after.
func passClouds(t *traces, from, to int) {
	for i := from; i < to; i++ {
		t.collector[i] += 5 * math.Abs(math.Mod(float64(i-from), 10)-5)
	}
}

// TestMostWindows: of a long calm record no more than so many, from all of it.
func TestMostWindows(t *testing.T) {
	traces, r := calmTraces(60)
	got := traces.windows(r)
	if len(got) > mostWindows || len(got) <= mostWindows/2 || got[len(got)-1].from < 50*24*60 {
		t.Errorf("%d windows, the last from minute %d", len(got), got[len(got)-1].from)
	}
}

// TestMoves: a loop carries heat while its pump runs; one without a pump while its
// collector is the warmest.
func TestMoves(t *testing.T) {
	pumped := traces{collector: []float64{70, 70, 30}, top: []float64{50, 50, 50}, pump: []float64{0, 0.5, 1}}
	natural := traces{collector: []float64{70, 50, 30}, top: []float64{50, 50, 50}}
	for i, want := range []struct{ pumped, natural float64 }{{0, 1}, {0.5, 0}, {1, 0}} {
		if got := pumped.moves(i); got != want.pumped {
			t.Errorf("pumped, minute %d: %g, want %g", i, got, want.pumped)
		}
		if got := natural.moves(i); got != want.natural {
			t.Errorf("natural, minute %d: %g, want %g", i, got, want.natural)
		}
	}
}

// TestPartComparisons: three readings each ten minutes, the first at once.
func TestPartComparisons(t *testing.T) {
	for minutes, want := range map[int]int{60: 18, 61: 21, 70: 21} {
		if got := (part{5, 5 + minutes}).comparisons(); got != want {
			t.Errorf("%v: %d, want %d", time.Duration(minutes)*time.Minute, got, want)
		}
	}
}
