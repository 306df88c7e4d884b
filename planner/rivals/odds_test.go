package rivals

import (
	"math"
	"slices"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/sim/plant"
)

// aFewWeeks are two weeks in which the heater has something to do, and their film.
func aFewWeeks(t *testing.T) (*ground, *film) {
	t.Helper()
	c := springs()[1]
	c.Days = 14
	g := groundOf(t, c)
	f, err := g.newFilm(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return g, f
}

func (f *film) mustHeat(t *testing.T, wanting func(a *actor, at, until, later int) bool) Outcome {
	t.Helper()
	o, err := f.heated(t.Context(), wanting)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

func never(*actor, int, int, int) bool { return false }

// TestHygieneOfTheFilms: without any other wish the tank is at the hygiene
// temperature for an hour before a week is over, begun in the afternoon, and the week is
// used.
func TestHygieneOfTheFilms(t *testing.T) {
	_, f := aFewWeeks(t)
	var h heatUp
	since, held := 0, 0
	var waits []int
	_, err := f.run(t.Context(), decideEvery, func(a *actor, left []scene) bool {
		since += decideEvery
		if a.plant.TankC(f.plant.TopProbeHeight) < hygieneC {
			held = 0
		} else if held += decideEvery; held > hygieneHold {
			waits, since, held = append(waits, since), 0, 0
		}
		heats := h.wants(a, left[0].minute)
		if minute := left[0].minute; heats && h.held == 0 && (minute < hygieneFrom || minute >= hygieneTo) {
			t.Errorf("a heat-up is under way at %v", time.Duration(minute)*time.Minute)
		}
		return heats
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(waits) < 3 || slices.Max(waits) > hygieneEvery+decideEvery || slices.Max(waits) < hygieneEvery-scenesPerDay {
		t.Errorf("heat-ups came after %v scenes", waits)
	}
}

// TestForesightGainsByGoingOn: a start for each draw, that ends as nobody would miss
// anything for a quarter of an hour, needs more.
func TestForesightGainsByGoingOn(t *testing.T) {
	_, f := aFewWeeks(t)
	foresight, err := f.latestStart(t.Context(), true)
	if err != nil {
		t.Fatal(err)
	}
	ahead := actor{plant: new(plant.Plant)}
	short := f.mustHeat(t, func(a *actor, at, until, later int) bool {
		ahead.become(a)
		return later == decideEvery && ahead.misses(f.scenes[at:until], later)
	})
	if short.Missed > 0.0005 || foresight.HeaterKWh > 0.97*short.HeaterKWh {
		t.Errorf("foresight needs %.2f kWh; with a start for each draw %.2f kWh, %.3f %% missed", foresight.HeaterKWh, short.HeaterKWh, 100*short.Missed)
	}
}

// TestOddsThatAreSure: who is told the very draws that will come serves everybody, as
// foresight does; who is told that nobody draws, or lets all come cold, heats for
// hygiene alone.
func TestOddsThatAreSure(t *testing.T) {
	_, f := aFewWeeks(t)
	own, none := make(pours, len(f.scenes)), make(pours, len(f.scenes))
	for i := range f.scenes {
		own[i] = float32(f.scenes[i].litres)
	}
	foresight, err := f.latestStart(t.Context(), true)
	if err != nil {
		t.Fatal(err)
	}
	idle := f.mustHeat(t, never)
	if idle.HeaterKWh > 0.8*foresight.HeaterKWh || idle.Missed < 0.1 {
		t.Fatalf("for hygiene alone %.1f kWh, %.2f missed; foresight needs %.1f kWh", idle.HeaterKWh, idle.Missed, foresight.HeaterKWh)
	}
	for _, c := range []struct {
		what   string
		others []pours
		coldWh float64
		want   Outcome
	}{
		{"the very draws", []pours{own, own, own}, 0, foresight},
		{"the very draws among others", []pours{none, own, none}, 0, foresight},
		{"all may come cold", []pours{own, own, own}, 1e6, idle},
		{"nobody draws", []pours{none, none}, 0, idle},
	} {
		got, err := f.latestByOdds(t.Context(), c.others, c.coldWh)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got.HeaterKWh/c.want.HeaterKWh-1) > 0.01 || math.Abs(got.Missed-c.want.Missed) > 0.002 {
			t.Errorf("%s: %.2f kWh and %.2f %% missed, want %.2f kWh and %.2f %%", c.what, got.HeaterKWh, 100*got.Missed, c.want.HeaterKWh, 100*c.want.Missed)
		}
	}
}

// TestOtherYearsDrawAsMuch: the years that tell the odds are other ones than the
// film's and than each other, of people who draw as much.
func TestOtherYearsDrawAsMuch(t *testing.T) {
	g, f := aFewWeeks(t)
	others, err := g.otherPours(12)
	if err != nil {
		t.Fatal(err)
	}
	own, sums := 0.0, make([]float64, len(others))
	for i := range f.scenes {
		own += f.scenes[i].litres
	}
	mean := 0.0
	for i, litres := range others {
		if len(litres) != len(f.scenes) {
			t.Fatalf("%d scenes, the film has %d", len(litres), len(f.scenes))
		}
		for _, l := range litres {
			sums[i] += float64(l)
		}
		mean += sums[i] / float64(len(others))
		if sums[i] == own || i > 0 && sums[i] == sums[i-1] {
			t.Errorf("year %d draws %g l, the film's %g l", i, sums[i], own)
		}
	}
	if math.Abs(mean/own-1) > 0.1 {
		t.Errorf("other years draw %.0f l in the mean, the film's %.0f l", mean, own)
	}
}

// TestHygieneOfTheFilmsIsTheControllers: by its usual settings.
func TestHygieneOfTheFilmsIsTheControllers(t *testing.T) {
	s := control.DefaultSettings()
	windows := control.Windows{{From: hygieneFrom, To: hygieneTo}}
	if s.HygieneInterval != time.Duration(hygieneEvery)*sceneLength || s.HygieneHold != hygieneHold*sceneLength || s.HygieneC != hygieneC || !slices.Equal(s.HygieneWindows, windows) {
		t.Errorf("the controller's: once in %v for %v at %g °C within %v", s.HygieneInterval, s.HygieneHold, s.HygieneC, s.HygieneWindows)
	}
}
