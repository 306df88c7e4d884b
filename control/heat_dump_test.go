package control

import (
	"testing"
	"time"
)

func dumped(p *Plan) {
	for i := range p.Systems {
		p.Outputs = append(p.Outputs, Output{System: i, Actuator: HeatDump})
	}
}

const outDump = 2

// hotAfternoon is a desk with a heat dump, whose tank has just become full.
func hotAfternoon(t *testing.T, changes ...change) *desk {
	t.Helper()
	d := newDesk(t, append(changes, dumped)...)
	d.set(30, 80, 60, 55)
	d.settled()
	d.expect(outPump, true, SaysLoopGains)
	d.expect(outDump, false, SaysDumpNotFull)
	d.set(30, 85, 70, 65)
	d.run(time.Minute)
	d.expect(outPump, false, SaysTankFull)
	d.expect(outDump, false, SaysDumpNotHot)
	return d
}

func TestHeatDumpMovesItsValveFirst(t *testing.T) {
	d := hotAfternoon(t)
	d.set(30, 90, 70, 65)
	d.run(time.Second)
	d.expect(outDump, true, SaysDump)
	d.expect(outPump, false, SaysTankFull)
	d.run(118 * time.Second)
	d.expect(outPump, false, SaysTankFull)
	d.run(3 * time.Second)
	d.expect(outPump, true, SaysDumpPumps)
	d.set(30, 76, 70, 65)
	d.run(time.Hour)
	d.expect(outPump, true, SaysDumpPumps)
	d.set(30, 75, 70, 65)
	d.run(time.Second)
	d.expect(outPump, false, SaysTankFull) // at once, while the valve still leads past the tank
	d.run(time.Minute)
	d.expect(outDump, false, SaysDumpNotHot)
	// A tank that takes heat again gets it.
	d.set(30, 95, 66, 60)
	d.run(5 * time.Minute)
	d.expect(outDump, false, SaysDumpNotFull)
	d.expect(outPump, true, SaysLoopGains)
}

func TestHeatDumpEndsForSafety(t *testing.T) {
	for name, tc := range map[string]struct {
		arrange    func(*desk)
		pump, dump Words
		dumpOn     bool
	}{
		"collector above its ceiling": {func(d *desk) { d.set(30, 110, 70, 65) }, SaysCollectorSteaming, SaysDump, true},
		"collector lost":              {func(d *desk) { d.fail(atCollector) }, SaysTankFull, SaysDumpBlind, false},
		"tank top lost":               {func(d *desk) { d.fail(atTop) }, SaysTankFullUnseen, SaysDumpBlind, false},
		"tank lost":                   {func(d *desk) { d.fail(atTop); d.fail(atBottom) }, SaysTankFullUnseen, SaysDumpBlind, false},
		"valve switched off by hand":  {func(d *desk) { _ = d.c.Override(outDump, 0, time.Hour) }, SaysTankFull, SaysOverride, false},
		"service state":               {func(d *desk) { d.c.SetServicing(true) }, SaysServicing, SaysServicing, false},
		"tank far above its limit":    {func(d *desk) { d.set(30, 95, 76, 65) }, SaysTankFull, SaysDumpLocked, false},
	} {
		t.Run(name, func(t *testing.T) {
			d := hotAfternoon(t)
			d.set(30, 95, 70, 65)
			d.run(5 * time.Minute)
			d.expect(outPump, true, SaysDumpPumps)
			tc.arrange(d)
			d.run(2 * time.Minute)
			d.expect(outPump, false, tc.pump)
			d.expect(outDump, tc.dumpOn, tc.dump)
		})
	}
}

// TestStuckHeatDumpIsLocked: a valve that does not lead past the tank shows by a
// tank that gets hotter; then nothing is pumped into it for a day.
func TestStuckHeatDumpIsLocked(t *testing.T) {
	d := hotAfternoon(t)
	d.set(30, 95, 70.5, 65)
	d.run(5 * time.Minute)
	d.expect(outPump, true, SaysDumpPumps)
	d.set(30, 95, 70.2, 65)
	d.run(time.Minute)
	d.set(30, 95, 70.2, 71) // bottom overtakes
	d.run(time.Minute)
	d.expect(outPump, true, SaysDumpPumps)
	d.set(30, 95, 70.2, 72.25)
	d.run(time.Minute)
	d.expect(outPump, false, SaysTankFull)
	d.expect(outDump, false, SaysDumpLocked)
	d.expectFinding(FoundHeatDumpFruitless, true)
	if err := d.c.Override(outPump, 1, 24*time.Hour); err != nil {
		t.Fatal(err)
	}
	if err := d.c.Override(outDump, 1, 24*time.Hour); err != nil {
		t.Fatal(err)
	}
	d.flicker(23 * time.Hour)
	d.expect(outPump, false, SaysTankFull)
	d.expect(outDump, false, SaysDumpLocked)
	d.flicker(2 * time.Hour)
	d.expect(outPump, true, SaysDumpPumps) // one try a day
	d.expectFinding(FoundHeatDumpFruitless, false)
}

// TestDumpByHandOpensNoFullTank: a valve that a person has opened is no reason
// to pump.
func TestDumpByHandOpensNoFullTank(t *testing.T) {
	d := hotAfternoon(t)
	if err := d.c.Override(outDump, 1, time.Hour); err != nil {
		t.Fatal(err)
	}
	if err := d.c.Override(outPump, 1, time.Hour); err != nil {
		t.Fatal(err)
	}
	d.run(10 * time.Minute)
	d.expect(outDump, true, SaysOverride)
	d.expect(outPump, false, SaysTankFull)
}

// TestHeatDumpOfAnOverheatedTank: nothing is led past a tank that something else
// has heated too far.
func TestHeatDumpOfAnOverheatedTank(t *testing.T) {
	d := hotAfternoon(t)
	d.set(30, 95, 74, 70)
	d.run(time.Minute)
	d.set(30, 95, 75, 70)
	d.run(5 * time.Minute)
	d.expect(outDump, false, SaysDumpTooHot)
	d.expect(outPump, false, SaysTankFull)
	d.set(30, 95, 74.9, 70)
	d.run(5 * time.Minute)
	d.expect(outPump, true, SaysDumpPumps)
}

// TestDumpIsNoRunInVain: heat that is led past the tank does not show in it; the
// pump is not rested for that, and nothing is learned of the gap.
func TestDumpIsNoRunInVain(t *testing.T) {
	d := hotAfternoon(t)
	for range 5 * 60 {
		for i, c := range []float64{30, 95, 70, 55} {
			d.readings[i] = Reading{Value: c}
		}
		d.out = d.c.Step(time.Minute, d.wall, d.readings)
		d.wall.Time = d.wall.Time.Add(time.Minute)
	}
	d.expect(outDump, true, SaysDump)
	if !d.out.Decisions[outPump].On() {
		t.Errorf("the pump rests: %s", d.out.Decisions[outPump].Reason)
	}
	d.expectFinding(FoundPumpMovesNoHeat, false)
	if m := d.c.st.Systems[0].Signs.Gap.Plain; m.PeakK > 30 {
		t.Errorf("a gap of %g K was learned from a run past the tank", m.PeakK)
	}
}
