package control

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"time"
)

// slowPeriod is how often the signs are looked at that need comparison over
// minutes, nights or months. They cost a step nothing in between.
const slowPeriod = time.Minute

// HouseSigns is what the slow signs remember of the house.
type HouseSigns struct {
	LookFor time.Duration `json:"look_ns"` // since the last look
	SunFor  time.Duration `json:"sun_ns"`  // since what a clear sky gives was counted
	WasDark bool          `json:"dark"`    // at the last look

	WallKnown bool    `json:"wall_known"`
	WallAhead int64   `json:"wall_ahead_s"` // of the service time
	Jumps     float64 `json:"jumps"`        // of the clock, forgotten within some days
	LeapS     float64 `json:"leap_s"`       // the last jump that was a large one; 0 once it is forgotten
	Starts    float64 `json:"starts"`       // of the program, likewise

	JumpRest  time.Duration `json:"jump_rest_ns"` // since the last one
	StartRest time.Duration `json:"start_rest_ns"`
	SunByDay  bool          `json:"sun_by_day"`  // the sun has heated a collector by day, and not since then by night
	AwayFor   time.Duration `json:"away_ns"`     // how long no program had run, while that is told
	AwayAgo   time.Duration `json:"away_ago_ns"` // since it ran again
}

// Signs is what the slow signs remember of a system. Figures that were learned
// are shown and compared, and never change what is decided.
type Signs struct {
	PumpOn   time.Duration `json:"pump_on_ns"` // run time at the last look
	HeaterOn time.Duration `json:"heater_on_ns"`

	Loop     LoopSigns     `json:"loop"`
	Flow     FlowSigns     `json:"flow"`
	Gap      GapSigns      `json:"gap"`
	Night    NightSigns    `json:"night"`
	Heater   HeaterSigns   `json:"heater"`
	Speed    SpeedSigns    `json:"speed"`
	Pocket   PocketSigns   `json:"pocket"`
	Pressure PressureSigns `json:"pressure"`
	Yield    YieldSigns    `json:"yield"`
	Use      UseSigns      `json:"use"`
}

// glance is what one look finds, for all slow signs of a system.
type glance struct {
	span        time.Duration
	pumpShare   float64 // of the span that the pump ran
	heaterShare float64
	pumpRest    time.Duration // since the pump last ran; very long without a pump
	loopRests   bool          // nothing flows: the pump rests or, in natural circulation, the collector is colder
	heaterRest  time.Duration
	runFor      time.Duration // of the pump's run under way, 0 when it rests
	dark        bool          // the sun is known to be well below the horizon
	dusk        bool          // it has just become so: the day is over
	sunDeg      float64       // -90 when it is not known
	collectorC  float64
	coilC       float64
	gapK        float64 // collector above coil
	gapKnown    bool
	meanC       float64 // of the tank's good readings
}

// sight is what a look says of a sign.
type sight uint8

const (
	unclear sight = iota // the plant is not in a state that could tell
	absent               // a good look says that all is well
	present
)

// sees is present or absent.
func sees(is bool) sight {
	if is {
		return present
	}
	return absent
}

// clearedBy is present or, when a good look says otherwise, absent.
func clearedBy(is, well bool) sight {
	switch {
	case is:
		return present
	case well:
		return absent
	}
	return unclear
}

// note tells of a slow sign. What is unclear leaves a finding as it is. When
// the sign is present, its evidence is kept.
func (c *Controller) note(kind FindingKind, system, part int, what sight, span time.Duration, evidence Reason) {
	if what == unclear {
		if f := &c.findings.slots[c.findings.index(&c.plan, kind, system, part)]; f.raised {
			f.known += span
		}
		return
	}
	if f := c.sign(kind, system, part, what == present, span); f != nil {
		f.evidence = evidence
	}
}

// lookSlowly looks at all slow signs.
func (c *Controller) lookSlowly(wall time.Time) {
	h := &c.st.House
	span := h.LookFor
	h.LookFor = 0
	dark := c.sky.dark
	dusk := dark && !h.WasDark
	h.WasDark = dark
	c.countClearSky(span)
	c.lookAtClock(wall, span)
	c.lookAtAway(span)
	for i := range c.systems {
		s := &c.systems[i]
		g := c.glanceAt(s, span)
		g.dusk = dusk
		c.lookAtLoop(s, &g)
		c.lookAtFlow(s, &g)
		c.lookAtGap(s, &g)
		c.lookAtNight(s, &g)
		c.lookAtHeater(s, &g)
		c.lookAtHeaterSpeed(s, &g)
		c.lookAtPockets(s, &g)
		c.lookAtPressure(s, &g)
		c.lookAtYield(s, &g)
		c.lookAtUse(s, &g)
		c.lookAtCold(s, &g)
	}
	c.lookAtRelays(span)
	c.lookAtPowerUps(span)
}

// coldLoopK is how far below the hottest of the tank a collector stands that moves
// nothing by itself.
const coldLoopK = 2

// restEver stands for the rest of an output that there is not.
const restEver = longestSpan

func (c *Controller) glanceAt(s *system, span time.Duration) glance {
	g := glance{span: span, pumpRest: restEver, heaterRest: restEver, dark: c.sky.dark, sunDeg: -90}
	if c.sky.known {
		g.sunDeg = c.sky.sun.ElevationDeg
	}
	m := &s.mem.Signs
	if s.pump != none {
		o := &c.st.Outputs[s.pump]
		g.pumpShare, m.PumpOn = share(o.On-m.PumpOn, span), o.On
		g.pumpRest = o.Idle
		if o.Level > 0 {
			g.runFor = o.InState
		}
	}
	if s.heater != none {
		o := &c.st.Outputs[s.heater]
		g.heaterShare, m.HeaterOn = share(o.On-m.HeaterOn, span), o.On
		g.heaterRest = o.Idle
	}
	// What the heat dump takes past the tank says nothing of the tank.
	if coil, _ := s.coil(); coil.OK() && s.collector.OK() && !s.dumps {
		g.collectorC, g.coilC, g.gapKnown = s.collector.Value, coil.Value, true
		g.gapK = g.collectorC - g.coilC
	}
	g.loopRests = g.pumpShare == 0 && (s.pump != none || g.gapKnown && g.collectorC < s.hottestC-coldLoopK)
	switch {
	case s.tankTop.OK() && s.tankBottom.OK():
		g.meanC = (s.tankTop.Value + s.tankBottom.Value) / 2
	default:
		g.meanC = s.hottestC
	}
	return g
}

func share(part, span time.Duration) float64 {
	return min(1, max(0, float64(part)/float64(span)))
}

// countClearSky counts what a clear sky gives the collectors, as far as it is
// known where the sun stands.
func (c *Controller) countClearSky(span time.Duration) {
	h := &c.st.House
	if !c.sky.known {
		return
	}
	if h.SunFor += span; h.SunFor < sunPeriod {
		return
	}
	for i := range c.systems {
		s := &c.systems[i]
		s.mem.Signs.Yield.countClearSky(c.sky.sun, s.plan.Plane, min(h.SunFor, 2*sunPeriod))
	}
	h.SunFor = 0
}

// forgetMoment drops what was under way before a restart; what was learned
// stays.
func (c *Controller) forgetMoment() {
	h := &c.st.House
	h.LookFor, h.WasDark, h.WallKnown = 0, false, false
	h.Starts = min(h.Starts+1, 1000) // a program that dies within the minute counts on, and nothing fades
	h.StartRest = 0
	for i := range c.st.Systems {
		m := &c.st.Systems[i].Signs
		m.Loop.forgetMoment()
		m.Night.forgetMoment()
		m.Heater.forgetMoment()
		m.Speed.forgetMoment()
		m.Use.forgetMoment()
		m.Gap.HeldK, m.Gap.Plain.PeakK, m.Gap.Lit.PeakK = 0, 0, 0
		m.Pocket.PeakK = 0
		m.Flow.forgetMoment()
		m.Pressure.forgetMoment()
		m.Yield.forgetMoment()
		c.st.Systems[i].SunFirst.forgetMoment()
	}
}

// mostLearned bounds every figure of the slow signs: temperatures, differences,
// litres a minute, kWh and counts are all far below.
const mostLearned = 1e5

// checkLearned refuses signs that no run of this program can have left. It looks
// at them as they are saved, so that no field is forgotten: names that end in
// "_ns" are durations, those in "_s" come from the wall clock and may be anything.
func checkLearned(signs any) error {
	data, err := json.Marshal(signs)
	if err != nil {
		return fmt.Errorf("control: the saved signs can't be read: %w", err)
	}
	var fields map[string]any
	if err := json.Unmarshal(data, &fields); err != nil {
		return fmt.Errorf("control: the saved signs can't be read: %w", err)
	}
	return checkFields(fields)
}

func checkFields(fields map[string]any) error {
	for name, value := range fields {
		if err := checkField(name, value); err != nil {
			return err
		}
	}
	return nil
}

func checkField(name string, value any) error {
	switch v := value.(type) {
	case map[string]any:
		return checkFields(v)
	case []any:
		for _, one := range v {
			if err := checkField(name, one); err != nil {
				return err
			}
		}
	case float64:
		bad := math.Abs(v) > mostLearned
		if strings.HasSuffix(name, "_ns") {
			bad = v < 0 || v > float64(longestSpan)
		}
		if bad && !strings.HasSuffix(name, "_s") {
			return fmt.Errorf("control: the saved state has %g for the sign %q", v, name)
		}
	}
	return nil
}
