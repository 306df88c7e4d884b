package household

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// Source: Commission Regulation (EU) 814/2013, Annex III Table 1, as said in
// each row of the file.
func TestTappingProfilesMatchTheirPublishedTotals(t *testing.T) {
	f, err := os.Open("data/eu_tapping_totals.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) != 5 {
		t.Fatalf("%d rows, error %v", len(rows), err)
	}
	for _, row := range rows[1:] {
		p, err := TappingProfile(row[0])
		if err != nil {
			t.Fatal(err)
		}
		draws := p.Day(Date{2025, 1, 1}, nil)
		if want, _ := strconv.Atoi(row[2]); len(draws) != want {
			t.Errorf("%s: %d draws, want %d", p, len(draws), want)
		}
		heatJ := 0.0
		for i, d := range draws {
			heatJ += d.HeatJ(10)
			if i > 0 && d.At <= draws[i-1].At {
				t.Errorf("%s: draw at %v after %v", p, d.At, draws[i-1].At)
			}
			// The regulation keeps the night quiet.
			if d.At < 7*time.Hour || d.At > 21*time.Hour+30*time.Minute || d.FlowLMin < 3 || d.TapC < d.UsefulC {
				t.Errorf("%s: %+v", p, d)
			}
		}
		if want, _ := strconv.ParseFloat(row[1], 64); math.Abs(heatJ/3.6e6-want) > 1e-6 {
			t.Errorf("%s: %.4f kWh, want %g", p, heatJ/3.6e6, want)
		}
		// The same heat as litres at 60 degC over 10, in the file.
		litres := heatJ / waterJPerLK / 50
		if want, _ := strconv.ParseFloat(row[4], 64); math.Abs(litres-want) > 0.01 {
			t.Errorf("%s: %.2f litres at 60 degC, want %g", p, litres, want)
		}
	}
	if _, err := TappingProfile("XXXL"); err == nil {
		t.Error("a profile that does not exist was found")
	}
}

func TestPeopleUseWhatThePlanningFigureSays(t *testing.T) {
	p := People{Persons: 3, LitresAt60: 40, Seed: 4}
	var heatJ float64
	const days = 2000
	date, counts := Date{2024, 1, 1}, map[int]int{}
	for range days {
		draws := p.Day(date, nil)
		counts[len(draws)]++
		for i, d := range draws {
			heatJ += d.HeatJ(10)
			if i > 0 && d.At < draws[i-1].At || d.At < 0 || d.At >= 24*time.Hour || d.For <= 0 {
				t.Fatalf("%v: %+v", date, d)
			}
		}
		date = date.next()
	}
	want := 3 * 40 * waterJPerLK * 50.0
	if got := heatJ / days; math.Abs(got-want) > 0.03*want {
		t.Errorf("%.2f kWh a day, want %.2f", got/3.6e6, want/3.6e6)
	}
	if len(counts) < 8 {
		t.Errorf("days hardly differ: %v", counts)
	}
}

func TestHolidaysAndGuests(t *testing.T) {
	p := People{Persons: 2, LitresAt60: 40, Seed: 4,
		Holidays: []Span{{Date{2025, 7, 30}, Date{2025, 8, 2}}},
		Guests:   []Visit{{Span{Date{2025, 12, 24}, Date{2025, 12, 26}}, 6}}}
	if err := p.Validate(); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		date Date
		want float64
	}{
		{Date{2025, 7, 29}, 2}, {Date{2025, 7, 30}, 0}, {Date{2025, 8, 2}, 0}, {Date{2025, 8, 3}, 2},
		{Date{2025, 12, 23}, 2}, {Date{2025, 12, 25}, 8}, {Date{2025, 12, 27}, 2},
	} {
		if got := p.personsOn(c.date); got != c.want {
			t.Errorf("%v: %g persons, want %g", c.date, got, c.want)
		}
	}
	if got := p.Day(Date{2025, 8, 1}, nil); len(got) != 0 {
		t.Errorf("%d draws on a holiday", len(got))
	}
	for _, bad := range []People{
		{Persons: 0, LitresAt60: 40}, {Persons: math.NaN(), LitresAt60: 40}, {Persons: 2, LitresAt60: 1000},
		{Persons: 2, LitresAt60: 40, Holidays: []Span{{Date{2025, 8, 2}, Date{2025, 8, 1}}}},
	} {
		if bad.Validate() == nil {
			t.Errorf("%+v was taken", bad)
		}
	}
}

func TestSameSeedSameDay(t *testing.T) {
	a := People{Persons: 3, LitresAt60: 40, Seed: 1}
	b := a
	b.Seed = 2
	date := Date{2025, 5, 5}
	first, again, other := a.Day(date, nil), a.Day(date, nil), b.Day(date, nil)
	if len(first) == 0 || len(first) != len(again) {
		t.Fatal("one seed gave two days")
	}
	same := len(first) == len(other)
	for i := range first {
		if first[i] != again[i] {
			t.Fatal("one seed gave two days")
		}
		same = same && first[i] == other[i]
	}
	if same {
		t.Error("two seeds gave one day")
	}
}

// Whatever the steps, a day's litres are all drawn, each draw ends once, and
// none is drawn twice.
func TestTapsDrawEverythingOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := People{Persons: 4, LitresAt60: 50, Seed: rapid.Uint64().Draw(t, "seed")}
		start := time.Date(2025, 3, 28, 0, 0, 0, 0, time.UTC)
		taps, err := NewTaps(p, start, nil)
		if err != nil {
			t.Fatal(err)
		}
		litres, ends := 0.0, 0
		now := time.Duration(0)
		const days = 3
		for now < days*24*time.Hour+time.Hour {
			step := time.Duration(rapid.Int64Range(1e8, 9e11).Draw(t, "step"))
			for _, part := range taps.Between(now, now+step) {
				if part.Litres < 0 {
					t.Fatalf("%g litres", part.Litres)
				}
				if part.Run.begin < days*24*time.Hour {
					litres += part.Litres
					if part.Last {
						ends++
					}
				}
			}
			now += step
		}
		want, draws := 0.0, 0
		date := DateOf(start)
		for range days {
			for _, d := range p.Day(date, nil) {
				want += d.Litres()
				draws++
			}
			date = date.next()
		}
		if math.Abs(litres-want) > 1e-6*want || ends != draws {
			t.Fatalf("%g litres in %d draws, want %g in %d", litres, ends, want, draws)
		}
	})
}

// Clocks go forward at 02:00 on 30 March 2025 and back at 03:00 on 26 October
// in central Europe (EU directive 2000/84/EC): a draw at seven stays at seven.
func TestTapsFollowTheWallClock(t *testing.T) {
	zone, err := time.LoadLocation("Europe/Rome")
	if err != nil {
		t.Skip("no time zone data here:", err)
	}
	p, err := TappingProfile("S")
	if err != nil {
		t.Fatal(err)
	}
	start := time.Date(2025, 3, 29, 0, 0, 0, 0, zone)
	taps, err := NewTaps(p, start, zone)
	if err != nil {
		t.Fatal(err)
	}
	draws := 0
	for now := time.Duration(0); now < 3*24*time.Hour; now += time.Minute {
		for _, part := range taps.Between(now, now+time.Minute) {
			if !part.Last {
				continue
			}
			draws++
			local := start.Add(part.Run.begin).In(zone)
			wall := time.Duration(local.Hour())*time.Hour + time.Duration(local.Minute())*time.Minute
			if wall != part.Run.At {
				t.Errorf("draw of %v began at %v", part.Run.At, local)
			}
		}
	}
	if draws != 33 {
		t.Errorf("%d draws in three days, want 33", draws)
	}
}

func TestTapsAllocateNothingOnceWarm(t *testing.T) {
	p := People{Persons: 4, LitresAt60: 50, Seed: 3}
	taps, err := NewTaps(p, time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC), nil)
	if err != nil {
		t.Fatal(err)
	}
	now := time.Duration(0)
	step := func() {
		taps.Between(now, now+10*time.Second)
		now += 10 * time.Second
	}
	for range 400 * 8640 {
		step()
	}
	if got := testing.AllocsPerRun(50000, step); got > 0.001 {
		t.Errorf("%g allocations a step", got)
	}
}

// A span of the year 0 comes every year, over the turn of the year too.
func TestYearlySpans(t *testing.T) {
	summer := Span{Date{0, 8, 2}, Date{0, 8, 15}}
	winter := Span{Date{0, 12, 23}, Date{0, 1, 2}}
	for _, c := range []struct {
		span Span
		date Date
		want bool
	}{
		{summer, Date{2025, 8, 1}, false}, {summer, Date{2025, 8, 2}, true}, {summer, Date{2031, 8, 15}, true}, {summer, Date{2025, 8, 16}, false},
		{winter, Date{2025, 12, 22}, false}, {winter, Date{2025, 12, 31}, true}, {winter, Date{2026, 1, 2}, true}, {winter, Date{2026, 1, 3}, false},
	} {
		if got := c.span.Holds(c.date); got != c.want {
			t.Errorf("%v holds %v: %v", c.span, c.date, got)
		}
	}
	if err := (People{Persons: 2, LitresAt60: 40, Holidays: []Span{winter}}).Validate(); err != nil {
		t.Error(err)
	}
}
