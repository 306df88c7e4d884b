package control

import (
	"math"
	"testing"
	"time"
)

// weather is what the probes of a desk read at an hour of a day.
type weather func(d *desk, day int, hour float64)

// days lets days pass in steps of a minute, from midnight to midnight. The probes
// flicker, as they do.
func (d *desk) days(n int, at weather) {
	d.t.Helper()
	y, m, day := d.wall.Time.Date()
	d.wall = Wall{Time: time.Date(y, m, day, 0, 0, 0, 0, time.UTC), Trusted: true}
	for day := range n {
		for minute := range 24 * 60 {
			at(d, day, float64(minute)/60)
			for i := range d.readings {
				if d.readings[i].Fault == "" && i < 4 {
					d.readings[i].Value += 0.02 * float64(minute%2)
				}
			}
			d.out = d.c.Step(time.Minute, d.wall, d.readings)
			d.wall.Time = d.wall.Time.Add(time.Minute)
		}
	}
}

// sunny is a day on which the loop runs from 9 to 15 o'clock with the collector
// so far above the tank bottom, which gains 20 K and loses them in the evening.
func sunny(gapK float64) weather {
	return func(d *desk, _ int, hour float64) {
		switch {
		case hour < 9:
			d.set(10, 9, 45, 25)
		case hour < 15:
			bottom := 25 + 20*(hour-9)/6
			d.set(20, bottom+gapK, 45+(bottom-25)/2, bottom)
		case hour < 20:
			d.set(15, 20, 55, 45)
		default:
			d.set(12, 11, 45, 25)
		}
	}
}

// deaf is the same day with probes that give no value.
func (at weather) deaf(probes ...int) weather {
	return func(d *desk, day int, hour float64) {
		at(d, day, hour)
		for _, i := range probes {
			d.fail(i)
		}
	}
}

// expectEvidence wants a finding with these figures, to 2 %.
func (d *desk) expectEvidence(kind FindingKind, says Words, values ...float64) {
	d.t.Helper()
	for _, f := range d.out.Findings {
		if f.Kind != kind {
			continue
		}
		for i, want := range values {
			if math.Abs(f.Evidence.Values[i]-want) > 0.02*math.Abs(want)+0.05 {
				d.t.Errorf("figure %d of %q is %.3g, not %.3g: %s", i, kind, f.Evidence.Values[i], want, f.Evidence)
			}
		}
		if f.Evidence.Words != says {
			d.t.Errorf("%q says %s", kind, f.Evidence)
		}
		return
	}
	d.expectFinding(kind, true)
}

// never runs and wants a finding not to be raised at any time.
func (d *desk) never(kind FindingKind, run func()) {
	d.t.Helper()
	run()
	d.expectFinding(kind, false)
	if d.c.raised(kind, 0, 0) {
		d.t.Errorf("%q is raised behind another finding", kind)
	}
}

// by runs minutes, each with readings of its own.
func (d *desk) by(minutes int, at func(minute int)) {
	for minute := range minutes {
		at(minute)
		d.out = d.c.Step(time.Minute, d.wall, d.readings)
		d.wall.Time = d.wall.Time.Add(time.Minute)
	}
}

// holdOn keeps an output on by hand.
func (d *desk) holdOn(t *testing.T, output int) {
	t.Helper()
	if err := d.c.Override(output, 1, LongestOverride); err != nil {
		t.Fatal(err)
	}
}
