package station

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"sunstoker/control"
)

// span is a stretch of a run: how long it lasts, what the wall clock shows at
// its end, and whether the board trusts it.
type span struct {
	lasts   time.Duration
	shows   time.Time
	trusted bool
}

// hygieneAge is the controller's age of the last hygiene heat-up.
func hygieneAge(t *testing.T, s *Station) time.Duration {
	t.Helper()
	data, err := s.ctl.SaveState()
	if err != nil {
		t.Fatal(err)
	}
	var st control.State
	if err := json.Unmarshal(data, &st); err != nil {
		t.Fatal(err)
	}
	return st.Systems[0].HygieneSince
}

// TestProofOutagesAndClocks: runs of one site, one after the other, with clocks
// that are right, wrong, late or never set. What the hygiene heat-up has aged
// beyond the time of the runs is the time that nobody ran.
func TestProofOutagesAndClocks(t *testing.T) {
	const hour, days = time.Hour, 24 * time.Hour
	at := func(after time.Duration) time.Time { return noon.Add(after) }
	y1970 := time.Unix(0, 0).UTC()
	cases := []struct {
		name string
		runs [][]span
		away time.Duration
	}{
		{"both clocks right", [][]span{{{hour, at(hour), true}}, {{hour, at(10*days + hour), true}}}, 10*days - hour},
		{"a restart at once", [][]span{{{hour, at(hour), true}}, {{hour, at(2 * hour), true}}}, 0},
		{"the board wakes in 1970 and is set after two hours", [][]span{
			{{hour, at(hour), true}},
			{{2 * hour, y1970.Add(2 * hour), false}, {hour, at(10*days + 3*hour), true}},
		}, 10*days - hour},
		{"the board wakes in 1970 and is never set", [][]span{
			{{hour, at(hour), true}}, {{2 * hour, y1970.Add(2 * hour), false}},
		}, 0},
		{"no earlier run has trusted its clock", [][]span{
			{{hour, y1970.Add(hour), false}}, {{hour, at(10 * days), true}},
		}, 0},
		{"the clock lost its trust before the outage", [][]span{
			{{hour, at(hour), true}, {3 * hour, at(days), false}},
			{{hour, at(10*days + 5*hour), true}},
		}, 10 * days},
		{"two outages with a run between that knew no time", [][]span{
			{{hour, at(hour), true}},
			{{5 * hour, y1970.Add(5 * hour), false}},
			{{hour, at(20*days + 7*hour), true}},
		}, 20 * days},
		{"two outages", [][]span{
			{{hour, at(hour), true}}, {{hour, at(2*days + 2*hour), true}}, {{hour, at(5*days + 3*hour), true}},
		}, 5 * days},
		{"the clock comes back ten years early", [][]span{
			{{hour, at(hour), true}}, {{hour, at(hour).AddDate(-10, 0, 0), true}},
		}, 0},
		{"the clock comes back ten years late", [][]span{
			{{hour, at(hour), true}}, {{hour, at(hour).AddDate(10, 0, 0), true}},
		}, control.LongestAway},
		{"an hour on, in the middle of a run", [][]span{
			{{hour, at(hour), true}}, {{hour, at(2 * hour), true}, {hour, at(4 * hour), true}, {hour, at(4 * hour), true}},
		}, 0},
		{"ten years back and right again, in the middle of a run", [][]span{
			{{hour, at(hour), true}, {hour, at(2*hour).AddDate(-10, 0, 0), true}, {hour, at(3 * hour), true}},
			{{hour, at(4*hour + days), true}},
		}, days},
		{"saved by a clock that stood ten years early", [][]span{
			{{hour, at(hour).AddDate(-10, 0, 0), true}}, {{hour, at(2 * hour), true}},
		}, control.LongestAway},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			d := newCardDisk()
			age, ran := time.Duration(0), time.Duration(0)
			for _, run := range c.runs {
				r := onCard(t, d)
				first := run[0]
				r.startWall(control.Wall{Time: first.shows.Add(-first.lasts), Trusted: first.trusted})
				now := time.Duration(0)
				for _, s := range run {
					ticks := r.kept.count()
					now += s.lasts
					r.toWall(now, control.Wall{Time: s.shows, Trusted: s.trusted})
					if n := r.kept.count() - ticks; n != int(s.lasts/time.Second) {
						t.Errorf("%d ticks in %v", n, s.lasts)
					}
				}
				ran += now
				age = hygieneAge(t, r.station)
				if err := r.end(); err != nil {
					t.Fatal(err)
				}
			}
			if got := age - ran; got != c.away {
				t.Errorf("nobody ran for %v, and the controller heard of %v", c.away, got)
			}
		})
	}
	t.Logf("proof: outages with clocks right, wrong, late or never set = %d cases", len(cases))
}

func TestAClockThatStandsBeforeTheLastOneIsTold(t *testing.T) {
	d := newCardDisk()
	live(t, d, never)
	r := onCard(t, d)
	r.startWall(control.Wall{Time: noon.AddDate(-10, 0, 0), Trusted: true})
	if !strings.Contains(r.log.String(), "nobody knows how long the station was away") {
		t.Error("the log says nothing")
	}
}
