package control

import (
	"testing"
	"time"

	"pgregory.net/rapid"
)

// shared is a house of two systems, with heaters of 2 kW each, under one supply.
func shared(t *testing.T, watts float64, changes ...change) *desk {
	t.Helper()
	changes = append(changes, func(p *Plan) { p.SupplyW = watts })
	c, err := New(testPlan(2, changes...))
	if err != nil {
		t.Fatal(err)
	}
	d := &desk{t: t, c: c, wall: evening, readings: make([]Reading, len(c.plan.Probes))}
	d.tops(35, 40)
	return d
}

const outAnnexeHeater = 3

func (d *desk) tops(roof, annexe float64) {
	for i, v := range []float64{20, 20, roof, 20, 20, annexe, 20} {
		d.readings[i] = Reading{Value: v}
	}
}

func TestHeatersShareTheSupply(t *testing.T) {
	d := shared(t, 3000)
	d.settled()
	d.expect(outAnnexeHeater, true, SaysHeaterCold) // the fuller tank
	d.expect(outHeater, false, SaysSupplyUsed)
	if v := d.out.Decisions[outHeater].Reason.Values; v[1] != 2 {
		t.Errorf("it waits for system %g, want 2", v[1])
	}
	// A draw makes the other one a little fuller: no change for that.
	d.tops(40, 36)
	d.run(time.Hour)
	d.expect(outAnnexeHeater, true, SaysHeaterCold)
	// One that is fuller by far takes over, after the minimum run.
	d.tops(44, 36)
	d.run(time.Second)
	d.expect(outAnnexeHeater, false, SaysSupplyUsed)
	d.expect(outHeater, true, SaysHeaterCold)
	// When it is done, the other one follows.
	d.tops(52, 36)
	d.run(2 * time.Minute)
	d.expect(outHeater, false, SaysHeaterWarm)
	d.expect(outAnnexeHeater, true, SaysHeaterCold)
}

func TestASupplyForBothIsForBoth(t *testing.T) {
	d := shared(t, 4000)
	d.settled()
	d.expect(outHeater, true, SaysHeaterCold)
	d.expect(outAnnexeHeater, true, SaysHeaterCold)
}

// TestHygieneGoesFirst: a heat-up that is due has the supply before comfort, and
// two that are due come one after the other.
func TestHygieneGoesFirst(t *testing.T) {
	d := shared(t, 2000, func(p *Plan) {
		eachSystem(p, func(s *System) { s.Tempered = true; s.Settings.HygieneWindows = Windows{{0, dayMinutes}} })
	})
	d.settled()
	d.c.st.Systems[0].HygieneSince = 8 * 24 * time.Hour
	d.run(2 * time.Minute)
	d.expect(outHeater, true, SaysHygiene)
	d.expect(outAnnexeHeater, false, SaysSupplyUsed)
	d.c.st.Systems[1].HygieneSince = 8 * 24 * time.Hour
	d.tops(61, 50)
	d.run(30 * time.Minute)
	d.tops(60.5, 50)
	d.run(time.Minute)
	for second := range 3600 {
		if second%60 == 0 {
			d.waver(second / 60)
		}
		d.run(time.Second)
		if d.out.Decisions[outHeater].On() && d.out.Decisions[outAnnexeHeater].On() {
			t.Fatal("both heat at once")
		}
	}
	d.expect(outAnnexeHeater, true, SaysHygiene)
}

func TestSupplyTooSmallForTheHeater(t *testing.T) {
	d := shared(t, 1500)
	d.settled()
	d.expect(outHeater, false, SaysSupplyTooSmall)
	if err := d.c.Override(outHeater, 1, time.Hour); err != nil {
		t.Fatal(err)
	}
	d.run(time.Second)
	d.expect(outHeater, false, SaysSupplyTooSmall)
}

// TestAPersonsHeaterTakesTheSupply: what is set by hand goes before what the
// rules want, and the limit still holds.
func TestAPersonsHeaterTakesTheSupply(t *testing.T) {
	d := shared(t, 2000)
	d.settled()
	if err := d.c.Override(outHeater, 1, time.Hour); err != nil {
		t.Fatal(err)
	}
	d.run(2 * time.Minute)
	d.expect(outHeater, true, SaysOverride)
	d.expect(outAnnexeHeater, false, SaysSupplyUsed)
}

// TestSupplyIsNeverExceeded: whatever tanks and people do.
func TestSupplyIsNeverExceeded(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		c, err := New(testPlan(3, func(p *Plan) {
			p.SupplyW = rapid.SampledFrom([]float64{1500, 2000, 3500, 4100}).Draw(rt, "supply")
			p.Systems[1].HeaterW = 1000
			p.Systems[2].HeaterW = 2500
			for i := range p.Outputs {
				if i == 5 {
					p.Outputs[i].LeastLevel = 0.2
				}
			}
		}))
		if err != nil {
			rt.Fatal(err)
		}
		readings := make([]Reading, len(c.plan.Probes))
		for i := range readings {
			readings[i].Value = 30
		}
		var seen witness
		for range 150 {
			for i := range readings {
				if rapid.IntRange(0, 5).Draw(rt, "change") == 0 {
					readings[i] = Reading{Value: rapid.Float64Range(20, 75).Draw(rt, "value")}
				}
			}
			if rapid.IntRange(0, 10).Draw(rt, "override") == 0 {
				_ = c.Override(2*rapid.IntRange(0, 2).Draw(rt, "system")+1, rapid.SampledFrom([]float64{0, 0.5, 1}).Draw(rt, "level"), time.Minute)
			}
			elapsed := time.Duration(rapid.IntRange(1, 30).Draw(rt, "elapsed")) * time.Second
			seen.begin(c, elapsed)
			if what := seen.broken(c.Step(elapsed, evening, readings)); what != "" {
				rt.Fatal(what)
			}
		}
	})
}

// TestASmallerSupplyIsKeptAtOnce: a site file that allows less than before is
// kept though both heaters are inside their minimum run.
func TestASmallerSupplyIsKeptAtOnce(t *testing.T) {
	d := shared(t, 4000)
	d.tops(60, 60)
	d.settled()
	d.tops(35, 40)
	d.run(40 * time.Second) // until it is believed
	d.expect(outHeater, true, SaysHeaterCold)
	d.expect(outAnnexeHeater, true, SaysHeaterCold)
	saved, err := d.c.SaveState()
	if err != nil {
		t.Fatal(err)
	}
	less := shared(t, 3000)
	if err := less.c.RestoreState(saved); err != nil {
		t.Fatal(err)
	}
	less.run(time.Second)
	less.expect(outHeater, true, SaysHeaterCold)
	less.expect(outAnnexeHeater, false, SaysSupplyUsed)
}

// TestTheSupplyChangesHandsInOneStep: when a heater ends, or a person ends it
// inside its minimum run, another one has the supply in the same second; one that
// only its minimum run keeps on keeps it.
func TestTheSupplyChangesHandsInOneStep(t *testing.T) {
	taken := func(d *desk) {
		t.Helper()
		d.run(time.Second)
		d.expect(outAnnexeHeater, false, d.out.Decisions[outAnnexeHeater].Reason.Words)
		d.expect(outHeater, true, SaysHeaterCold)
	}
	d := shared(t, 3000)
	d.settled()
	d.run(time.Hour)
	d.expect(outAnnexeHeater, true, SaysHeaterCold)
	d.tops(35, 51.9)
	d.run(time.Minute)
	d.tops(35, 52)
	taken(d)

	d = shared(t, 3000)
	d.settled()
	d.expect(outAnnexeHeater, true, SaysHeaterCold)
	if err := d.c.Override(outAnnexeHeater, 0, time.Hour); err != nil {
		t.Fatal(err)
	}
	taken(d)

	d = shared(t, 3000, func(p *Plan) {
		eachSystem(p, func(s *System) { s.Settings.HeaterStartC, s.Settings.HeaterStopC = 44, 46 })
	})
	d.tops(35, 43.9)
	for range 2 * 60 {
		if d.run(time.Second); d.out.Decisions[outAnnexeHeater].On() {
			break
		}
	}
	d.expect(outAnnexeHeater, true, SaysHeaterCold)
	d.tops(35, 46)
	d.run(time.Second)
	d.expect(outAnnexeHeater, true, SaysMinimumRun)
	d.expect(outHeater, false, SaysSupplyUsed)
}

// TestARestedHeaterHasNoSupply: after a power failure nobody has the supply until
// it is given anew, though the memory says who had it.
func TestARestedHeaterHasNoSupply(t *testing.T) {
	d := shared(t, 3000)
	d.settled()
	d.expect(outAnnexeHeater, true, SaysHeaterCold)
	d.c.Restarted()
	d.tops(60, 60)
	if !d.c.st.Systems[1].HasSupply {
		t.Fatal("the memory of it is gone")
	}
	d.run(time.Second)
	if d.c.st.Systems[1].HasSupply {
		t.Error("it has the supply while it rests, with nothing to heat")
	}
}
