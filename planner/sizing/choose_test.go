package sizing

import (
	"math"
	"strings"
	"testing"

	"sunstoker/control"
	"sunstoker/site"
)

// TestMoney reckons one option by hand.
func TestMoney(t *testing.T) {
	w := starterWith(t)
	o := &outcome{fitting: &fitting{option: option{loop: control.Natural, systems: 2, tankL: 200, modules: 2, moduleM2: 2}},
		asked: 3000, shortShare: 0.01, meterKWh: 900, pumpKWh: 10}
	o.money(w)
	for what, c := range map[string][2]float64{
		"cost":    {o.cost, 650 + 2*(450+2.5*200+220*4+500)},
		"saved":   {o.savedKWh, 2970 - 910},
		"running": {o.yearly, 2*40 + 0.30*910},
		"in all":  {o.whole, o.cost + 15*o.yearly},
		"payback": {o.payback, o.cost / (0.30*2060 - 80)},
	} {
		if math.Abs(c[0]-c[1]) > 1e-9 {
			t.Errorf("%s: %g, want %g", what, c[0], c[1])
		}
	}
	o.meterKWh = 3000
	o.money(w)
	if paybackWords(o) != "never" || !math.IsInf(o.payback, 1) {
		t.Errorf("what saves nothing is paid back after %s", paybackWords(o))
	}
}

// made is an outcome of invented figures.
func made(share, cost, whole, payback float64) *outcome {
	return &outcome{fitting: &fitting{option: option{systems: 1, tankL: 200, modules: 1, moduleM2: 2}}, share: share, cost: cost, whole: whole, payback: payback, savedYearly: 1}
}

func TestTheBestThree(t *testing.T) {
	budget := starterWith(t, `#budget = "5000 EUR"`, `budget = "5000 EUR"`)
	cheap, sunny, soon, dear := made(0.4, 3000, 9000, 20), made(0.7, 4900, 9500, 15), made(0.3, 2000, 9200, 10), made(0.9, 5001, 8000, 9)
	tripping, cold := made(0.8, 2500, 8500, 8), made(0.1, 1000, 7000, 7)
	tripping.trips, cold.shortShare = 1, 0.06
	all := []*outcome{dear, cold, tripping, sunny, soon, cheap}
	picks := choose(budget, all)
	want := []struct {
		of     *outcome
		number int
		why    string
	}{{cheap, 6, "Least money in 15 years"}, {sunny, 4, "Most from the sun within the budget"}, {soon, 5, "Paid back soonest"}}
	for i, w := range want {
		if len(picks) != len(want) || picks[i].outcome != w.of || picks[i].number != w.number || !strings.HasPrefix(picks[i].why(), w.why) {
			t.Fatalf("place %d: %+v, want %+v", i+1, picks[i], w)
		}
	}
	// One that is best in all, and no other that fits: the others follow, the one
	// that only costs too much first, with what speaks against them.
	picks = choose(budget, []*outcome{dear, cold, tripping, sunny})
	if len(picks) != 3 || picks[0].outcome != sunny || picks[1].outcome != dear || picks[2].outcome != cold {
		t.Fatalf("picks %+v", picks)
	}
	for i, why := range []string{"paid back soonest", "1500 EUR less in 15 years, with 90 % from the sun instead of 70 %; but over the budget", "but more than 5 % of the wanted heat comes too cold"} {
		if got := picks[i].why(); !strings.Contains(got, why) {
			t.Errorf("place %d: %q, want %q in it", i+1, got, why)
		}
	}
	// Nothing fits: first what only costs too much, last where the sun opens a
	// cut-out, however cheap, and nobody says that any of it lies within the budget.
	both := made(0.95, 6000, 5000, 5)
	both.trips, both.shortShare = 1, 0.2
	if picks = choose(budget, []*outcome{both, cold, dear}); len(picks) != 3 || picks[0].outcome != dear || picks[1].outcome != cold || picks[2].outcome != both {
		t.Fatalf("picks %+v", picks)
	}
	if why := picks[0].why(); strings.Contains(why, "within the budget") || !strings.HasSuffix(why, "; but over the budget.") {
		t.Errorf("of one that costs too much: %s", why)
	}
	if why := picks[2].why(); !strings.HasSuffix(why, "; but the sun opens a heater's cut-out, and more than 5 % of the wanted heat comes too cold, and over the budget.") {
		t.Errorf("of one with everything against it: %s", why)
	}
}

func TestPresence(t *testing.T) {
	w := starterWith(t, "#holidays = ", `holidays = "2 August to 15 August" # `, "#guests = ", `guests = "2 from 1 June to 10 June" # `)
	// Four people on 365 days, 14 of them away, and two guests on 10 days.
	want := (4*(365-14) + 2*10) / (4 * 365.0)
	if got := presence(&w.House.Household); math.Abs(got-want) > 1e-12 {
		t.Errorf("presence %g, want %g", got, want)
	}
	if got := presence(&site.Household{Profile: "M"}); got != 1 {
		t.Errorf("presence of a profile %g", got)
	}
}
