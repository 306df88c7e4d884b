package control

import "testing"

const atExtra = 4 // the probe that deskWith adds

// flowing is a run of the loop with a gain of a quarter of a kelvin a minute.
func (d *desk) flowing(minutes int, lMin func(minute int) float64) {
	d.by(minutes, func(minute int) {
		gained := float64(minute%100) / 4
		d.set(20, 50+gained, 40+gained/2, 30+gained)
		d.readings[atExtra] = Reading{Value: lMin(minute)}
	})
}

func steadily(lMin float64) func(int) float64 { return func(int) float64 { return lMin } }

func TestSilentFlowMeter(t *testing.T) {
	d := deskWith(t, LoopFlow)
	d.flowing(90, steadily(0))
	d.expectEvidence(FoundFlowMeterSilent, SawFlowMeterSilent, 0)
	d.by(120, func(minute int) { d.fail(atExtra) })
	d.expectFinding(FoundFlowMeterSilent, true)
	d.flowing(90, steadily(2))
	d.expectFinding(FoundFlowMeterSilent, false)

	d = deskWith(t, LoopFlow) // nothing flows and nothing comes: the meter is right
	d.never(FoundFlowMeterSilent, func() {
		d.by(120, func(int) { d.set(20, 60, 40, 30) })
	})
}

func TestFlowMeterThatCountsAtRest(t *testing.T) {
	d := deskWith(t, LoopFlow)
	at := func(collector, lMin float64) func(int) {
		return func(int) {
			d.set(10, collector, 40, 30)
			d.readings[atExtra] = Reading{Value: lMin}
		}
	}
	d.by(120, at(10, 1))
	d.expectEvidence(FoundFlowMeterAtRest, SawFlowMeterAtRest, 1, 120*60)
	d.by(120, func(int) { d.fail(atExtra) })
	d.expectFinding(FoundFlowMeterAtRest, true)
	d.by(70, at(10, 0))
	d.expectFinding(FoundFlowMeterAtRest, false)

	d = deskWith(t, LoopFlow) // a warm collector may move the loop by itself
	d.never(FoundFlowMeterAtRest, func() { d.by(180, at(33, 1)) })
}

func TestFlowThatGrowsWeak(t *testing.T) {
	d := deskWith(t, LoopFlow)
	d.flowing(600, steadily(3))
	d.never(FoundPumpWeak, func() { d.flowing(600, steadily(2.3)) })
	d.flowing(600, steadily(3))
	d.flowing(300, steadily(1.5))
	usual := d.c.systems[0].mem.Signs.Flow.UsualLMin
	d.expectEvidence(FoundPumpWeak, SawPumpWeakFlow, 1.5, usual)
	if usual < 2.5 {
		t.Errorf("what is usual fell to %.2f l/min with the fault", usual)
	}
	d.by(300, func(minute int) {
		gained := float64(minute%100) / 4
		d.set(20, 50+gained, 40+gained/2, 30+gained)
		d.fail(atExtra)
	})
	d.expectFinding(FoundPumpWeak, true)
	d.flowing(400, steadily(3))
	d.expectFinding(FoundPumpWeak, false)
}

// TestFlowThatFadesOverMonths: a strainer that blocks slowly is not taken for
// usual.
func TestFlowThatFadesOverMonths(t *testing.T) {
	d := deskWith(t, LoopFlow)
	d.flowing(200*60, steadily(3))
	const hours = 600
	d.flowing(hours*60, func(minute int) float64 { return 3 - 1.5*float64(minute)/(hours*60) })
	d.expectFinding(FoundPumpWeak, true)
}

func TestAirInTheFlow(t *testing.T) {
	bursts := func(minute int) float64 { return 0.2 + 2.4*float64(minute%2) }
	d := deskWith(t, LoopFlow)
	d.never(FoundLoopAir, func() { d.flowing(400, func(minute int) float64 { return 2.7 + 0.6*float64(minute%2) }) })
	d.flowing(120, bursts)
	d.expectFinding(FoundLoopAir, true)
	d.by(60, func(int) { d.fail(atExtra); d.fail(atCollector) })
	d.expectFinding(FoundLoopAir, true)
	d.flowing(120, steadily(3))
	d.expectFinding(FoundLoopAir, false)
}

// TestAirByItsCurrent: the pump turns, and no heat moves.
func TestAirByItsCurrent(t *testing.T) {
	d := deskWith(t, PumpCurrent)
	d.by(15, func(int) { d.set(20, 95, 40, 30); d.readings[atExtra] = Reading{Value: 0.3} })
	d.expectFinding(FoundLoopAir, true)
	d.expectFinding(FoundPumpMovesNoHeat, false) // its consequence

	d = deskWith(t, PumpCurrent) // without a current it is not air
	d.never(FoundLoopAir, func() {
		d.by(15, func(int) { d.set(20, 95, 40, 30); d.readings[atExtra] = Reading{Value: 0} })
	})
}

// TestAirByTheSaw: plugs of steam and cold fluid make a saw of the collector.
func TestAirByTheSaw(t *testing.T) {
	d := newDesk(t)
	saw := func(minute int) float64 { return []float64{50, 60, 72, 60, 50, 48}[minute%6] }
	d.by(130, func(minute int) { d.set(20, saw(minute), 40, 30) })
	d.expectFinding(FoundLoopAir, true)
}
