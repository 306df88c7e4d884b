package household

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"strconv"
	"testing"
	"time"
)

// Source: UK SAP 2009/2012, Table 1c (testdata/uk_monthly_factors.json, read
// second hand). The table goes in steps of 0.04 and stands still for two months
// twice; a wave through it is off by up to 0.02.
func TestSeasonsFollowTheMonthlyFactors(t *testing.T) {
	data, err := os.ReadFile("testdata/uk_monthly_factors.json")
	if err != nil {
		t.Fatal(err)
	}
	var table struct {
		Factor []float64 `json:"volume_factor"`
	}
	if err := json.Unmarshal(data, &table); err != nil || len(table.Factor) != 12 {
		t.Fatalf("%d months, error %v", len(table.Factor), err)
	}
	for _, southern := range []bool{false, true} {
		p := People{WinterMore: UsualWinterMore, Southern: southern}
		for month, want := range table.Factor {
			got, days := 0.0, 0.0
			for d := (Date{2025, time.Month(month + 1), 1}); int(d.Month) == month+1; d = d.next() {
				got += p.season(d)
				days++
			}
			if southern {
				want = 2 - want
			}
			if got /= days; math.Abs(got-want) > 0.02 {
				t.Errorf("month %d, south %v: %.3f, the table has %.2f", month+1, southern, got, want)
			}
		}
	}
}

// The seasons are felt in the draws, and the year stays what the planning figure
// says.
func TestPeopleDrawMoreInWinter(t *testing.T) {
	p := People{Persons: 4, LitresAt60: 45, WinterMore: 0.3, Seed: 3}
	if err := p.Validate(); err != nil {
		t.Fatal(err)
	}
	var winterJ, summerJ, yearJ, days float64
	for d := (Date{2001, 1, 1}); d.Year < 2011; d = d.next() {
		heatJ := 0.0
		for _, draw := range p.Day(d, nil) {
			heatJ += draw.HeatJ(10)
		}
		yearJ, days = yearJ+heatJ, days+1
		switch d.Month {
		case time.December, time.January:
			winterJ += heatJ
		case time.June, time.July:
			summerJ += heatJ
		}
	}
	// By 1.29 to 0.71 in the mean of those months; chance moves it by some 0.05.
	if ratio := winterJ / summerJ; ratio < 1.65 || ratio > 2 {
		t.Errorf("winter draws %.2f times as much as summer", ratio)
	}
	if want := 4 * 45 * waterJPerLK * 50.0; math.Abs(yearJ/days-want) > 0.03*want {
		t.Errorf("%.2f kWh a day, want %.2f", yearJ/days/3.6e6, want/3.6e6)
	}
	p.WinterMore = 0.6
	if p.Validate() == nil {
		t.Error("60 % more in winter is taken")
	}
}

// patternDay is a published draw pattern as a Source.
type patternDay []Draw

func (p patternDay) Day(_ Date, into []Draw) []Draw { return append(into, p...) }

// Source: the 24-hour draw patterns of 10 CFR 430, subpart B, appendix E
// (testdata/us_draw_patterns.csv, from memory; the days add up to 55 and 84 US
// gallons). The taps give out every draw at its time, at its flow and whole,
// whatever the step; and the heat of the medium day is that of a usual household
// by the planning figures.
func TestDrawPatterns(t *testing.T) {
	f, err := os.Open("testdata/us_draw_patterns.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	number := func(text string) float64 {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	patterns, gallons := map[string]patternDay{}, map[string]float64{}
	for _, row := range rows[1:] {
		at, err := time.Parse("15:04", row[1])
		if err != nil {
			t.Fatal(err)
		}
		litres, flow := number(row[4]), number(row[5])
		// Columns in two units must say the same, to the digits printed.
		if math.Abs(litres-3.785412*number(row[2])) > 0.006 || math.Abs(flow-3.785412*number(row[3])) > 0.006 {
			t.Errorf("%v: litres and gallons differ", row[:6])
		}
		gallons[row[0]] += number(row[2])
		patterns[row[0]] = append(patterns[row[0]], Draw{
			At:  time.Duration(at.Hour())*time.Hour + time.Duration(at.Minute())*time.Minute,
			For: time.Duration(litres / flow * float64(time.Minute)), FlowLMin: flow, TapC: 51.7,
		})
	}
	for name, want := range map[string]float64{"medium": 55, "high": 84} {
		if math.Abs(gallons[name]-want) > 1e-9 {
			t.Errorf("%s: %g gallons, want %g", name, gallons[name], want)
		}
		for _, step := range []time.Duration{10 * time.Second, 7 * time.Minute} {
			got := playDay(t, patterns[name], step)
			if math.Abs(got-3.785412*want) > 0.05 {
				t.Errorf("%s in steps of %v: %.2f litres, want %.2f", name, step, got, 3.785412*want)
			}
		}
	}
	// 55 gallons warmed by 67 degF (14.4 to 51.7 degC, the test's temperatures, from
	// memory) are what three to four persons use by the planning figures.
	mediumJ := 3.785412 * 55 * waterJPerLK * 67 / 1.8
	if persons := mediumJ / (45 * waterJPerLK * 50); persons < 3 || persons > 4 {
		t.Errorf("the medium pattern is the day of %.1f persons", persons)
	}
}

// playDay gives the litres of a day and checks that each draw comes at its time.
func playDay(t *testing.T, day patternDay, step time.Duration) (litres float64) {
	t.Helper()
	taps, err := NewTaps(day, time.Date(2025, 2, 3, 0, 0, 0, 0, time.UTC), nil)
	if err != nil {
		t.Fatal(err)
	}
	begun := 0
	for now := time.Duration(0); now < 24*time.Hour; now += step {
		for _, part := range taps.Between(now, now+step) {
			if part.Run.begin >= 24*time.Hour {
				continue // of the next day
			}
			litres += part.Litres
			if part.First {
				begun++
				if part.Run.At < now || part.Run.At >= now+step {
					t.Errorf("the draw of %v begins between %v and %v", part.Run.At, now, now+step)
				}
			}
		}
	}
	if begun != len(day) {
		t.Errorf("%d draws begin, want %d", begun, len(day))
	}
	return litres
}
