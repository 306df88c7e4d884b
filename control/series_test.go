package control

import (
	"testing"
	"time"
)

func inSeries(p *Plan) { p.DrawsInSeries = true }

// TestTanksInSeries: the last one before the taps is heated for comfort and by
// cheap power, the one before it only above its floor; side by side, both.
func TestTanksInSeries(t *testing.T) {
	d := shared(t, 0, inSeries)
	d.settled()
	d.expect(outHeater, false, SaysHeaterFeeds)
	d.expect(outAnnexeHeater, true, SaysHeaterCold)
	if v := d.out.Decisions[outHeater].Reason.Values; v[1] != 2 {
		t.Errorf("it says that system %g heats the water, want 2", v[1])
	}
	d.tops(29, 40)
	d.run(3 * time.Minute)
	d.expect(outHeater, true, SaysHeaterFloor)

	d = shared(t, 0)
	d.settled()
	d.expect(outHeater, true, SaysHeaterCold)
	d.expect(outAnnexeHeater, true, SaysHeaterCold)
}

// TestSeriesWhoseLastHeaterFails: the tank before it heats in its stead while the
// last one can't be read, is locked, or was switched off by a person, and for as
// long as there is no heater at all.
func TestSeriesWhoseLastHeaterFails(t *testing.T) {
	for name, fail := range map[string]func(*desk){
		"unread":       func(d *desk) { d.fail(5) },
		"locked":       func(d *desk) { d.c.st.Systems[1].HeaterLocked = true },
		"switched off": func(d *desk) { _ = d.c.Override(outAnnexeHeater, 0, time.Hour) },
	} {
		d := shared(t, 0, inSeries)
		d.settled()
		fail(d)
		d.run(3 * time.Minute)
		d.expect(outHeater, true, SaysHeaterCold)
		if d.out.Decisions[outAnnexeHeater].On() {
			t.Errorf("%s, and on", name)
		}
	}
	d := shared(t, 0, inSeries)
	if err := d.c.Override(outAnnexeHeater, 1, time.Hour); err != nil {
		t.Fatal(err)
	}
	d.settled()
	d.expect(outHeater, false, SaysHeaterFeeds)

	c, err := New(testPlan(2, inSeries, func(p *Plan) { p.Outputs = p.Outputs[:3] }))
	if err != nil {
		t.Fatal(err)
	}
	d = &desk{t: t, c: c, wall: evening, readings: make([]Reading, len(c.plan.Probes))}
	d.tops(35, 40)
	d.settled()
	d.expect(outHeater, true, SaysHeaterCold)
}

// TestSeriesAndWhatAPersonAsks: hot water now, hygiene and cheap power.
func TestSeriesAndWhatAPersonAsks(t *testing.T) {
	d := shared(t, 0, inSeries, tempered, cheapNights)
	d.wall = winter
	d.tops(50, 50)
	d.settled()
	d.expect(outHeater, false, SaysHeaterFeeds)
	d.expect(outAnnexeHeater, true, SaysOffPeak)
	if err := d.c.Boost(0, time.Hour); err != nil {
		t.Fatal(err)
	}
	d.run(2 * time.Minute)
	d.expect(outHeater, true, SaysBoost)
	d.tops(52, 50)
	d.run(2 * time.Minute)
	d.expect(outHeater, false, SaysHeaterFeeds)
	d.c.st.Systems[0].HygieneSince = 8 * 24 * time.Hour
	d.wall.Time = d.wall.Time.Add(12 * time.Hour)
	d.run(2 * time.Minute)
	d.expect(outHeater, true, SaysHygiene) // each tank has germs of its own
}
