package control

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"
)

// dearDays is 0.30 a kWh, from ten in the evening to six 0.10, and at midday 0.20.
func dearDays(p *Plan) {
	p.PricePerKWh = 0.30
	p.Prices = []Price{{Windows{{22 * 60, 6 * 60}}, 0.10}, {Windows{{12 * 60, 14 * 60}}, 0.20}}
}

func TestTariffCoversTheDay(t *testing.T) {
	p := testPlan(1, dearDays)
	if got, want := fmt.Sprint(tariffOf(&p)), "[{0 0.1} {360 0.3} {720 0.2} {840 0.3} {1320 0.1}]"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	for name, c := range map[string]struct {
		prices []Price
		want   string
	}{
		"none": {nil, "[]"}, "one that changes nothing": {[]Price{{Windows{{60, 120}}, 0.30}}, "[]"},
		"one for all day": {[]Price{{Windows{{0, dayMinutes}}, 0.2}}, "[]"},
		"the last counts": {[]Price{{Windows{{60, 180}}, 0.2}, {Windows{{120, 240}}, 0.1}}, "[{0 0.3} {60 0.2} {120 0.1} {240 0.3}]"},
		"from midnight":   {[]Price{{Windows{{0, 1}}, 0.2}}, "[{0 0.2} {1 0.3}]"},
	} {
		p := Plan{PricePerKWh: 0.30, Prices: c.prices}
		if got := fmt.Sprint(tariffOf(&p)); got != c.want {
			t.Errorf("%s: %s, want %s", name, got, c.want)
		}
	}
}

// TestMeanPrice, worked by hand.
func TestMeanPrice(t *testing.T) {
	p := testPlan(1, dearDays)
	tariff := tariffOf(&p)
	for _, c := range []struct{ minute, minutes, want float64 }{
		{0, 60, 0.10}, {359, 0, 0.10}, {360, 0, 0.30}, {719.5, 0, 0.30}, {720, 0, 0.20}, {1439, 0, 0.10}, {1440 + 360, 0, 0.30},
		{330, 60, 0.20}, {345, 60, 0.25}, {700, 40, 0.25}, {700, 200, (20*0.3 + 120*0.2 + 60*0.3) / 200},
		{1300, 40, 0.20}, {1380, 120, 0.10}, {1380, 8 * 60, (7*0.1 + 0.3) / 8}, {1440 + 330, 60, 0.20},
		{359.5, 1, 0.20}, {359, 0.5, 0.10}, // short of a minute, and over a border
		{0, 1440, (8*0.1 + 2*0.2 + 14*0.3) / 24}, {700, 1440, (8*0.1 + 2*0.2 + 14*0.3) / 24}, {700, 2880, (8*0.1 + 2*0.2 + 14*0.3) / 24},
	} {
		near(t, fmt.Sprintf("%g min from %g on", c.minutes, c.minute), tariff.mean(c.minute, c.minutes), c.want)
	}
}

// TestDearerLater: the part by which power costs less now than then; worked by hand.
func TestDearerLater(t *testing.T) {
	p := testPlan(1, dearDays)
	free := tariff{{0, 0}, {360, 0.3}, {720, 0}}
	for _, c := range []struct {
		tariff        tariff
		minute, later int
		want          float64
	}{
		{tariffOf(&p), 300, 60, 2.0 / 3}, {tariffOf(&p), 300, 59, 0}, {tariffOf(&p), 1320, 14 * 60, 0.5}, {tariffOf(&p), 720, 120, 1.0 / 3},
		{tariffOf(&p), 1200, 11 * 60, 0}, {tariffOf(&p), 600, 120, 0}, {nil, 300, 60, 0},
		{free, 0, 360, 1}, {free, 360, 360, 0}, {free, 0, 1, 0},
	} {
		near(t, fmt.Sprintf("%v, %d min after %s", c.tariff, c.later, clock(c.minute)), c.tariff.dearer(c.minute, c.later), c.want)
	}
}

// TestMoreIsKeptReadyForDearHours: for 1 kWh between nine and ten, or three and four,
// out of half a tank at 60 degC, which is enough while power costs the same all day;
// worked by hand.
func TestMoreIsKeptReadyForDearHours(t *testing.T) {
	// lasts is how long the water above the heater takes from 60 degC to a need, min.
	lasts := func(needKWh float64) float64 { return (10 + needKWh*jPerKWh/halfTankJK - 60) * halfTankJK / 2000 / 60 }
	reserve := func(part float64) float64 {
		return 1 + (readyAt99+dearDeviations*part)*math.Sqrt(usualBurst)
	}
	for _, c := range []struct {
		name         string
		prices       change
		minute, hour int
		want         float64 // minutes until it starts; below 0 for never
	}{
		{"one price", func(*Plan) {}, 5 * 60, 9, -1},
		{"the last cheap hours", dearDays, 4 * 60, 9, 120 - lasts(reserve(2.0/3))},
		{"the cheap night", dearDays, 0, 9, 360 - lasts(reserve(2.0/3))},
		{"as soon as it is dear", dearDays, 6 * 60, 9, -1},
		{"the cheaper midday", dearDays, 12 * 60, 15, 120 - lasts(reserve(1.0/3))},
		{"dear, before that", dearDays, 11 * 60, 15, -1},
	} {
		p := newPlanHouse(t, c.prices)
		p.c.minute, p.s.set.HeaterStopC = c.minute, 95
		p.s.figures.lossWK = 1e-4 // so little that it alone speaks for being late
		p.water(10, 10, 10, 10, 10, 60)
		p.draws(c.hour, 1)
		got := -1.0
		if p.c.planHeater(p.s); p.m.Starts {
			got = p.m.StartIn.Minutes()
		}
		if math.Abs(got-c.want) > 0.05 {
			t.Errorf("%s: %s, want in %.2f min", c.name, p.plan(), c.want)
		}
	}
	p := newPlanHouse(t, dearDays)
	p.c.minute, p.s.set.HeaterStopC = 5*60+30, 75
	p.water(10, 10, 10, 10, 10, 60)
	p.draws(9, 1)
	if p.c.planHeater(p.s); !p.m.Heat || !p.m.Ahead {
		t.Errorf("in the last cheap half hour it heats %v, ahead %v", p.m.Heat, p.m.Ahead)
	}
	p.m.Heat = false
	p.sun(9, 15, 1) // which spares so much of what is kept ready that the half is enough
	if p.c.planHeater(p.s); p.m.Starts {
		t.Errorf("before a day of sun: %s", p.plan())
	}
}

// TestCheapestStart: a heating of an hour and 2 kWh, planned at midnight, with
// prices of dearDays; worked by hand.
func TestCheapestStart(t *testing.T) {
	const hour = 3600.0
	for _, c := range []struct {
		name   string
		minute int
		latest float64
		lossW  float64
		want   float64
	}{
		{"at night", 0, 3 * hour, 20, 3 * hour},
		{"in the morning: as the cheap night ends", 0, 8 * hour, 20, 5 * hour},
		{"though it costs no loss to be earlier", 0, 8 * hour, 0, 5 * hour},
		{"over the end of the night", 0, 5.5 * hour, 20, 5 * hour},
		{"at midday", 7 * 60, 8 * hour, 20, 6 * hour},
		{"in the evening, planned in the morning: at midday", 7 * 60, 12 * hour, 20, 6 * hour},
		{"in the evening: at night all the same", 0, 21 * hour, 20, 5 * hour},
		{"as the night begins", 12 * 60, 10 * hour, 20, 10 * hour},
		{"after that", 12 * 60, 11 * hour, 20, 11 * hour},
		// Held from one to seven, 350 W lose 2.1 kWh: 0.82 against 0.60.
		{"what is lost costs more than is saved", 7 * 60, 12 * hour, 350, 12 * hour},
		{"the next morning, planned by day: as the coming night ends", 7 * 60, 25 * hour, 20, 22 * hour},
		{"the day after: in the last of two nights", 0, 32 * hour, 20, 29 * hour},
		{"likewise where holding costs nothing", 0, 32 * hour, 0, 29 * hour},
		{"now, though it is late", 0, 0, 20, 0},
		{"overdue", 0, -hour, 20, -hour},
	} {
		p := newPlanHouse(t, dearDays)
		p.c.minute = c.minute
		h := heating{latest: c.latest, heatJ: 2 * jPerKWh, lasts: hour, lossW: c.lossW}
		if got := p.c.cheapest(&h, &outlook{}); got != c.want {
			t.Errorf("%s: in %.2f h, want in %.2f h", c.name, got/hour, c.want/hour)
		}
	}
}

// TestSunOutdoesCheapPower: a heating of 2 kWh for nine o'clock costs 0.20 at night;
// by day it costs 0.30 a kWh, of what the sun has not brought.
func TestSunOutdoesCheapPower(t *testing.T) {
	const hour = 3600.0
	p := newPlanHouse(t, dearDays)
	p.c.minute = 0
	h := heating{latest: 9 * hour, heatJ: 2 * jPerKWh, lasts: hour}
	for moreKWh, want := range map[float64]float64{0: 5, 1.3: 5, 1.4: 9, 3: 9} { // at 1.33 both cost the same
		o := outlook{}
		o.sunKWh[30], o.sureKWh[30] = moreKWh+1, 1
		if got := p.c.cheapest(&h, &o); got != want*hour {
			t.Errorf("with %g kWh more of sun: in %.2f h, want in %g h", moreKWh, got/hour, want)
		}
	}
}

// TestSunBeforeAStart: what the sun brings in the quarters that have begun by the
// start need not be heated, as far as it is foreseen, a day and a half; worked by hand.
func TestSunBeforeAStart(t *testing.T) {
	const quarter = 900.0
	p := newPlanHouse(t, dearDays)
	p.c.minute = 0
	o := outlook{}
	for i := range outlookFar {
		o.sunKWh[i], o.sureKWh[i] = 0.03, 0.01
	}
	for _, c := range []struct{ start, heatKWh, want float64 }{
		{0, 2, 2 * 0.10}, {quarter, 2, 1.98 * 0.10}, {quarter + 1, 2, 1.96 * 0.10}, {48 * quarter, 2, 1.04 * 0.20},
		{143 * quarter, 4, 1.14 * 0.30}, {144 * quarter, 4, 1.12 * 0.20}, {160 * quarter, 4, 1.12 * 0.30},
	} {
		h := heating{latest: c.start, heatJ: c.heatKWh * jPerKWh}
		near(t, fmt.Sprintf("a start after %g quarters", c.start/quarter), p.c.cost(&h, &o, c.start), c.want)
	}
	h := heating{latest: 48 * quarter, heatJ: 0.4 * jPerKWh}
	if got := p.c.cost(&h, &o, h.latest); got != 0 {
		t.Errorf("where the sun brings more than all, it costs %g", got)
	}
}

// TestNoStartIsCheaper: of all minutes until the latest start none costs less, by
// more than what makes another start worth it.
func TestNoStartIsCheaper(t *testing.T) {
	p := newPlanHouse(t, dearDays)
	for minute := 3; minute < dayMinutes; minute += 97 {
		p.c.minute = minute
		for _, lasts := range []float64{600, 5000, 20000} {
			for latest := 0.0; latest < 64000; latest += 7100 {
				for _, lossW := range []float64{0, 10, 80} {
					h := heating{latest, 2000 * lasts, lasts, lossW}
					o := outlook{}
					got := p.c.cheapest(&h, &o)
					if got > latest || got < min(0, latest) {
						t.Fatalf("start in %g s, at the latest in %g s", got, latest)
					}
					for start := 0.0; start < latest; start += 60 {
						if cost := p.c.cost(&h, &o, start); cost < (1-shiftPays)*p.c.cost(&h, &o, got)-1e-9 {
							t.Fatalf("at %s, latest in %g s, lasting %g s, %g W: start in %g s costs %g, in %g s %g",
								clock(minute), latest, lasts, lossW, got, p.c.cost(&h, &o, got), start, cost)
						}
					}
				}
			}
		}
	}
}

// TestAShiftMustPay: a price that is a hundredth lower moves nothing.
func TestAShiftMustPay(t *testing.T) {
	for _, c := range []struct{ night, want float64 }{{0.297, 8}, {0.29, 5}} {
		p := newPlanHouse(t, func(p *Plan) { p.PricePerKWh, p.Prices = 0.30, []Price{{Windows{{22 * 60, 6 * 60}}, c.night}} })
		p.c.minute = 0
		h := heating{latest: 8 * 3600, heatJ: 2 * jPerKWh, lasts: 3600}
		if got := p.c.cheapest(&h, &outlook{}); got != c.want*3600 {
			t.Errorf("at %g by night: in %g h, want in %g h", c.night, got/3600, c.want)
		}
	}
}

// TestPricesThatCantBe are refused with what is wrong.
func TestPricesThatCantBe(t *testing.T) {
	for _, wrong := range []float64{-0.01, math.NaN(), math.Inf(1), 1_000_001} {
		for i, spoil := range []change{
			func(p *Plan) { p.PricePerKWh = wrong },
			func(p *Plan) { p.Prices = []Price{{Windows{{60, 120}}, wrong}} },
		} {
			_, err := New(testPlan(1, spoil))
			if err == nil {
				t.Errorf("a price of %g was taken, %d", wrong, i)
			} else if want := fmt.Sprintf("a price of %g", wrong); !strings.Contains(err.Error(), want) || !strings.Contains(err.Error(), "not within 0 and 1e+06") {
				t.Errorf("%v; want %q, and what it must lie within", err, want)
			}
		}
	}
	if _, err := New(testPlan(1, func(p *Plan) { p.PricePerKWh, p.Prices = 1_000_000, []Price{{Windows{{60, 120}}, 0}} })); err != nil {
		t.Error(err)
	}
}

// TestItSaysThatItHeatsAhead: in the last cheap hour, for what the morning wants; not
// when that is wanted anyway within half an hour.
func TestItSaysThatItHeatsAhead(t *testing.T) {
	for _, c := range []struct {
		hour  int // of the draw
		says  Words
		ahead bool
	}{{9, SaysSunFirstAhead, true}, {6, SaysSunFirstHeats, false}, {22, SaysSunFirstAhead, true}} {
		p := newPlanHouse(t, dearDays)
		p.c.minute, p.m.Planned = 5*60+15, true
		p.draws(c.hour, 2)
		p.c.planHeater(p.s)
		if v, cast := p.says(); !cast || v.Reason.Words != c.says || p.m.Ahead != c.ahead {
			t.Errorf("for %d o'clock: %q; %s", c.hour, v.Reason, p.plan())
		}
		p.s.tankTop.Value = 60
		if v, cast := p.says(); cast {
			t.Errorf("hot enough: %q", v.Reason)
		}
	}
}

// TestAheadIsWhatNothingAsksForYet: for a bath from six on it heats in the last cheap
// half hour only since more is kept ready then: the water there is holds what may be
// asked for, and a fifth more, or so little is asked for that nothing is heated for it.
func TestAheadIsWhatNothingAsksForYet(t *testing.T) {
	must := func(kWh float64) float64 { return kWh + readyAt99*math.Sqrt(kWh*usualBurst) }
	for name, c := range map[string]struct {
		drawKWh, waterC float64
		ahead           bool
	}{
		"a fifth more than may be asked for": {1, 10 + 1.2*must(1)*jPerKWh/halfTankJK, true},
		"washing hands, with a cold tank":    {0.005, 10, true},
		"a little more":                      {0.008, 10, false},
	} {
		if m := must(c.drawKWh); c.waterC == 10 && c.ahead != (m > leastNeedKWh/2 && m < leastNeedKWh) {
			t.Fatalf("%s: %.3f kWh is no need between half of the least and the least", name, m)
		}
		p := newPlanHouse(t, dearDays)
		p.c.minute, p.s.set.HeaterStopC = 5*60+30, 70
		p.water(10, 10, 10, 10, 10, c.waterC)
		p.draws(6, c.drawKWh)
		if p.c.planHeater(p.s); !p.m.Heat || p.m.Ahead != c.ahead {
			t.Errorf("%s: %s, ahead %v", name, p.plan(), p.m.Ahead)
		}
	}
}

// TestAPlanEndsWithItsPrice: what was to be heated in the cheap hours is not begun in
// the first minute of the dear ones. With readings that only stand in for others, or
// without a clock, nothing is planned.
func TestAPlanEndsWithItsPrice(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*planHouse)
		ends   bool
	}{
		{"", func(*planHouse) {}, true},
		{"the same price still", func(p *planHouse) { p.c.minute-- }, false},
		{"tank top held over", func(p *planHouse) { p.s.tankTop.HeldOver = true }, false},
		{"tank bottom held over", func(p *planHouse) { p.s.tankBottom.HeldOver = true }, false},
		{"tank bottom lost", func(p *planHouse) { p.s.tankBottom.Quality = Missing }, false},
		{"no clock", func(p *planHouse) { p.c.clockSet = false }, false},
		{"no plan", func(p *planHouse) { p.m.Planned = false }, false},
	} {
		p := newPlanHouse(t, dearDays)
		p.c.minute = 5*60 + 15
		p.draws(9, 2)
		p.c.planAnew(p.s)
		if v, cast := p.says(); !cast || v.Reason.Words != SaysSunFirstAhead {
			t.Fatalf("it does not heat ahead at a quarter past five: %q", v.Reason)
		}
		p.c.minute = 6 * 60
		p.m.PlanFor = 5 * time.Minute
		c.change(p)
		p.says()
		if ended := !p.m.Heat; ended != c.ends || ended != (p.m.PlanFor == 0) {
			t.Errorf("%s: at six the plan of before is given up: %v, want %v", c.name, ended, c.ends)
		}
	}
}

// TestPricesOutrankCheapWindows: where prices are given, off_peak_windows move no
// plan.
func TestPricesOutrankCheapWindows(t *testing.T) {
	with, without := newPlanHouse(t, dearDays, cheapNights), newPlanHouse(t, dearDays)
	for minute := 0; minute < dayMinutes; minute += 31 {
		for _, p := range []*planHouse{with, without} {
			p.draws(9, 2)
			p.c.minute = minute
			p.s.offPeak = p.c.within(p.s.set.OffPeakWindows)
		}
		if a, b := with.plan(), without.plan(); a != b {
			t.Errorf("at %s: %s, without windows %s", clock(minute), a, b)
		}
	}
}

// TestPricesSpareMoney: the same house for a month with and without knowing the
// prices: it pays much less, takes a little more, and the water comes as warm. With no
// more kept ready for dear hours it would pay 22.08 for 24.11, and not 17.53: a bath
// at seven leaves less than the next hour may ask for, which was then heated at once,
// at the dearest price. Little is gained where hot water must be very sure and the sun
// brings it on most days: it would have heated part of what is kept ready by night.
func TestPricesSpareMoney(t *testing.T) {
	mostlySunny := func(day int) float64 {
		if day%5 == 0 {
			return 0.2
		}
		return 1.1
	}
	for _, c := range []struct {
		name                   string
		surety                 float64
		sunKW                  func(day int) float64
		mostOfMoney, mostOfKWh float64
	}{
		{"a changing sun", 99, changingSun, 0.75, 1.06},
		{"very sure, and sun on four days of five", 99.9, mostlySunny, 0.97, 1.06},
	} {
		blind, kWhA, coldA := monthAtPrices(t, c.sunKW, sure(c.surety))
		knowing, kWhB, coldB := monthAtPrices(t, c.sunKW, sure(c.surety), dearDays)
		t.Logf("%s: without the prices %.2f for %.1f kWh, %.2f %% cold; with them %.2f for %.1f kWh, %.2f %% cold", c.name, blind, kWhA, 100*coldA, knowing, kWhB, 100*coldB)
		if knowing > c.mostOfMoney*blind {
			t.Errorf("%s: it pays %.2f, and without the prices %.2f", c.name, knowing, blind)
		}
		if kWhB > c.mostOfKWh*kWhA {
			t.Errorf("%s: it takes %.1f kWh, and without the prices %.1f", c.name, kWhB, kWhA)
		}
		if coldB > coldA+0.002 {
			t.Errorf("%s: %.2f %% of the heat came cold, without the prices %.2f %%", c.name, 100*coldB, 100*coldA)
		}
	}
}

// monthAtPrices is what a house that has learned for a fortnight pays in a month at the
// prices of dearDays, for how much, and the share of the heat that came cold.
func monthAtPrices(t *testing.T, sunKW func(day int) float64, changes ...change) (cost, kWh, cold float64) {
	t.Helper()
	h := newWaterHouse(t, changes...)
	h.sunKW = sunKW
	h.days(15)
	asked, missed := h.askedKWh, h.coldKWh
	p := testPlan(1, dearDays)
	tariff := tariffOf(&p)
	for range 30 * dayMinutes {
		was, at := h.meterJ, float64(h.minutes%dayMinutes)
		h.minute()
		taken := (h.meterJ - was) / jPerKWh
		kWh += taken
		cost += taken * tariff.mean(at, 1)
	}
	return cost, kWh, (h.coldKWh - missed) / (h.askedKWh - asked)
}

// TestPricesCostNoGarbage, nor long, with a price for each hour.
func TestPricesCostNoGarbage(t *testing.T) {
	p := newPlanHouse(t, func(p *Plan) {
		for hour := range dayHours {
			p.Prices = append(p.Prices, Price{Windows{{hour * 60, hour*60 + 60}}, float64(1 + hour*7%dayHours)})
		}
	})
	for hour := range dayHours {
		p.draws(hour, 0.5)
	}
	if n := testing.AllocsPerRun(50, func() { p.c.planHeater(p.s) }); n != 0 {
		t.Errorf("%g allocations", n)
	}
}
