package control

import (
	"math"
	"time"
)

// Controller decides for one house. It is not safe for concurrent use.
type Controller struct {
	plan Plan
	st   State

	systems  []system
	claims   []heaterClaim  // of the heaters that share the supply
	watches  []watch        // per probe
	ballots  []ballot       // per output
	limits   []outputLimits // per output
	tariff   tariff
	absent   Judged // stands for every reading that is not wired
	findings findings
	out      Outcome
	board    Board
	told     bool // somebody has told of the board
	uneasy   bool // some probe is not, or was lately not, as it should be

	startedAt    time.Duration // service time at the last Restarted
	holidayAsked bool          // a person has spoken of a holiday since then

	clockSet   bool // the wall clock is to be trusted
	wall       time.Time
	light      LightForecast
	lightNew   bool  // it is not spread over the collectors yet
	minute     int   // local minute of the day
	minuteOf   int64 // Unix minute that it was worked out for
	dayOf      int64 // local day since 1970 that the season was worked out for
	coldSeason bool
	sky        sky
	skyOf      int64 // span of sunPeriod since 1970 that it was worked out for
}

// Outcome is what one step gives. It belongs to the controller and is valid
// until the next step; whoever keeps it makes a copy.
type Outcome struct {
	Readings  []Judged   // one per Plan.Probes
	Decisions []Decision // one per Plan.Outputs
	Findings  []Finding  // what is wrong now, most urgent first
}

// New makes a controller for a house. It starts with everything off and no
// memory.
func New(plan Plan) (*Controller, error) {
	if err := plan.check(); err != nil {
		return nil, err
	}
	if plan.Zone == nil {
		plan.Zone = time.UTC
	}
	c := &Controller{plan: plan, st: newState(&plan)}
	c.out.Readings = make([]Judged, len(plan.Probes))
	c.out.Decisions = make([]Decision, len(plan.Outputs))
	c.ballots = make([]ballot, len(plan.Outputs))
	c.limits = make([]outputLimits, len(plan.Outputs))
	c.watches = make([]watch, len(plan.Probes))
	c.systems = make([]system, len(plan.Systems))
	c.out.Findings = make([]Finding, 0, 8)
	c.findings = newFindings(&c.plan)
	c.bind()
	return c, nil
}

// bind ties systems, readings, outputs, settings and memory together.
func (c *Controller) bind() {
	p := &c.plan
	reading := func(system int, place Place) (*Judged, *ProbeState) {
		if i := p.probeAt(system, place); i != none {
			return &c.out.Readings[i], &c.st.Probes[i]
		}
		return &c.absent, nil
	}
	for i := range p.Systems {
		s := system{index: i, plan: &p.Systems[i], set: &p.Systems[i].Settings, mem: &c.st.Systems[i]}
		s.heatBudget = budgetOf(s.plan)
		s.figures = tankFiguresOf(s.plan)
		s.collector, s.collectorProbe = reading(i, Collector)
		s.tankTop, s.topProbe = reading(i, TankTop)
		s.tankBottom, s.bottomProbe = reading(i, TankBottom)
		s.outdoor, s.outdoorProbe = reading(House, OutdoorAir)
		s.coilReturn, _ = reading(i, CoilReturn)
		s.loopFlow, _ = reading(i, LoopFlow)
		s.drawFlow, _ = reading(i, DrawFlow)
		s.heaterCurrent, _ = reading(i, HeaterCurrent)
		s.button, _ = reading(i, CirculationButton)
		s.pumpCurrent, _ = reading(i, PumpCurrent)
		s.loopPressure, _ = reading(i, LoopPressure)
		s.circulationReturn, _ = reading(i, CirculationReturn)
		s.returnWired = s.circulationReturn != &c.absent
		s.tap, _ = reading(i, Tap)
		s.pump, s.heater = p.outputOf(i, LoopPump), p.outputOf(i, BackupHeater)
		s.circulation, s.dump = p.outputOf(i, HotWaterCirculation), p.outputOf(i, HeatDump)
		s.learns = s.learnsOf()
		c.systems[i] = s
	}
	c.minuteOf, c.dayOf, c.skyOf, c.lightNew = never, never, never, !c.light.From.IsZero()
	for i, o := range p.Outputs {
		set := &p.Systems[o.System].Settings
		switch o.Actuator {
		case BackupHeater:
			c.limits[i] = outputLimits{set.HeaterMinimumRun, set.HeaterMinimumRest, o.LeastLevel}
		case HotWaterCirculation:
			c.limits[i] = outputLimits{circulationPause, circulationPause, o.LeastLevel}
		case HeatDump:
			c.limits[i] = outputLimits{dumpPause, dumpPause, o.LeastLevel}
		default:
			c.limits[i] = outputLimits{set.MinimumRun, set.MinimumRest, o.LeastLevel}
		}
	}
	c.claims, c.tariff = c.claimsOf(), tariffOf(p)
	for i := range p.Probes {
		c.watches[i] = c.watchOf(i)
	}
}

// watchOf ties up what judging needs of one probe.
func (c *Controller) watchOf(probe int) watch {
	p := &c.plan
	pr := p.Probes[probe]
	w := watch{reading: &c.out.Readings[probe], mem: &c.st.Probes[probe], limit: &placeLimits[pr.Place], set: &p.Settings, movesK: frozenNeighbourK}
	if pr.Place == Collector && p.probeAt(House, OutdoorAir) != none {
		w.movesK = frozenAirK
	}
	if pr.System != House {
		w.set = &p.Systems[pr.System].Settings
	}
	n := p.neighbour(probe)
	if n == none {
		return w
	}
	w.frozenAfter = w.set.FrozenAfter
	// The water beside the coil may rest for a day; it moves when the loop runs.
	if pr.Place == TankBottom {
		pump := p.outputOf(pr.System, LoopPump)
		if pump == none {
			return w
		}
		w.mover, w.frozenAfter = &c.st.Outputs[pump], w.set.FrozenAfter/pumpedFrozenShare
	}
	w.neighbour = &c.out.Readings[n]
	return w
}

// Plan gives the house that the controller was made for.
func (c *Controller) Plan() *Plan { return &c.plan }

// Service gives the time the controller has worked, all runs together.
func (c *Controller) Service() time.Duration { return c.st.Service }

// HygieneSince gives the service time since a system's last hygiene heat-up that
// was held to its end, as the controller claims it.
func (c *Controller) HygieneSince(system int) time.Duration { return c.st.Systems[system].HygieneSince }

// Output gives the memory of one output: its level, run time and switchings.
func (c *Controller) Output(i int) OutputState { return c.st.Outputs[i] }

// OverrideOf gives the override of one output; its Left is 0 when there is none.
func (c *Controller) OverrideOf(output int) OverrideState { return c.st.Overrides[output] }

// LongestStep bounds the time that [Controller.Step] believes to have passed since
// the step before. A clock that is wrong may say anything; a day is more than any
// program sleeps and goes on, leaves no timer of a rule short of its end that a
// minute's ticks would not bring to it, and room to count on for ever. What is
// longer is for [Controller.WasAway].
const LongestStep = 24 * time.Hour

// Step decides. Elapsed is the monotonic time since the step before (0 at the
// first; below 0 counts as 0, above [LongestStep] as that). Wall is used for windows and seasons alone and
// may jump. Readings stand in the order of Plan.Probes; one that is not there
// counts as missing. The outcome is valid until the next step.
func (c *Controller) Step(elapsed time.Duration, wall Wall, readings []Reading) *Outcome {
	elapsed = min(max(0, elapsed), LongestStep)
	c.st.Service += elapsed
	c.setWall(wall)
	c.judge(readings, elapsed)
	for i := range c.ballots {
		c.ballots[i].clear()
	}
	c.st.HolidayLeft = max(0, c.st.HolidayLeft-elapsed)
	c.overrideRule(elapsed)
	c.servicingRule()
	for i := range c.systems {
		s := &c.systems[i]
		s.look()
		if s.pump != none {
			c.pumpRules(s, elapsed)
		}
		c.hygieneRule(s, elapsed)
		if s.heater != none {
			c.tankFrostRule(s)
			c.heaterGuardRule(s)
			c.heaterEffortRule(s, elapsed)
			c.heaterRule(s, elapsed)
			c.offPeakRule(s)
			c.sunFirstRule(s)
		}
		if s.circulation != none {
			c.circulationRule(s, elapsed)
		}
	}
	c.supplyRule(elapsed)
	for i := range c.ballots {
		c.settle(i, elapsed)
	}
	c.keepBook(elapsed)
	c.lookForFindings(elapsed, wall.Time)
	return &c.out
}

// pumpRules lets the rules for a loop pump vote; frost protection is first,
// since the others look at what it wants.
func (c *Controller) pumpRules(s *system, elapsed time.Duration) {
	c.restartCeilingRule(s, elapsed)
	if s.dump != none {
		c.heatDumpRule(s, elapsed)
	}
	c.frostRule(s, elapsed)
	c.countFrost(s, elapsed)
	c.tankLimitRule(s)
	c.blindRule(s)
	c.loopEffortRule(s)
	c.loopRule(s, elapsed)
	c.nightCoolingRule(s)
	c.exerciseRule(s)
}

// settle turns an output's votes into its decision and counts its times.
func (c *Controller) settle(i int, elapsed time.Duration) {
	mem := &c.st.Outputs[i]
	mem.InState += elapsed
	if mem.Level > 0 {
		mem.On += elapsed
		mem.Idle = 0
	} else {
		mem.Idle += elapsed
	}
	if c.plan.ObserveOnly {
		c.ballots[i].observe(&c.out.Decisions[i], &c.limits[i])
		mem.Level = 0
		return
	}
	c.ballots[i].decide(&c.out.Decisions[i], mem, &c.limits[i])
}

// never is a minute and a day before any that a clock can show.
const never = math.MinInt64

// setWall works out once a minute what depends on the time of the day and on
// the season: time zones are dear.
func (c *Controller) setWall(wall Wall) {
	trustChanged := wall.Trusted != c.clockSet
	c.clockSet = wall.Trusted
	c.wall = wall.Time
	at := wall.Time.Unix() / 60
	if at == c.minuteOf && !trustChanged {
		return
	}
	local := wall.Time.In(c.plan.Zone)
	c.minuteOf = at
	_, offsetS := local.Zone()
	day, second := floorDiv(local.Unix()+int64(offsetS), 24*3600)
	c.minute = int(second / 60)
	if day != c.dayOf || trustChanged {
		c.dayOf = day
		c.coldSeason = mayFreeze(Wall{local, wall.Trusted}, c.plan.LatitudeDeg)
		c.lightOfDay(local)
	}
	if c.lightNew {
		c.spreadLight()
	}
	c.lookUp(wall)
	for i := range c.systems {
		s := &c.systems[i]
		s.heaterWindow = c.within(s.set.HeaterWindows)
		s.offPeak = c.within(s.set.OffPeakWindows)
		s.circulationWindow = c.within(s.set.CirculationWindows)
	}
}

// within tells whether it is time for something with windows: not while the
// clock is not set, unless it is always time.
func (c *Controller) within(windows Windows) bool {
	return windows.Always() || c.clockSet && windows.Contain(c.minute)
}

// floorDiv divides towards the past, so that days before 1970 are days too.
func floorDiv(a, b int64) (quotient, rest int64) {
	quotient, rest = a/b, a%b
	if rest < 0 {
		return quotient - 1, rest + b
	}
	return quotient, rest
}
