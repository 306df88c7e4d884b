package replay

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"sunstoker/planner/recorded"
	"sunstoker/sim/weather"
	"sunstoker/site/twin"
)

// TestFitOfTooLittle: what can't be fitted says why.
func TestFitOfTooLittle(t *testing.T) {
	s := house(t, recorded.Winter)
	if _, err := Fit(s, 0, recordOf(t, s), nil); err == nil || !strings.Contains(err.Error(), "it takes 5 days in which nobody drew water") {
		t.Errorf("of two days: %v", err)
	}
	blind := *s
	blind.Plan.Probes = s.Plan.Probes[:2]
	if _, err := Fit(&blind, 0, recordOf(t, s), nil); err == nil || !strings.Contains(err.Error(), "it takes probes at") {
		t.Errorf("without probes: %v", err)
	}
}

// TestFitAtABound: a figure that ran into the bound of what is sought is not told,
// however narrow its spread.
func TestFitAtABound(t *testing.T) {
	for _, f := range []Fitted{{Assumed: 0.8, Value: 1, Spread: 1e-9, most: 1}, {Assumed: 2, Value: 10, Spread: 0.1}, {Assumed: 2, Value: 0.4, Spread: 1e-3}} {
		if f.Told() || !strings.Contains(f.words(), "the record does not tell it") {
			t.Errorf("%+v is told: %s", f, f.words())
		}
	}
	if f := (Fitted{Assumed: 0.8, Value: 0.95, Spread: 0.01, most: 1}); !f.Told() {
		t.Errorf("%+v is not told", f)
	}
}

// TestSpread: what days tell and what no day can tell add up by their squares; a coil
// is not known at all when hardly anything has run through it.
func TestSpread(t *testing.T) {
	traces, r := calmTraces(3)
	f := &fitter{traces: *traces, windows: traces.windows(r)}
	at := f.windows[0].parts[0].from
	for i := at - 600; i < at+119; i++ { // what is not compared does not count
		f.traces.pump[i] = 1
	}
	loss, coil := &Fitted{Value: 2}, &Fitted{Value: 300, moving: true}
	if got := f.spread(loss, 0.12); math.Abs(got-2*0.13) > 1e-9 { // 5, 12 and 13
		t.Errorf("%g, want 0.26", got)
	}
	if got := f.spread(coil, 0.12); !math.IsInf(got, 1) {
		t.Errorf("after two hours less a minute the coil's is %g", got)
	}
	f.traces.pump[at+119] = 1
	if got := f.spread(coil, 0.12); math.Abs(got-39) > 1e-9 {
		t.Errorf("%g, want 39", got)
	}
}

// TestDrivenAt: the mean of a minute is put at its end when the output was switched
// on in it, and at its beginning when it was switched off.
func TestDrivenAt(t *testing.T) {
	levels := []float64{0, 0.25, 1, 0.25, 0, 0.5, 0}
	for _, c := range []struct {
		i    int
		at   time.Duration
		want float64
	}{{1, 30 * time.Second, 0}, {1, 50 * time.Second, 1}, {2, 0, 1}, {3, 10 * time.Second, 1}, {3, 20 * time.Second, 0}, {5, 10 * time.Second, 0.5}} {
		if got := drivenAt(levels, c.i, c.at); got != c.want {
			t.Errorf("minute %d at %v: %g, want %g", c.i, c.at, got, c.want)
		}
	}
	if drivenAt(nil, 3, 0) != 0 {
		t.Error("an output that is not there ran")
	}
}

// TestTheTwinTakesWhatTheRecordTells: and what it does not tell stays as assumed.
func TestTheTwinTakesWhatTheRecordTells(t *testing.T) {
	s := house(t, recorded.Winter)
	figures := unknowns()
	for i := range figures {
		figures[i].Assumed, figures[i].Value, figures[i].Spread = 2, 0.9, 0.05
	}
	figures[3].Spread = 0.5
	told := teller{site: s, plants: []fittedPlant{{figures: figures}}}
	config, err := twin.Config(s, twin.Options{Weather: weather.NorthItaly(), Start: time.Date(2026, 5, 1, 0, 0, 0, 0, s.Zone)})
	if err != nil {
		t.Fatal(err)
	}
	coil := config.Systems[0].Plant.CoilUAWK
	told.put(&config)
	if p := config.Systems[0].Plant; p.TankUAWK != 0.9 || p.Collector.Eta0 != 0.9 || p.CoilUAWK != coil {
		t.Errorf("%+v", p)
	}
	told.plants = append(told.plants, fittedPlant{why: errors.New("it is another one")})
	told.site = house(t, recorded.Highland)
	told.plantRows()
	var out strings.Builder
	if err := told.Write(&out); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"loss of the tank: 0.9 W/K, give or take 0.05; 2 W/K was assumed", "heat transfer of the coil: the record does not tell it; 2 W/K is assumed", "It can't be fitted: it is another one.", "coil of the drinking water: it shows while somebody draws"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("%q is not in\n%s", want, out.String())
		}
	}
}

// TestWhatIsSaidOfAFit: give or take is explained where there is one; what the record
// does not tell says what would help, and nothing told hints at wrong weather. What is
// told is given as keys of the site file.
func TestWhatIsSaidOfAFit(t *testing.T) {
	s := house(t, recorded.Winter)
	told, untold := unknowns()[0], unknowns()[3]
	told.Assumed, told.Value, told.Spread = 2, 1.9, 0.095
	untold.Assumed, untold.Value, untold.Spread = 340, 500, math.Inf(1)
	coil := untold
	coil.Value, coil.Spread = 350, 18
	for _, c := range []struct {
		plant      fittedPlant
		want, none []string
	}{
		{fittedPlant{figures: []Fitted{told, coil}}, []string{`loss = "1.9 W/K" under [system.tank]`, `coil_area = "1 m²" under [system.tank_fittings]`, "Give or take is"}, []string{"A figure is told when", "other weather"}},
		{fittedPlant{figures: []Fitted{told, untold}}, []string{"Give or take is", "A figure is told when"}, []string{"other weather", "coil_area"}},
		{fittedPlant{figures: []Fitted{untold}}, []string{"other weather", "A figure is told when"}, []string{"Give or take is", "site file:"}},
		{fittedPlant{why: errors.New("too little")}, []string{"It can't be fitted: too little."}, []string{"Give or take is", "A figure is told when"}},
	} {
		tl := teller{site: s, plants: []fittedPlant{c.plant}}
		tl.plantRows()
		var out strings.Builder
		if err := tl.Write(&out); err != nil {
			t.Fatal(err)
		}
		for _, text := range c.want {
			if !strings.Contains(out.String(), text) {
				t.Errorf("%q is not said:\n%s", text, &out)
			}
		}
		for _, text := range c.none {
			if strings.Contains(out.String(), text) {
				t.Errorf("%q is said:\n%s", text, &out)
			}
		}
	}
}
