package control

import (
	"testing"
	"time"

	"pgregory.net/rapid"
)

func speeds(p *Plan) {
	for i := range p.Outputs {
		if p.Outputs[i].Actuator == LoopPump {
			p.Outputs[i].LeastLevel = 0.3
		}
	}
}

func (d *desk) expectLevel(output int, low, high float64, says Words) {
	d.t.Helper()
	got := &d.out.Decisions[output]
	if got.Level < low || got.Level > high || got.Reason.Words != says {
		d.t.Errorf("output %d: at %g because %q, want %g to %g because %q", output, got.Level, got.Reason, low, high, says.Key())
	}
}

func TestPumpSpeedKeepsTheTargetDifference(t *testing.T) {
	d := newDesk(t, speeds, func(p *Plan) { p.Systems[0].Settings.FrozenAfter = 48 * time.Hour })
	d.set(20, 37, 40, 30) // 7 K: below the start difference
	d.settled()
	d.expect(outPump, false, SaysLoopNoGain)
	d.set(20, 39, 40, 30)
	d.run(time.Second)
	d.expectLevel(outPump, 1, 1, SaysLoopGains)
	d.run(58 * time.Second)
	d.expectLevel(outPump, 1, 1, SaysLoopGains) // the first minute is at full
	d.set(20, 36, 40, 30)
	d.run(5 * time.Minute)
	d.expectLevel(outPump, 0.6, 0.8, SaysLoopSlowed)
	d.run(time.Hour)
	d.expectLevel(outPump, 0.3, 0.3, SaysLoopSlowed)
	d.run(9 * time.Hour) // nothing winds up: it turns about at once
	d.set(20, 60, 40, 30)
	d.run(2 * time.Minute)
	d.expectLevel(outPump, 0.32, 0.5, SaysLoopSlowed)
	d.run(30 * time.Minute)
	d.expectLevel(outPump, 1, 1, SaysLoopGains)
	d.set(20, 40, 40, 30) // at the target it stays as it is
	d.run(time.Hour)
	d.expectLevel(outPump, 1, 1, SaysLoopGains)
	d.set(20, 33, 40, 30)
	d.run(time.Minute)
	d.expect(outPump, false, SaysLoopEnds)
}

func TestPumpSpeedIsFullNearALimit(t *testing.T) {
	for name, tc := range map[string]struct {
		collector, top, bottom float64
		says                   Words
	}{
		"collector near the ceiling": {85, 60, 60, SaysLoopFull},
		"tank near its limit":        {70, 67, 65, SaysLoopFull},
		"tank bottom lost":           {45, 40, 0, SaysLoopGainsByTop},
	} {
		d := newDesk(t, speeds, eager, func(p *Plan) { p.Systems[0].Settings.StartDifferenceK, p.Systems[0].Settings.StopDifferenceK = 4, 2 })
		d.set(20, 36, 40, 30)
		d.settled()
		d.run(time.Hour)
		d.expectLevel(outPump, 0.3, 0.3, SaysLoopSlowed)
		d.set(20, tc.collector, tc.top, tc.bottom)
		if tc.bottom == 0 {
			d.fail(atBottom)
		}
		d.run(2 * time.Minute)
		t.Log(name)
		d.expectLevel(outPump, 1, 1, tc.says)
	}
}

func TestFrostAndPersonSetTheirOwnLevel(t *testing.T) {
	d := newDesk(t, speeds, waterFilled)
	d.wall = winter
	d.set(-5, 3, 50, 40)
	d.settled()
	d.expectLevel(outPump, 1, 1, SaysFrostCirculation)
	d.set(10, 20, 50, 40)
	d.run(time.Hour)
	if err := d.c.Override(outPump, 0.5, time.Hour); err != nil {
		t.Fatal(err)
	}
	d.run(time.Second)
	d.expectLevel(outPump, 0.5, 0.5, SaysOverride)
}

// TestPumpSpeedIsBounded: whatever the collector does, the speed stays between
// its bounds and moves by less than 1 % of full a second, but up to full.
func TestPumpSpeedIsBounded(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := newDesk(t, speeds, eager)
		d.set(20, 60, 40, 30)
		d.settled()
		was := d.out.Decisions[outPump].Level
		for range 200 {
			d.set(20, rapid.Float64Range(25, 110).Draw(rt, "collector"), 40, 30)
			steps := rapid.IntRange(1, 40).Draw(rt, "seconds")
			for range steps {
				d.run(time.Second)
				is := &d.out.Decisions[outPump]
				if is.On() && (is.Level < 0.3 || is.Level > 1) {
					rt.Fatalf("the level is %g", is.Level)
				}
				if moved := is.Level - was; is.On() && was > 0 && is.Level < 1 && (moved > 0.011 || moved < -0.011) {
					rt.Fatalf("the level moves from %g to %g in a second", was, is.Level)
				}
				was = is.Level
			}
		}
	})
}
