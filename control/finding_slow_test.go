package control

import (
	"slices"
	"testing"
	"time"
)

// deskWith is a desk whose system has one probe more, at place.
func deskWith(t *testing.T, place Place) *desk {
	t.Helper()
	d := newDesk(t, func(p *Plan) { p.Probes = append(p.Probes, Probe{0, place}) })
	d.readings = append(d.readings, Reading{})
	return d
}

// atNight sets the clock to the middle of a night of the plan's place.
func (d *desk) atNight() {
	d.wall = Wall{Time: time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC), Trusted: true}
}

// TestPumpThatMovesNoHeat: the collector stays far above a tank that does not
// gain. The pump rests, is tried again, and the finding goes with the first
// gain.
func TestPumpThatMovesNoHeat(t *testing.T) {
	d := newDesk(t)
	d.set(20, 95, 40, 30)
	d.settled()
	d.run(12 * time.Minute)
	d.expectFinding(FoundPumpMovesNoHeat, true)
	d.expect(outPump, false, SaysLoopFruitless)
	if err := d.c.Override(outPump, 1, time.Minute); err != nil {
		t.Fatal(err)
	}
	d.run(time.Second)
	d.expect(outPump, true, SaysOverride) // a person bleeds the loop
	d.run(25 * time.Minute)
	d.expect(outPump, true, SaysLoopGains)
	for gained := range 10 {
		d.set(20, 60, 40+float64(gained), 30+float64(gained))
		d.run(2 * time.Minute)
	}
	d.expectFinding(FoundPumpMovesNoHeat, false)
	d.expect(outPump, true, SaysLoopGains)
}

// TestHealthyRunIsNoFinding: a small flow with a large gap gains all the same.
func TestHealthyRunIsNoFinding(t *testing.T) {
	d := newDesk(t)
	for gained := range 20 {
		d.set(20, 80+float64(gained), 40+float64(gained), 30+float64(gained))
		d.run(4 * time.Minute)
		d.expectFinding(FoundPumpMovesNoHeat, false)
	}
}

func TestPumpThatRestsForLong(t *testing.T) {
	d := newDesk(t)
	d.set(20, 95, 40, 30)
	m := &d.c.systems[0].mem.Signs.Loop
	for m.Vain <= effortStarts {
		d.run(10 * time.Minute)
	}
	if m.Pause < effortLongRest-11*time.Minute {
		t.Errorf("after %d runs in vain the pump rests for %v", m.Vain, m.Pause)
	}
}

// TestCurrents: a clamp that contradicts the order, both ways.
func TestCurrents(t *testing.T) {
	for _, c := range []struct {
		place    Place
		output   int
		on       bool
		bad, fit float64
		kind     FindingKind
	}{
		{PumpCurrent, outPump, true, 0, 0.3, FoundPumpNoCurrent},
		{PumpCurrent, outPump, false, 0.3, 0, FoundPumpRelayStuck},
		{HeaterCurrent, outHeater, true, 0, 8.7, FoundHeaterNoCurrent},
		{HeaterCurrent, outHeater, false, 8.7, 0, FoundHeaterRelayStuck},
	} {
		d := deskWith(t, c.place)
		d.readings[4].Value = c.bad
		level := 0.0
		if c.on {
			level = 1
		}
		d.settled()
		if err := d.c.Override(c.output, level, 10*time.Hour); err != nil {
			t.Fatal(err)
		}
		d.run(10 * time.Minute)
		d.expectFinding(c.kind, true)
		d.readings[4].Value = c.fit
		d.run(70 * time.Minute)
		d.expectFinding(c.kind, false)
	}
}

// TestHeaterRelayStuckByItsHeat: without a clamp the rise of a tank at rest tells,
// and a tank that stays cool for a night says that it is over: one that its own
// thermostat has switched off, or that is drawn from, says nothing.
func TestHeaterRelayStuckByItsHeat(t *testing.T) {
	d := newDesk(t)
	d.set(20, 20, 55, 40)
	d.run(30 * time.Minute)
	for rise := range 10 {
		d.set(20, 20, 55+float64(rise), 40+float64(rise)/2)
		d.run(6 * time.Minute)
	}
	d.expectFinding(FoundHeaterRelayStuck, true)
	d.fail(atTop)
	d.run(3 * time.Hour)
	d.expectFinding(FoundHeaterRelayStuck, true) // the loss of its reading clears nothing
	d.set(20, 20, 58, 44)
	d.run(20 * time.Hour)
	d.expectFinding(FoundHeaterRelayStuck, true)
	for draw := range 8 {
		d.set(20, 20, 52-5*float64(draw%2), 30)
		d.run(90 * time.Minute)
	}
	d.expectFinding(FoundHeaterRelayStuck, true)
	d.set(20, 20, 47, 30)
	d.run(7 * time.Hour)
	d.expectFinding(FoundHeaterRelayStuck, false)
}

// TestHumIsNoHeat: a probe that swings is not taken for a heater that can't be
// switched off, and by day a pump that brings the sun's heat is not either.
func TestHumIsNoHeat(t *testing.T) {
	d := newDesk(t)
	d.atNight()
	d.never(FoundHeaterRelayStuck, func() {
		d.by(8*60, func(minute int) {
			swing := 2.5 * float64(minute%4-2)
			d.set(5, 5, 45+swing, 40+swing)
		})
	})
	d = newDesk(t) // put back into its pocket, and warm soon after
	d.atNight()
	d.never(FoundHeaterRelayStuck, func() {
		d.by(60, func(int) { d.set(5, 5, 18, 18) })
		d.by(120, func(minute int) { d.set(5, 5, min(18+4*float64(minute), 60), 40) })
	})
	d = newDesk(t)
	d.never(FoundHeaterRelayStuck, func() {
		d.by(3*60, func(minute int) {
			rise := float64(minute) / 10
			d.set(20, 50+rise, 48+rise, 46+rise)
		})
	})
}

// TestWarmRoofAtNight: far below the tank it is a check valve, as warm as the
// tank it is a pump that does not stop.
func TestWarmRoofAtNight(t *testing.T) {
	for collector, kind := range map[float64]FindingKind{30: FoundReverseCirculation, 49: FoundPumpRelayStuck} {
		d := newDesk(t)
		d.atNight()
		d.set(5, 5, 55, 50)
		d.run(3 * time.Hour)
		d.expectFinding(kind, false)
		d.atNight()
		d.set(5, collector, 55, 50)
		d.run(90 * time.Minute)
		d.expectFinding(kind, true)
		d.set(5, 4, 55, 50)
		d.run(70 * time.Minute)
		d.expectFinding(kind, false)
	}
}

// sunAtMidnight is a desk whose clock is found to be wrong.
func sunAtMidnight(t *testing.T) *desk {
	d := newDesk(t)
	d.atNight()
	d.set(5, 65, 45, 40)
	d.flicker(45 * time.Minute)
	d.expectFinding(FoundClockWrong, true)
	return d
}

// TestSunInTheNight: a collector that is hotter than the tank at midnight proves
// that the clock is wrong, and explains what else looks odd.
func TestSunInTheNight(t *testing.T) {
	d := sunAtMidnight(t)
	overcast := func() {
		d.set(5, 4, 45, 40)
		d.flicker(40 * time.Hour)
	}
	overcast()
	d.expectFinding(FoundClockWrong, true) // a clock that is half a day ahead shows no sun under clouds either
	d.wall.Time = time.Date(2026, 3, 2, 11, 0, 0, 0, time.UTC)
	d.c.st.House.WallKnown = false // it goes on as before
	d.set(5, 65, 45, 40)
	d.flicker(time.Hour)
	overcast()
	d.expectFinding(FoundClockWrong, false)
}

// TestSoundElsewhere: of three systems, of which the last has no collector probe.
func TestSoundElsewhere(t *testing.T) {
	for _, c := range []struct {
		swapped [3]bool
		want    [3]bool // for each of them
	}{
		{[3]bool{}, [3]bool{true, true, true}},
		{[3]bool{true, false, false}, [3]bool{true, false, true}},
		{[3]bool{false, true, false}, [3]bool{false, true, true}},
		{[3]bool{true, true, false}, [3]bool{}},
	} {
		made, err := New(testPlan(3, func(p *Plan) {
			p.Systems[2].Loop = Natural
			p.Probes = slices.DeleteFunc(p.Probes, func(pr Probe) bool { return pr == Probe{2, Collector} })
			p.Outputs = slices.DeleteFunc(p.Outputs, func(o Output) bool { return o.System == 2 && o.Actuator == LoopPump })
		}))
		if err != nil {
			t.Fatal(err)
		}
		for i, swapped := range c.swapped {
			made.followSign(FoundCollectorSwapped, i, 0, swapped, findingTable[FoundCollectorSwapped].raiseAfter)
		}
		for i := range made.systems {
			if got := made.soundElsewhere(&made.systems[i]); got != c.want[i] {
				t.Errorf("swapped %v: a sound one beside the system %d: %v", c.swapped, i, got)
			}
		}
	}
}

// TestASwappedCollectorClearsNoOther: the sun it saw in the night is explained by that,
// and not the one that a sound collector of the house has seen.
func TestASwappedCollectorClearsNoOther(t *testing.T) {
	for _, sound := range []bool{true, false} {
		c, err := New(testPlan(2))
		if err != nil {
			t.Fatal(err)
		}
		d := &desk{t: t, c: c, readings: make([]Reading, len(c.plan.Probes))}
		d.atNight()
		show := func(collectorC float64) {
			for i, v := range []float64{5, collectorC, 45, 40, collectorC, 45, 40} {
				d.readings[i].Value = v
			}
		}
		show(65)
		d.flicker(45 * time.Minute)
		d.expectFinding(FoundClockWrong, true)
		show(4)
		for minute := range 7 * 60 {
			for i, swapped := range []bool{!sound, true} {
				d.c.followSign(FoundCollectorSwapped, i, 0, swapped, findingTable[FoundCollectorSwapped].raiseAfter)
			}
			d.waver(minute)
			d.run(time.Minute)
		}
		if got := d.c.raised(FoundClockWrong, House, 0); got != sound {
			t.Errorf("a collector that is not swapped saw the sun at midnight: %v, and a wrong clock is told: %v", sound, got)
		}
	}
}

// TestAClockThatIsSetIsAnotherClock: what was found by a clock that was hours off
// goes with it; what was found by a good one stays.
func TestAClockThatIsSetIsAnotherClock(t *testing.T) {
	for _, c := range []struct {
		moved time.Duration
		stays bool
	}{{59 * time.Minute, true}, {time.Hour, false}, {-59 * time.Minute, true}, {-time.Hour, false}} {
		d := sunAtMidnight(t)
		d.c.systems[0].mem.Signs.Night.Nights = 5
		d.c.followSign(FoundReverseCirculation, 0, 0, true, findingTable[FoundReverseCirculation].raiseAfter)
		d.wall.Time = d.wall.Time.Add(c.moved)
		d.flicker(2 * time.Minute)
		d.expectFinding(FoundClockWrong, c.stays)
		if d.c.raised(FoundReverseCirculation, 0, 0) != c.stays || (d.c.systems[0].mem.Signs.Night.Nights > 0) != c.stays {
			t.Errorf("moved by %v: what followed from the clock stays: %v", c.moved, !c.stays)
		}
	}
	d := newDesk(t)
	d.atNight()
	d.set(5, 20, 55, 50)
	d.run(4 * time.Hour)
	d.expectFinding(FoundReverseCirculation, true)
	d.wall.Time = d.wall.Time.Add(-time.Hour)
	d.run(2 * time.Minute)
	d.expectFinding(FoundReverseCirculation, true)
}

func TestSwappedProbes(t *testing.T) {
	d := newDesk(t)
	d.set(20, 25, 30, 38)
	d.run(200 * time.Minute)
	d.expectFinding(FoundTankProbesSwapped, true)
	d.set(20, 25, 30, 50)
	d.run(15 * time.Minute)
	d.expectFinding(FoundCollectorSwapped, true)
	d.expectFinding(FoundTankProbesSwapped, false) // only its consequence
	d.wall = noon
	d.set(20, 30, 50, 30)
	d.run(4 * time.Hour)
	d.expectFinding(FoundTankProbesSwapped, false)
	d.expectFinding(FoundCollectorSwapped, false)
}

func TestPressure(t *testing.T) {
	for _, c := range []struct {
		bad, fit float64
		kind     FindingKind
	}{{0.3, 1.5, FoundPressureLow}, {5.95, 2, FoundPressureTooHigh}, {-0.2, 1, FoundPressureLow}} {
		d := deskWith(t, LoopPressure)
		d.readings[4].Value = c.bad
		d.run(15 * time.Minute)
		d.expectFinding(c.kind, true)
		d.readings[4].Value = c.fit
		d.run(65 * time.Minute)
		d.expectFinding(c.kind, false)
	}
}

func TestTapTooHot(t *testing.T) {
	d := deskWith(t, Tap)
	d.readings[4].Value = 58
	d.run(3 * time.Minute)
	d.expectFinding(FoundTapTooHot, true)
	d.readings[4].Value = 20 // nobody draws, which proves nothing
	d.run(time.Hour)
	d.expectFinding(FoundTapTooHot, true)
	d.readings[4].Value = 45
	d.run(15 * time.Minute)
	d.expectFinding(FoundTapTooHot, false)
}

func TestBoardsOwnTroubles(t *testing.T) {
	for kind, b := range map[FindingKind]Board{
		FoundSupplySags:        {SupplyLow: true, SupplySags: 3},
		FoundBoardHot:          {TempC: 84},
		FoundStorageNearlyFull: {StorageKnown: true, StorageFreeMB: 20},
		FoundWatchdogUnarmed:   {Watchdog: "it is not armed"},
		FoundStorageReadOnly:   {StorageKnown: true, StorageFreeMB: 900, StorageReadOnly: true},
		FoundHistoryUnwritten:  {Unwritten: "the storage is full"},
		FoundProbeNotGenuine:   {ProbeNotes: []string{"28-ff0000000000"}},
		FoundProbeStranger:     {Stranger: "28-000000000001"},
	} {
		d := newDesk(t)
		d.c.Tell(b)
		d.run(6 * time.Minute)
		d.expectFinding(kind, true)
		d.c.Tell(Board{StorageKnown: true, StorageFreeMB: 900, TempC: 50})
		d.run(25 * time.Hour)
		d.expectFinding(kind, false)
	}
}

func TestManyStartsAndJumps(t *testing.T) {
	d := newDesk(t)
	for range 6 {
		d.c.Restarted()
		d.run(2 * time.Minute)
	}
	d.expectFinding(FoundRestartsMany, true)
	for range 6 {
		d.wall.Time = d.wall.Time.Add(3 * time.Hour)
		d.run(2 * time.Minute)
	}
	d.expectFinding(FoundClockJumps, true)
}

func TestWornRelay(t *testing.T) {
	d := newDesk(t)
	d.c.st.Outputs[outPump].Switchings = relayLife
	d.run(2 * time.Minute)
	d.expectFinding(FoundRelayWorn, true)
}

// TestRootHidesItsConsequences: and never what is more urgent than itself.
func TestRootHidesItsConsequences(t *testing.T) {
	for root, list := range hides {
		for _, kind := range list {
			if kind.Urgency() > FindingKind(root).Urgency() {
				t.Errorf("%s, %s, hides %s, %s", FindingKind(root), FindingKind(root).Urgency(), kind, kind.Urgency())
			}
		}
	}
	d := deskWith(t, LoopPressure)
	d.readings[4].Value = 0
	d.set(20, 100, 40, 30)
	d.run(40 * time.Minute)
	d.expectFinding(FoundLoopDry, true)
	for _, kind := range []FindingKind{FoundPumpMovesNoHeat, FoundPressureLow} {
		if !d.c.raised(kind, 0, 0) {
			t.Errorf("%s is not raised", kind)
		}
		d.expectFinding(kind, false)
	}
}

// TestChainOfConsequences: what a hidden finding hides stays hidden.
func TestChainOfConsequences(t *testing.T) {
	list := withoutConsequences([]Finding{
		{Kind: FoundProbeSilent, About: AboutProbe, System: 0},
		{Kind: FoundAllProbesSilent, System: House},
		{Kind: FoundBusStuck, System: House},
		{Kind: FoundReverseCirculation, System: 1},
		{Kind: FoundPumpRelayStuck, System: 0},
	})
	if len(list) != 3 || list[0].Kind != FoundBusStuck || list[1].Kind != FoundReverseCirculation {
		t.Errorf("left are %v", list)
	}
}

// TestAProbeHidesItsOwnConsequences: not those of a probe at another place or in
// another system.
func TestAProbeHidesItsOwnConsequences(t *testing.T) {
	frozen := Finding{Kind: FoundProbeFrozen, About: AboutProbe, System: 0, Place: TankTop}
	jumps := Finding{Kind: FoundProbeJumps, About: AboutProbe, System: 0, Place: TankTop}
	for _, tc := range []struct {
		root, other Finding
		hides       bool
	}{
		{jumps, Finding{Kind: FoundProbeUnsteady, About: AboutProbe, System: 0, Place: TankTop}, true},
		{jumps, Finding{Kind: FoundProbeUnsteady, About: AboutProbe, System: 0, Place: TankBottom}, false},
		{jumps, Finding{Kind: FoundProbeUnsteady, About: AboutProbe, System: 1, Place: TankTop}, false},
		{frozen, Finding{Kind: FoundTankTopStuck, System: 0}, true}, // of a system, whatever its place
		{frozen, Finding{Kind: FoundTankTopStuck, System: 1}, false},
	} {
		if hides := tc.root.hides(&tc.other); hides != tc.hides {
			t.Errorf("%s of %s hides %s of %s, system %d: %v", tc.root.Kind, tc.root.Place.Words(), tc.other.Kind, tc.other.Place.Words(), tc.other.System, hides)
		}
	}
}
