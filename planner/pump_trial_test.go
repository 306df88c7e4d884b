package planner

import (
	"bytes"
	"context"
	"testing"
	"time"

	"sunstoker/control"
)

// TestProofPumpsAreSpared: a spared pump starts less often and takes less
// electricity than one that is only switched by its two differences, and brings
// nearly all of its heat: in two months of spring, and in whole years of eight places
// by the medians.
func TestProofPumpsAreSpared(t *testing.T) {
	if testing.Short() {
		t.Skip("long simulations")
	}
	skipRaced(t)
	places, from, months := pumpPlaces[:1], time.April, 2
	if whole() {
		places, from, months = pumpPlaces, time.January, 12
	}
	cases, err := tryPumps(context.Background(), pumpLoops, places, from, months, fully)
	if err != nil {
		t.Fatal(err)
	}
	var table bytes.Buffer
	writePumpTable(&table, cases)
	t.Logf("\n%s", &table)
	var starts, pumps, suns []float64
	for i := range cases {
		c := &cases[i]
		pump, sun := c.shares()
		before, now := startsADay(c.plain.Months...), startsADay(c.spared.Months...)
		if pump > 0.96 || sun < 0.97 || now > 0.95*before {
			t.Errorf("%s, %s: %.3f of the pump's electricity, %.3f of the sun's heat, %.1f starts a day instead of %.1f", c.loop, c.place, pump, sun, now, before)
		}
		starts, pumps, suns = append(starts, now), append(pumps, pump), append(suns, sun)
	}
	t.Logf("proof: starts of a spared loop pump, in the middle of %d cases = %.1f a day", len(cases), median(starts))
	t.Logf("proof: its electricity, of that of a switched one = %.1f %%", 100*median(pumps))
	t.Logf("proof: its heat from the sun, of that of a switched one = %.1f %%", 100*median(suns))
	if !whole() {
		return
	}
	if median(starts) > 8 || median(pumps) > 0.8 || median(suns) < 0.99 {
		t.Errorf("in the middle %.1f starts a day, %.3f of the pump's electricity and %.3f of the sun's heat; want at most 8 and 0.8, at least 0.99", median(starts), median(pumps), median(suns))
	}
}

// TestProofUsualSavingCostsNothing: where nobody has said how far the pump is spared,
// no kind of plant takes more electricity, pump and heater together, than with a
// plain pump. Two months of spring in a cloudy place, in a proof in a sunny one too.
func TestProofUsualSavingCostsNothing(t *testing.T) {
	if testing.Short() {
		t.Skip("long simulations")
	}
	skipRaced(t)
	places := []pumpPlace{pumpPlaces[5], pumpPlaces[0]}
	if !whole() {
		places = places[:1]
	}
	cases, err := tryPumps(t.Context(), pumpLoops, places, time.April, 2, func(*control.Settings) {})
	if err != nil {
		t.Fatal(err)
	}
	const scatterKWh = 1 // a heat-up that falls on another day
	for i := range cases {
		c := &cases[i]
		plain, spared := c.plain.Total(), c.spared.Total()
		more := spared.PumpKWh + spared.FromMeterKWh - plain.PumpKWh - plain.FromMeterKWh
		t.Logf("%s, %s: %+.1f kWh for the pump, %+.1f kWh in all", c.loop, c.place, spared.PumpKWh-plain.PumpKWh, more)
		if more > scatterKWh {
			t.Errorf("%s, %s: %.1f kWh more electricity", c.loop, c.place, more)
		}
	}
}
