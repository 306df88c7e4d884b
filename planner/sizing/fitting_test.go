package sizing

import (
	"fmt"
	"strings"
	"testing"

	"sunstoker/physics"
	"sunstoker/site"
)

// TestFittingsHold goes through altitudes, nights and options: the vessel takes all
// it must by the law of its gas, the loop doesn't boil below its ceiling, pipes and
// heater are as promised, and the site file gives no cause for advice.
func TestFittingsHold(t *testing.T) {
	tried := 0
	for _, altitude := range []string{"0 m", "1500 m", "2800 m", "4500 m"} {
		for _, coldest := range []string{"12 °C", "3 °C", "-12 °C", "-38 °C"} {
			w := starterWith(t, `altitude = "250 m"`, `altitude = "`+altitude+`"`, `coldest = "-12 °C"`, `coldest = "`+coldest+`"`)
			options, err := optionsOf(w)
			if err != nil {
				t.Fatal(err)
			}
			for _, o := range options {
				tried++
				f, err := fit(w, o)
				if err != nil {
					t.Fatal(err)
				}
				name := fmt.Sprintf("%s at %s, %s", o.words(), altitude, coldest)
				holds(t, name, w, f)
			}
		}
	}
	if tried < 200 {
		t.Errorf("only %d fittings were tried", tried)
	}
}

func holds(t *testing.T, name string, w *site.Wish, f *fitting) {
	t.Helper()
	gas := physics.SealedGas{VolumeLitre: f.vesselL, PrechargePaAbs: (f.prechargeBar + 1) * physics.PascalPerBar}
	cold := gas.TakenLitre((f.fillBar + 1) * physics.PascalPerBar)
	hot := gas.PressurePaAbs(cold+physics.SolarVesselGrowth*f.contentL()+f.steamL)/physics.PascalPerBar - 1
	switch {
	case hot > f.endBar+1e-9 || f.endBar >= f.reliefBar:
		t.Errorf("%s: a vessel of %g l ends at %.2f bar of %.2f", name, f.vesselL, hot, f.endBar)
	case cold < 0.5*physics.SolarVesselReserveLitre:
		t.Errorf("%s: a vessel of %g l holds %.1f l when cold", name, f.vesselL, cold)
	case f.boilsC < usual.RestartCeilingC+ceilingMarginK-0.01:
		t.Errorf("%s: it boils at %.1f °C", name, f.boilsC)
	case !f.natural() && physics.PipeSpeedMS(f.flowLMin, f.pipe.boreM) > mostPipeMS:
		t.Errorf("%s: %g l/min in %g mm", name, f.flowLMin, f.pipe.outerMM)
	case f.heaterW < f.needW:
		t.Errorf("%s: %g W, and %.0f are needed", name, f.heaterW, f.needW)
	case f.cutOutC <= f.tankLimitC || f.cutOutC >= physics.WaterBoilingPointC(physics.AirPressurePa(w.House.AltitudeM)):
		t.Errorf("%s: cut-out %g °C, tank limit %g °C", name, f.cutOutC, f.tankLimitC)
	}
	s, err := site.Parse(name, []byte(siteText(w, f, make([]float64, 12))))
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Advice) > 0 {
		t.Errorf("%s: %s", name, site.Lines(s.Advice))
	}
}

// TestFittingByHand: 6 m² in a house 6 m below its roof, by a pocket calculator.
func TestFittingByHand(t *testing.T) {
	w := starterWith(t, `#height = "5 m"`, `height = "6 m"`, `#pipe_length = "12 m"`, `pipe_length = "14 m"`)
	f, err := fit(w, option{systems: 1, tankL: 300, modules: 3, moduleM2: 2})
	if err != nil {
		t.Fatal(err)
	}
	// 28 m of 16 mm hold 5.63 l, the collectors 4.8 l, 1.5 m² of coil 3.6 l.
	near(t, "content", f.contentL(), 14.03, 0.01)
	near(t, "fill", f.fillBar, 1.9, 1e-9)
	near(t, "steam", f.steamL, 4.8+1.126, 0.01)
	// (14.03 x 0.13 + 3 + 5.93) x 6.4/4 = 17.2; the next size is 18 l.
	near(t, "vessel", f.vesselL, 18, 0)
	// 120 l from 10 to 55 °C in 3 h: 120 x 4.18 x 45/10.8 = 2090 W, less 1 % for warm water.
	near(t, "heater", f.needW, 2080, 25)
	near(t, "size of heater", f.heaterW, 2500, 0)
	// 6 l/min in 16 mm: 0.1 l/s over 2.011 cm².
	near(t, "speed", physics.PipeSpeedMS(f.flowLMin, f.pipe.boreM), 0.497, 0.001)
}

// TestNothingIsFittedTooSmall: what no usual size is enough for is refused.
func TestNothingIsFittedTooSmall(t *testing.T) {
	hasty := starterWith(t, `#recovery = "3 h"`, `recovery = "30 min"`)
	if _, err := fit(hasty, option{systems: 1, tankL: 2000, modules: 10, moduleM2: 2}); err == nil || !strings.Contains(err.Error(), "it needs a heater of") {
		t.Errorf("2000 l in half an hour: %v", err)
	}
	full := starterWith(t, `#content = "1.6 l"`, `content = "50 l"`)
	if _, err := fit(full, option{systems: 1, tankL: 2000, modules: 10, moduleM2: 2}); err == nil || !strings.Contains(err.Error(), "it needs an expansion vessel of") {
		t.Errorf("collectors of 500 l: %v", err)
	}
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if got < want-within || got > want+within {
		t.Errorf("%s: %g, want %g", what, got, want)
	}
}

// TestEveryRowSaysWhereItComesFrom: each figure of the sheet has its formula or its source.
func TestEveryRowSaysWhereItComesFrom(t *testing.T) {
	for _, edits := range [][]string{nil, {`loop = "either"`, `loop = "natural"`, `#store = "drinking water"`, `store = "loop fluid"`}, {`coldest = "-12 °C"`, `coldest = "12 °C"`}} {
		w := starterWith(t, edits...)
		options, err := optionsOf(w)
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range options {
			f, err := fit(w, o)
			if err != nil {
				t.Fatal(err)
			}
			s := &study{wish: w, chosen: &outcome{fitting: f}}
			for _, r := range s.rows() {
				if r.what == "" || r.value == "" || len(strings.Fields(r.how)) < 2 {
					t.Errorf("%s: %+v says too little", f.words(), r)
				}
				if r.what != "Tempering valve" && !strings.ContainsAny(r.how, "=/") && !strings.Contains(r.how, "(") && !strings.Contains(r.how, practice) {
					t.Errorf("%s: %q has no formula and no source: %s", f.words(), r.what, r.how)
				}
			}
		}
	}
}
