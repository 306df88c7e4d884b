package control

import "testing"

// turn is what looks and learning come to in the course of days, and rules look at;
// it tells whether there was anything to turn. The walk takes a turn in any state, so
// that more is visited than can happen: neither looks nor learning need be
// walked through.
type turn func(c *Controller, s *system) (turned bool)

// loopTurns: a loop is found to move no heat, and is tried again.
var loopTurns = []turn{
	func(_ *Controller, s *system) bool {
		m := &s.mem.Signs.Loop
		if m.Pause > 0 {
			return false
		}
		m.Pause = effortLongRest
		return true
	},
	func(_ *Controller, s *system) bool {
		m := &s.mem.Signs.Loop
		rests := m.Pause > 0
		m.Pause = 0
		return rests
	},
}

// topTurns: a tank top is found not to follow its tank, or to follow it again.
var topTurns = []turn{func(_ *Controller, s *system) bool {
	m := &s.mem.Signs.Pocket
	m.TopStuck = !m.TopStuck
	return true
}}

// savingTurns: a loop is learned, in a usual and in a strong sun, and a collector has
// gathered all that is worth waiting for.
var savingTurns = []turn{
	learnsGap(20), learnsGap(39),
	func(_ *Controller, s *system) bool {
		m := &s.mem.Saving
		waits := m.WaitedKS < s.worthKS()
		m.WaitedKS = max(m.WaitedKS, s.worthKS())
		return waits
	},
}

func learnsGap(gapK float64) turn {
	return func(_ *Controller, s *system) bool {
		m := &s.mem.Saving
		news := m.RanFor < goodSunKnown || gapClass(m.GoodSunK) != gapClass(gapK)
		m.RanFor, m.GoodSunK = max(m.RanFor, goodSunKnown), gapK
		return news
	}
}

// worthKS is the waiting that is worth a start.
func (s *system) worthKS() float64 {
	return s.set.PumpSavingPercent / 100 * s.savingFigures().waitKS
}

// gapClass tells gaps in good sun apart by how far they lift the differences: not at
// all, or in a hotter tank, or in any.
func gapClass(gapK float64) byte { return byte(min(gapK/15, 2)) }

// sunTurns: the habits of a house are learned, and whatever may be planned by them
// is, or there is no plan.
var sunTurns = []turn{
	func(_ *Controller, s *system) bool {
		m := &s.mem.SunFirst.Draws
		knew := m.learned()
		m.Days = [dayKinds]float64{habitDays, habitDays}
		return !knew
	},
	plans(false, false, false), plans(true, false, false), plans(true, false, true), plans(true, true, true),
}

func plans(planned, heat, starts bool) turn {
	return func(_ *Controller, s *system) bool {
		m := &s.mem.SunFirst
		news := m.Planned != planned || m.Heat != heat || m.Starts != starts
		m.Planned, m.Heat, m.Starts, m.PlanFor, m.PlanTopC = planned, heat, starts, 0, s.tankTop.Value
		return news
	}
}

// appendTurns is what rules see of looks and learning. That a start is held back
// (Gathers), that power is dearer later (Ahead) and whose forecast it was (ToldShare)
// changes words alone.
func (s *system) appendTurns(key []byte, m *SystemState) []byte {
	bits := byte(0)
	for i, is := range [...]bool{
		m.Signs.Loop.Pause > 0,
		m.Signs.Pocket.TopStuck,
		m.Saving.RanFor >= goodSunKnown,
		m.Saving.WaitedKS >= s.worthKS() && s.set.PumpSavingPercent > 0,
		m.SunFirst.Draws.learned(),
		m.SunFirst.Planned,
		m.SunFirst.Heat,
		m.SunFirst.Starts,
	} {
		if is {
			bits |= 1 << i
		}
	}
	return append(key, bits, gapClass(m.Saving.GoodSunK))
}

// TestTurnsAreSeen: the walk's key tells each turn from what was before it.
func TestTurnsAreSeen(t *testing.T) {
	d := newDesk(t, sure(95), withTank, func(p *Plan) { p.Systems[0].Settings.PumpSavingPercent = 100 })
	s := &d.c.systems[0]
	for name, turns := range map[string][]turn{"loop": loopTurns, "tank top": topTurns, "saving": savingTurns, "sun": sunTurns} {
		for i, take := range turns {
			was := string(s.appendTurns(nil, s.mem))
			turned := take(d.c, s)
			if is := string(s.appendTurns(nil, s.mem)); turned != (is != was) {
				t.Errorf("turn %d of the %s: turned %v, the key was %x and is %x", i, name, turned, was, is)
			}
		}
	}
}
