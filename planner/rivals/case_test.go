package rivals

import (
	"math"
	"testing"
	"time"

	"sunstoker/sim/household"
	"sunstoker/sim/weather"
)

// TestCasesShareNothing: people and weather of tuning, reporting and the years
// before are different ones, and every house can be built.
func TestCasesShareNothing(t *testing.T) {
	seen := map[uint64]string{}
	for name, all := range map[string][]Case{"tuning": Train(MostSeeds), "reporting": Report(MostSeeds)} {
		if len(all) < 16 {
			t.Errorf("%d cases for %s", len(all), name)
		}
		for _, c := range all {
			for _, year := range []Case{c, c.lastYear()} {
				if other, ok := seen[year.PeopleSeed]; ok {
					t.Errorf("the people of %s, %s are those of %s", name, year.Name(), other)
				}
				seen[year.PeopleSeed] = name + ", " + year.Name()
			}
		}
	}
	for _, c := range Report(1) { // the houses of other seeds differ in people and weather alone
		if _, _, err := groundOf(t, c).build(thermostat(50)); err != nil {
			t.Error(err)
		}
	}
}

// TestPeopleTakeTheSameHeatAtOneTemperature, baths aside.
func TestPeopleTakeTheSameHeatAtOneTemperature(t *testing.T) {
	people := household.People{Persons: 4, LitresAt60: 40, Seed: 3}
	all, showers := oneTemperature{people, tapC, false}, oneTemperature{people, tapC, true}
	var plainJ, sameJ, showersJ float64
	for day := range 300 {
		date := household.Date{Year: 2026, Month: time.January, Day: 1 + day}
		for _, d := range people.Day(date, nil) {
			plainJ += d.HeatJ(planningColdC)
		}
		for _, d := range all.Day(date, nil) {
			if sameJ += d.HeatJ(planningColdC); d.TapC != tapC {
				t.Fatalf("%+v is wanted", d)
			}
		}
		for _, d := range showers.Day(date, nil) {
			if showersJ += d.HeatJ(planningColdC); d.FlowLMin > 10 {
				t.Fatalf("%+v is a bath", d)
			}
		}
	}
	if math.Abs(sameJ/plainJ-1) > 1e-9 {
		t.Errorf("%g J at one temperature, %g J as people want it", sameJ, plainJ)
	}
	if share := showersJ / plainJ; share < 0.8 || share > 0.95 {
		t.Errorf("without baths %.2f of the heat is left; baths are about an eighth", share)
	}
}

// TestReorderedYearKeepsItsClimate: another order of days leaves the year's light
// and air about the same, changes the days, and is the same each time.
func TestReorderedYearKeepsItsClimate(t *testing.T) {
	plain := weather.NorthItaly()
	mixed, again := &reordered{weather.NorthItaly(), 7}, &reordered{weather.NorthItaly(), 7}
	var plainWh, mixedWh, plainC, mixedC, hours, changed float64
	for at := time.Date(2026, 1, 1, 0, 30, 0, 0, time.UTC); at.Year() == 2026; at = at.Add(time.Hour) {
		a, b := plain.At(at), mixed.At(at)
		if b != again.At(at) {
			t.Fatal("the same seed gives other weather")
		}
		plainWh += a.GlobalHorizontalWM2
		mixedWh += b.GlobalHorizontalWM2
		plainC += a.AirC
		mixedC += b.AirC
		if hours++; a != b {
			changed++
		}
	}
	if math.Abs(mixedWh/plainWh-1) > 0.06 || math.Abs(mixedC-plainC)/hours > 0.8 {
		t.Errorf("light %.0f instead of %.0f kWh/m2, air %.1f instead of %.1f degC", mixedWh/1000, plainWh/1000, mixedC/hours, plainC/hours)
	}
	if changed < 0.8*hours {
		t.Errorf("only %.0f of %.0f hours have changed", changed, hours)
	}
}

// TestFirstSeedIsThePublishedYear: of the open typical years the table's first seed
// takes the published order of days, further ones and tuning take others.
func TestFirstSeedIsThePublishedYear(t *testing.T) {
	for i, c := range Report(2) {
		if published := c.WeatherSeed == 0; published != (c.climate.typical != nil && i < len(setups)) {
			t.Errorf("case %d, %s: published %v", i, c.Name(), published)
		}
	}
	for _, c := range Train(2) {
		if c.WeatherSeed == 0 {
			t.Errorf("%s is tuned on the published year", c.Name())
		}
	}
}
