package sim

import (
	"strings"
	"testing"
	"time"

	"sunstoker/sim/plant"
)

// pair are two 300 l systems: the first without heater, the second with one.
func pair(t testing.TB, series bool) *House {
	c := usualHouse(t, northItaly())
	second := c.Systems[0]
	second.Name = "backup"
	c.Systems[0].Plant.HeaterW = 0
	c.Systems = append(c.Systems, second)
	c.DrawsInSeries = series
	return build(t, c)
}

// runPair heats the second tank to 60 degC and drives both pumps for a while.
func runPair(h *House, span time.Duration) {
	var pumps, heater [2]bool
	for h.Elapsed() < span {
		for i := range pumps {
			differenceK := h.Truth(i).CollectorC - h.TankC(i, 0.2)
			pumps[i] = differenceK > 8 || pumps[i] && differenceK > 3
			level := 0.0
			if pumps[i] && h.TankC(i, 0.85) < 85 {
				level = 1
			}
			h.SetPump(i, level)
		}
		topC := h.TankC(1, 0.85)
		heater[1] = topC < 55 || heater[1] && topC < 60
		h.SetHeater(1, heater[1])
		h.Advance(h.Elapsed() + time.Minute)
	}
}

// In series the lukewarm water of the first tank preheats the second: no draw
// is short, and the heater gives less than with half the draws taken from a tank
// that only the winter sun heats. Both books add up to what came to the taps.
func TestPreheatingInSeries(t *testing.T) {
	const span = 20 * 24 * time.Hour
	series, parallel := pair(t, true), pair(t, false)
	runPair(series, span)
	runPair(parallel, span)
	for name, h := range map[string]*House{"series": series, "parallel": parallel} {
		u := h.Usage()
		near(t, name+": heat delivered", u.DeliveredJ, h.Book(0).DrawnJ+h.Book(1).DrawnJ, 1e-9*u.DeliveredJ)
		for i := range 2 {
			near(t, name+": imbalance", h.Book(i).ImbalanceJ(), 0, 1e-9*(h.Book(i).SunJ+h.Book(i).HeaterJ))
		}
	}
	if got := series.Usage(); got.ShortDraws > 0 || got.AtTemperatureJ < 0.99*got.AskedJ {
		t.Errorf("in series: %+v", got)
	}
	if parallel.Usage().ShortDraws <= series.Usage().ShortDraws {
		t.Errorf("in parallel no draw from the tank without heater is short: %+v", parallel.Usage())
	}
	if series.Book(0).DrawnJ < 1e8 {
		t.Errorf("the first tank gave %g J", series.Book(0).DrawnJ)
	}
}

func TestSeriesTakesNoShares(t *testing.T) {
	c := usualHouse(t, northItaly())
	c.DrawsInSeries, c.Systems[0].DrawShare = true, 1
	if _, err := New(c); err == nil || !strings.Contains(err.Error(), "leave the draw shares") {
		t.Errorf("%v", err)
	}
}

// The litres that run cold are counted apart from what was wanted, and probes
// feel the ring.
func TestHouseWithACirculation(t *testing.T) {
	run := func(on bool) *House {
		c := tapped(t, plant.TypicalStore())
		c.Probes = []ProbeConfig{{Name: "ring", Place: "circulation_return"}, {Name: "line", Place: "circulation_supply"}}
		h := build(t, c)
		h.SetHeater(0, true)
		h.SetCirculation(0, on)
		h.Advance(3 * 24 * time.Hour)
		return h
	}
	on, off := run(true), run(false)
	for _, h := range []*House{on, off} {
		u, b := h.Usage(), h.Book(0)
		near(t, "drawn", u.DeliveredJ+u.ColdJ, b.DrawnJ, 1e-9*b.DrawnJ)
		near(t, "imbalance", b.ImbalanceJ(), 0, 1e-9*(b.HeaterJ+b.SunJ))
		ring, _ := h.Probe("ring")
		got, ok := ring.Read(h.Elapsed())
		if want := h.Truth(0).CirculationReturnC; !ok || got != want {
			t.Errorf("return probe reads %g, %v; it is %g", got, ok, want)
		}
	}
	if u := on.Usage(); u.ColdLitres > 1 || u.WaitS > 20 {
		t.Errorf("with the ring on: %+v", u)
	}
	// 24 draws a day through 3 litres, the basin's draws with some use of lukewarm
	// water.
	if u := off.Usage(); u.ColdLitres < 20 || u.ColdLitres > 3*24*3 || u.WaitS < 200 {
		t.Errorf("with the ring off: %+v", u)
	}
	if on.Book(0).CirculationLossJ < 2*off.Book(0).CirculationLossJ {
		t.Errorf("the ring loses %g J on and %g J off", on.Book(0).CirculationLossJ, off.Book(0).CirculationLossJ)
	}
}

func TestStepAllocatesNothingInSeries(t *testing.T) {
	h := pair(t, true)
	h.Advance(2 * 24 * time.Hour)
	if got := testing.AllocsPerRun(20000, func() { h.Step(10 * time.Second) }); got > 0.001 {
		t.Errorf("%g allocations a step", got)
	}
}
