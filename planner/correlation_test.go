package planner

import (
	"context"
	_ "embed"
	"math"
	"testing"
	"time"

	"sunstoker/sim"
	"sunstoker/sim/household"
	"sunstoker/sim/weather"
	"sunstoker/site"
	"sunstoker/site/twin"
)

//go:embed testdata/plain.toml
var plainSite []byte

// Temperature at which the correlation delivers.
const deliveredC = 60

// evenDraws wants the same water every day, in equal parts from seven to ten in
// the evening, at the delivered temperature.
type evenDraws struct{ litres float64 }

// Day implements household.Source.
func (e evenDraws) Day(_ household.Date, into []household.Draw) []household.Draw {
	const draws, minutes = 16, 4
	for i := range draws {
		into = append(into, household.Draw{
			At: time.Duration(7+i) * time.Hour, For: minutes * time.Minute,
			FlowLMin: e.litres / draws / minutes, TapC: deliveredC, UsefulC: deliveredC,
		})
	}
	return into
}

// plainSystem is a system as the correlation assumes it: pumped, tank well
// insulated, pipes that lose nothing, heater free at any time.
type plainSystem struct {
	weather func() *weather.Hourly
	place   string
	areaM2  float64
	tankL   float64
	drawnL  float64
}

// The first leastSystems of them, of both places and with the least and the most of
// area, tank and draws, are held against it each time.
var plainSystems = []plainSystem{
	{weather.NorthItaly, "north Italy", 2, 150, 150},
	{weather.NorthItaly, "north Italy", 4, 200, 300},
	{weather.Greensboro, "Greensboro", 4, 300, 200},
	{weather.Greensboro, "Greensboro", 8, 600, 300},
	{weather.NorthItaly, "north Italy", 4, 300, 200},
	{weather.NorthItaly, "north Italy", 6, 300, 200},
	{weather.Greensboro, "Greensboro", 2, 150, 150},
	{weather.Greensboro, "Greensboro", 4, 200, 300},
}

const leastSystems = 4

func (p plainSystem) name() string {
	return text("%s %g m2 %g l tank %g l a day", p.place, p.areaM2, p.tankL, p.drawnL)
}

// run makes a run of the system; change may alter the house.
func (p plainSystem) run(t *testing.T, change func(*sim.Config)) *Run {
	t.Helper()
	s, err := site.Parse("plain.toml", plainSite)
	if err != nil {
		t.Fatal(err)
	}
	sys := &s.Systems[0]
	sys.Collector.AreaM2, sys.Tank.VolumeL, sys.LoopFlowLPerMin = p.areaM2, p.tankL, p.areaM2
	config, err := twin.Config(s, twin.Options{Weather: p.weather(), Start: newYear, Step: LongestStep})
	if err != nil {
		t.Fatal(err)
	}
	config.Household = evenDraws{p.drawnL}
	// The correlation knows no pipes and no valve.
	house := &config.Systems[0].Plant
	house.HotPipe.UAWK, house.ColdPipe.UAWK, house.TemperingC = 0, 0, 0
	if change != nil {
		change(&config)
	}
	r, err := newRun(s, config, 12)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// chartShare is the correlation's share, or the end of the test.
func chartShare(t *testing.T, c *Correlation, y *Year) float64 {
	t.Helper()
	share, err := c.Share(y, deliveredC, func(m *Month) float64 { return m.AskedKWh })
	if err != nil {
		t.Fatal(err)
	}
	return share
}

// TestProofSolarShareAgainstPublishedCorrelation holds whole years, with the real
// controller, against the monthly correlation of Klein, Beckman and Duffie
// (1976) with the hot-water correction of Beckman, Klein and Duffie (1977); see
// package physics for what of it was read and what is from memory. Its authors
// give a few percent against detailed simulation on yearly totals.
//
// Both get the same light, air, mains, demand, collector (inlet form at 30 K
// above the air) and coil. The share is 1 less heat from the meter by demand, as
// the correlation counts it, so that the tank's losses are the sun's to bear.
// Nothing of the model was set with an eye on this test. Differences of
// assumption that are left: our tank keeps its layers and its top third is held
// at 60 degC by the heater, while the correlation's authors had a solar tank of
// few layers and the auxiliary heat behind it. The two pull in opposite
// directions; TestProofStirredPreheaterAgainstPublishedCorrelation shows the first
// alone.
func TestProofSolarShareAgainstPublishedCorrelation(t *testing.T) {
	skipRaced(t)
	systems := plainSystems
	if !whole() {
		systems = systems[:leastSystems]
	}
	for _, p := range systems {
		t.Run(p.name(), func(t *testing.T) {
			t.Parallel()
			r := p.run(t, nil)
			c := NewCorrelation(r)
			y := mustRun(t, r, c.See)
			total := y.Total()
			if total.ShortKWh > 0.01*total.AskedKWh {
				t.Fatalf("%.0f of %.0f kWh came too cold; the heater was to keep the temperature", total.ShortKWh, total.AskedKWh)
			}
			compare(t, 1-total.FromMeterKWh/total.AskedKWh, chartShare(t, c, y))
		})
	}
}

// TestProofStirredPreheaterAgainstPublishedCorrelation takes the arrangement that
// the correlation was made for: a solar tank without layers or heater that
// preheats, and something behind it that makes up the rest. A tank that keeps
// its layers does 3 to 9 percentage points better in the same place (measured
// with this model), which the correlation does not know.
func TestProofStirredPreheaterAgainstPublishedCorrelation(t *testing.T) {
	skipWholeYears(t)
	systems := []plainSystem{plainSystems[4], plainSystems[1], plainSystems[2]}
	if !whole() {
		systems = systems[:1]
	}
	for _, p := range systems {
		t.Run(p.name(), func(t *testing.T) {
			t.Parallel()
			r := p.run(t, func(c *sim.Config) {
				c.Systems[0].Plant.Layers, c.Systems[0].Plant.HeaterW = 1, 0
			})
			c := NewCorrelation(r)
			y := mustRun(t, r, c.See)
			total := y.Total()
			compare(t, total.DrawnKWh/total.AskedKWh, chartShare(t, c, y))
		})
	}
}

func compare(t *testing.T, got, chart float64) {
	t.Helper()
	t.Logf("solar share %.1f %%, correlation %.1f %%", 100*got, 100*chart)
	const points = 0.05
	if math.Abs(got-chart) > points {
		t.Errorf("solar share %.3f, correlation %.3f: more than %g apart", got, chart, points)
	}
}

func mustRun(t testing.TB, r *Run, observers ...func(*Run)) *Year {
	t.Helper()
	y, err := RunYear(context.Background(), r, nil, observers...)
	if err != nil {
		t.Fatal(err)
	}
	return y
}
