package control

import "time"

// exerciseRun is how long a pump that has stood still is turned over.
const exerciseRun = 20 * time.Second

// exerciseRule turns a loop pump over that has stood still for long, so that it
// does not seize; not against fluid that may be thick with frost. It waits for
// the dark, or where none comes for the sun's lowest hour: by day a collector
// whose probe has slipped may be full of steam. It is the weakest of all wishes.
func (c *Controller) exerciseRule(s *system) {
	pump, m := &c.st.Outputs[s.pump], s.mem
	if !m.Exercising && pump.Idle < s.set.ExerciseAfter {
		return
	}
	coldest, ok := s.coldest()
	thick := !s.plan.WaterFilled && (!ok || coldest < s.plan.FreezingPointC+s.set.FreezeWarningMarginK)
	switch {
	case s.set.ExerciseAfter == 0, thick:
		m.Exercising = false
	case pump.Level == 0:
		m.Exercising = pump.Idle >= s.set.ExerciseAfter && (c.sky.dark || c.sky.lowest || !c.clockSet)
	case pump.InState >= exerciseRun:
		m.Exercising = false
	}
	if m.Exercising {
		c.ballots[s.pump].cast(1, Upkeep, because(SaysExercise, seconds(s.set.ExerciseAfter)))
	}
}
