package campaign

import (
	"math"
	"time"

	"sunstoker/control"
	"sunstoker/physics"
	"sunstoker/planner"
	"sunstoker/sim"
	"sunstoker/sim/plant"
)

const joulesPerKWh = 3.6e6

// watch looks at a run's truth after each step and counts its hazards from the
// strike of the fault on.
type watch struct {
	run     *planner.Run
	step    time.Duration
	systems []watched
	harm    Harm
	counts  bool          // the fault has struck
	settles time.Duration // from when on starts count as made after the repair
	after   int           // most starts of one output in an hour since then
	usage   sim.Usage
}

// watched is what is remembered of one system.
type watched struct {
	limitC, hygieneC float64
	hold, held, cold time.Duration // asked, and as the truth has it: hot, or not
	claimed, misled  bool          // a hygiene heat-up, in the claim that goes on, and falsely
	since            time.Duration // the controller's word on the last one
	turned           bool
	natural          bool          // no pump that could stop the sun
	heated           time.Duration // when the heater last heated
	book             plant.Book
	tally            plant.Tally
	starts           [2]hourly // of pump and heater
}

// hourly counts starts in the last hour.
type hourly struct {
	at   []time.Duration
	seen int
}

func (c *hourly) count(total int, now time.Duration) int {
	for ; c.seen < total; c.seen++ {
		c.at = append(c.at, now)
	}
	gone := 0
	for gone < len(c.at) && now-c.at[gone] > time.Hour {
		gone++
	}
	c.at = c.at[:copy(c.at, c.at[gone:])]
	return len(c.at)
}

func newWatch(run *planner.Run, plan *control.Plan, step time.Duration) *watch {
	w := &watch{run: run, step: step, systems: make([]watched, len(plan.Systems))}
	for i := range w.systems {
		set := &plan.Systems[i].Settings
		w.systems[i] = watched{
			limitC: set.TankLimitC, hygieneC: set.HygieneC, hold: set.HygieneHold,
			natural: plan.Systems[i].Loop == control.Natural, heated: -day,
		}
	}
	return w
}

// hygieneToleranceK is how much colder than claimed the water may have been: a
// probe's error and the distance from its pocket to the water. Common practice,
// no source.
const hygieneToleranceK = 3

// heatLasts is how long a tank that is too hot is held against its heater.
// Common practice, no source.
const heatLasts = 6 * time.Hour

// begin counts from now on.
func (w *watch) begin() {
	w.counts, w.usage = true, w.run.House.Usage()
	for h := range w.harm.First {
		w.harm.First[h] = -1
	}
}

func (w *watch) add(h Hazard, amount float64) {
	if !w.counts || amount <= 0 {
		return
	}
	w.harm.Amount[h] += amount
	w.mark(h)
}

// mark notes when a hazard has first reached what counts.
func (w *watch) mark(h Hazard) {
	if w.harm.First[h] < 0 && w.harm.Amount[h] >= hazardTable[h].least {
		w.harm.First[h] = w.run.House.Elapsed()
	}
}

// look counts what the last step brought.
func (w *watch) look() {
	for i := range w.systems {
		w.lookAtSystem(i)
	}
	if usage := w.run.House.Usage(); w.counts && usage.AskedJ != w.usage.AskedJ {
		missed := usage.AskedJ - usage.AtTemperatureJ - (w.usage.AskedJ - w.usage.AtTemperatureJ)
		w.add(TapsCold, missed/joulesPerKWh)
		w.usage = usage
	}
}

func (w *watch) lookAtSystem(i int) {
	s, house := &w.systems[i], w.run.House
	t := house.Truth(i)
	minutes := w.step.Minutes()
	during := func(h Hazard, is bool) {
		if is {
			w.add(h, minutes)
		}
	}
	during(TapScalds, t.AtTapC >= scaldC)
	if t.Heating {
		s.heated = house.Elapsed()
	}
	// The sun overheats a tank of natural circulation, and no program can stop it.
	during(TankTooHot, t.HottestC > s.limitC+overLimitK && (!s.natural || house.Elapsed()-s.heated < heatLasts))
	during(TankBoils, t.Hazards.TankBoiling)
	during(LoopBurst, t.Hazards.Burst)
	during(LoopPressure, t.LoopPressurePa-physics.StandardPressurePa > bearsBar*physics.PascalPerBar)
	if t.PumpTurns && !s.turned && t.Hazards.Steaming {
		w.add(PumpOnSteam, 1)
	}
	s.turned = t.PumpTurns
	w.lookAtHygiene(i, t.TankTopC)
	book, tally := house.Book(i), house.Tally(i)
	w.add(HeaterDry, (tally.BareS-s.tally.BareS)/60)
	w.add(HeatFromTheMeter, (book.HeaterJ-s.book.HeaterJ)/joulesPerKWh)
	if house.Light(i).IrradianceWM2 < sunDownWM2 {
		w.add(HeatToTheRoof, (s.book.LoopToTankJ-book.LoopToTankJ)/joulesPerKWh)
	}
	if tally.PumpStarts != s.tally.PumpStarts || tally.HeaterStarts != s.tally.HeaterStarts {
		w.countStarts(s, &tally)
	}
	s.book, s.tally = book, tally
}

func (w *watch) countStarts(s *watched, tally *plant.Tally) {
	now := w.run.House.Elapsed()
	most := max(s.starts[0].count(tally.PumpStarts, now), s.starts[1].count(tally.HeaterStarts, now))
	if w.settles > 0 && now > w.settles {
		w.after = max(w.after, most)
	}
	if w.counts && float64(most) > w.harm.Amount[RelayChatters] {
		w.harm.Amount[RelayChatters] = float64(most)
		if most >= chatterStarts && w.harm.First[RelayChatters] < 0 {
			w.harm.First[RelayChatters] = now
		}
	}
}

// claimLasts is how long a claim goes on that is not renewed: one that is made anew
// with each digit by which a hot tank's reading moves is one claim.
const claimLasts = time.Hour

// lookAtHygiene holds the controller's claim of a heat-up against the water at
// the tank's top.
func (w *watch) lookAtHygiene(i int, topC float64) {
	if w.systems[i].claimsFalsely(topC, w.run.Controller.HygieneSince(i), w.step) {
		w.add(FalseHygiene, 1)
	}
}

// claimsFalsely tells whether a heat-up is claimed, by the controller's word on how
// long ago it was, that was none: when a claim begins, the water must have been hot for
// nine tenths of the time, to within the tolerance, without a break; while it goes on,
// it must not have been colder for as long as a heat-up takes. A claim is told once.
func (s *watched) claimsFalsely(topC float64, since, step time.Duration) (falsely bool) {
	if topC >= s.hygieneC-hygieneToleranceK {
		s.held, s.cold = s.held+step, 0
	} else {
		s.held, s.cold = 0, s.cold+step
	}
	claims := since < s.since
	falsely = claims && !s.misled && (!s.claimed && float64(s.held) < 0.9*float64(s.hold) || s.cold >= s.hold)
	s.claimed = claims || s.claimed && since <= claimLasts
	s.misled = (s.misled || falsely) && s.claimed
	s.since = since // without a controller it stands, and nobody claims anything
	return falsely
}

// trace is what a plant's temperatures were, every ten minutes.
type trace []float32

const traceEvery = 10 * time.Minute

func (t trace) apart(other trace) (mostK float64) {
	for i := range min(len(t), len(other)) {
		mostK = math.Max(mostK, math.Abs(float64(t[i]-other[i])))
	}
	return mostK
}
