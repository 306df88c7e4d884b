package control

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"sunstoker/physics"
)

// storyOrders are what can be told to a story, by their first word.
var storyOrders = map[string]func(s *story, rest string) error{
	"house":    (*story).orderHouse,
	"setting":  (*story).orderSetting,
	"clock":    (*story).orderClock,
	"set":      (*story).orderSet,
	"run":      (*story).orderRun,
	"unplug":   func(s *story, rest string) error { return s.orderPlug(rest, true) },
	"plug":     func(s *story, rest string) error { return s.orderPlug(rest, false) },
	"boost":    (*story).orderBoost,
	"holiday":  (*story).orderHoliday,
	"override": (*story).orderOverride,
	"service":  (*story).orderService,
	"restart":  (*story).orderRestart,
	"expect":   (*story).orderExpect,
	"prices":   (*story).orderPrices,
	"forecast": (*story).orderForecast,

	// Of sweeps:
	"sweep":  (*story).orderSweep,
	"age":    (*story).orderAge,
	"memory": (*story).orderMemory,
	"litres": (*story).orderLitres,
	"lost":   func(s *story, _ string) error { s.c.MemoryLost(); return nil },
	"board":  (*story).orderBoard,
	"supply": (*story).orderSupply,
	"away":   (*story).orderAway,
	"found":  (*story).orderFound,
}

func (s *story) do(order string) error {
	word, rest, _ := strings.Cut(order, " ")
	if word == "again" {
		return s.again(rest)
	}
	do, known := storyOrders[word]
	if !known {
		return fmt.Errorf("%q is not understood; a story knows %s", word, strings.Join(slices.Sorted(maps.Keys(storyOrders)), ", "))
	}
	return do(s, strings.TrimSpace(rest))
}

// houseWords are what a house can have.
var houseWords = map[string]func(*Plan){
	"glycol":            func(*Plan) {},
	"water in the loop": waterFilled,
	"tempering valve":   func(p *Plan) { eachSystem(p, func(s *System) { s.Tempered = true }) },
	"two systems":       func(*Plan) {}, // looked at first
	"circulation":       ring,
	"heat dump":         dumped,
	"regulated pump":    speeds,
	"loop-fluid store":  fluidStore,
	"supply of 2.5 kW":  func(p *Plan) { p.SupplyW = 2500 },
	"draws in series":   func(p *Plan) { p.DrawsInSeries = true },

	// Of sweeps:
	"supply of 2 kW": func(p *Plan) { p.SupplyW = 2000 },
	"eager":          eager,
	"natural circulation": func(p *Plan) {
		eachSystem(p, func(s *System) { s.Loop = Natural })
		p.Outputs = slices.DeleteFunc(p.Outputs, func(o Output) bool { return o.Actuator == LoopPump })
	},
	"outputs the other way round": func(p *Plan) { slices.Reverse(p.Outputs) }, // comes last
	"known tank":                  func(p *Plan) { eachSystem(p, func(s *System) { s.TankL, s.TankLossWK, s.PumpW = 200, 2, 40 }) },
	"tilted collector": func(p *Plan) {
		eachSystem(p, func(s *System) { s.Plane = physics.Plane{TiltDeg: 45} })
	},
	"south roof": func(p *Plan) {
		eachSystem(p, func(s *System) { s.Plane = physics.Plane{TiltDeg: 45, AzimuthDeg: 180} })
	},
	"known fluid":    func(p *Plan) { eachSystem(p, func(s *System) { s.LoopHeatJLK = 3800 }) },
	"loop meter":     withProbes(LoopFlow, CoilReturn),
	"coil probe":     withProbes(CoilReturn),
	"draw meter":     withProbes(DrawFlow),
	"heater clamp":   withProbes(HeaterCurrent),
	"pump clamp":     withProbes(PumpCurrent),
	"pressure gauge": withProbes(LoopPressure),
	"tap probe":      withProbes(Tap),
	"observed only":  func(p *Plan) { p.ObserveOnly = true },
	"southern":       func(p *Plan) { p.LatitudeDeg = -30 },
	"no outdoor air": withoutProbe(OutdoorAir),
	"no tank bottom": withoutProbe(TankBottom),
	"no heater":      func(p *Plan) { p.Outputs = slices.DeleteFunc(p.Outputs, isHeater) },
}

func eachSystem(p *Plan, do func(*System)) {
	for i := range p.Systems {
		do(&p.Systems[i])
	}
}

func (s *story) orderHouse(rest string) error {
	systems := 1
	if strings.Contains(rest, "two systems") {
		systems = 2
	}
	s.plan = testPlan(systems)
	zone, err := time.LoadLocation("Europe/Rome")
	s.plan.Zone = zone
	for word := range strings.SplitSeq(rest, ", ") {
		change, known := houseWords[word]
		if !known {
			return fmt.Errorf("%q is not known of a house; known are %s", word, strings.Join(slices.Sorted(maps.Keys(houseWords)), ", "))
		}
		change(&s.plan)
	}
	return err
}

func (s *story) orderSetting(rest string) error {
	name, text, _ := strings.Cut(rest, " = ")
	row, known := SettingNamed(name)
	if !known || s.c != nil {
		return fmt.Errorf("%q is no setting, or the story has begun", name)
	}
	err := row.Set(&s.plan.Settings, text)
	eachSystem(&s.plan, func(system *System) { err = errors.Join(err, row.Set(&system.Settings, text)) })
	return err
}

func (s *story) orderClock(rest string) error {
	if rest == "not set" {
		s.wall = Wall{Time: time.Unix(0, 0)}
		return nil
	}
	if rest == "not trusted" {
		s.wall.Trusted = false
		return nil
	}
	layout := "2006-01-02 15:04"
	if len(rest) > len(layout) {
		layout += ":05"
	}
	at, err := time.ParseInLocation(layout, rest, s.zone())
	s.wall = Wall{Time: at, Trusted: true}
	return err
}

// readingNamed finds "annexe tank top 60 °C" in the plan: the probe, and what
// is left of the text.
func (s *story) readingNamed(text string) (probe int, rest string, err error) {
	for i, pr := range s.plan.Probes {
		name := pr.Place.Words()
		if len(s.plan.Systems) > 1 && pr.System != House {
			name = s.plan.Systems[pr.System].Name + " " + name
		}
		if rest, is := strings.CutPrefix(text, name); is {
			return i, strings.TrimSpace(rest), nil
		}
	}
	return 0, "", fmt.Errorf("%q names no probe of this house", text)
}

// values reads "collector 60 °C, tank top 50 °C"; between stands between name
// and value.
func (s *story) values(text, between string) (map[int]float64, error) {
	into := map[int]float64{}
	for part := range strings.SplitSeq(text, ", ") {
		probe, rest, err := s.readingNamed(part)
		if err != nil {
			return nil, err
		}
		rest = strings.TrimPrefix(rest, between)
		if into[probe], err = s.plan.Probes[probe].Place.Unit().Parse(rest); err != nil {
			return nil, err
		}
	}
	return into, nil
}

func (s *story) orderSet(rest string) error {
	if err := s.begin(); err != nil {
		return err
	}
	values, err := s.values(rest, "")
	for probe, v := range values {
		s.value[probe] = v
	}
	return err
}

func (s *story) orderRun(rest string) error {
	if err := s.begin(); err != nil {
		return err
	}
	text, where, moves := strings.Cut(rest, ": ")
	text, byText, strides := strings.Cut(text, " by ")
	length, err := storySpan(text)
	if err != nil {
		return err
	}
	by := time.Second
	s.long = length > 6*time.Hour && !strides
	if s.long {
		by = 10 * time.Second
	}
	if strides {
		if by, err = storySpan(byText); err != nil {
			return err
		}
	}
	var to map[int]float64
	if moves {
		if to, err = s.values(where, "to "); err != nil {
			return err
		}
	}
	s.run(length, by, to)
	return nil
}

// storySpan reads a time span such as "2 h".
func storySpan(text string) (time.Duration, error) {
	v, err := Second.Parse(text)
	return time.Duration(v * float64(time.Second)), err
}

func (s *story) orderPlug(rest string, out bool) error {
	probe, more, err := s.readingNamed(strings.TrimPrefix(rest, "in "))
	if err == nil && more != "" {
		err = fmt.Errorf("%q stands behind the probe", more)
	}
	if err == nil {
		s.dead[probe] = out
	}
	return err
}

// systemNamed cuts a system's name from the front; with one system there is none.
func (s *story) systemNamed(text string) (system int, rest string, err error) {
	if len(s.plan.Systems) == 1 {
		return 0, text, nil
	}
	for i := range s.plan.Systems {
		if rest, is := strings.CutPrefix(text, s.plan.Systems[i].Name+" "); is {
			return i, rest, nil
		}
	}
	return 0, "", fmt.Errorf("%q names no system of this house", text)
}

func (s *story) orderBoost(rest string) error {
	system, text, err := s.systemNamed(rest)
	if err != nil {
		return err
	}
	length, err := storySpan(strings.TrimPrefix(text, "for "))
	return errors.Join(err, s.c.Boost(system, length))
}

func (s *story) orderHoliday(rest string) error {
	length, err := storySpan(strings.TrimPrefix(rest, "for "))
	return errors.Join(err, s.c.Holiday(length))
}

// outputNamed finds "annexe loop pump on" in the plan.
func (s *story) outputNamed(text string) (output int, rest string, err error) {
	for i, o := range s.plan.Outputs {
		name := o.Actuator.Words()
		if len(s.plan.Systems) > 1 {
			name = s.plan.Systems[o.System].Name + " " + name
		}
		if rest, is := strings.CutPrefix(text, name+" "); is {
			return i, rest, nil
		}
	}
	return 0, "", fmt.Errorf("%q names no output of this house", text)
}

func (s *story) orderOverride(rest string) error {
	output, rest, err := s.outputNamed(rest)
	if err != nil {
		return err
	}
	state, text, _ := strings.Cut(rest, " for ")
	length, err := storySpan(text)
	level := map[string]float64{"on": 1, "off": 0, "at 10 %": 0.1, "at 60 %": 0.6}[state]
	return errors.Join(err, s.c.Override(output, level, length))
}

func (s *story) orderService(rest string) error {
	if rest != "on" && rest != "off" {
		return fmt.Errorf("the service state is on or off, not %q", rest)
	}
	s.c.SetServicing(rest == "on")
	return nil
}

// orderRestart lets the board be without power for a while.
func (s *story) orderRestart(rest string) error {
	away, err := storySpan(strings.TrimPrefix(rest, "after "))
	if err != nil {
		return err
	}
	saved, err := s.c.SaveState()
	if err != nil {
		return err
	}
	if s.c, err = New(s.plan); err != nil {
		return err
	}
	if err := s.c.RestoreState(saved); err != nil {
		return err
	}
	s.c.Restarted()
	s.started = s.ran
	s.wall.Time = s.wall.Time.Add(away)
	if s.wall.Trusted {
		s.c.WasAway(away)
	}
	return nil
}

// orderExpect reads "loop pump on because loop_gains", "finding stagnation",
// "no finding", "loop pump has switched 3 times".
func (s *story) orderExpect(rest string) error {
	if s.out == nil {
		return errors.New("nothing has run yet")
	}
	if rest == "no finding" {
		return s.expectFinding("")
	}
	if kind, is := strings.CutPrefix(rest, "finding "); is {
		return s.expectFinding(kind)
	}
	output, rest, err := s.outputNamed(rest)
	if err != nil {
		return err
	}
	if times, is := strings.CutPrefix(rest, "has switched "); is {
		want, err := strconv.ParseUint(strings.TrimSuffix(times, " times"), 10, 64)
		if got := s.c.Output(output).Switchings; err == nil && got != want {
			err = fmt.Errorf("it has switched %d times", got)
		}
		return err
	}
	state, why, _ := strings.Cut(rest, " because ")
	d := &s.out.Decisions[output]
	if state != "on" && state != "off" || d.On() != (state == "on") || why != "" && d.Reason.Words.Key() != why {
		return fmt.Errorf("it is on: %v, because %s: %s", d.On(), d.Reason.Words.Key(), d.Reason)
	}
	return nil
}

func (s *story) expectFinding(kind string) error {
	var found []string
	for _, f := range s.out.Findings {
		found = append(found, f.Kind.String())
	}
	if kind == "" && len(found) > 0 || kind != "" && !slices.Contains(found, kind) {
		return fmt.Errorf("found are %q", found)
	}
	return nil
}

func TestStoryMistakesAreToldWithTheirLine(t *testing.T) {
	const house = "> house glycol\n> clock 2026-07-01 12:00\n> set outdoor air 20 °C, collector 20 °C, tank top 40 °C, tank bottom 30 °C\n> run 3 min\n"
	for text, want := range map[string]string{
		"\n> dance":                                         "2: \"dance\" is not understood",
		"> run 3 min":                                       "1: a story begins with a house",
		"> house straw":                                     "1: \"straw\" is not known of a house",
		house + "> set cellar 20 °C":                        "5: \"cellar 20 °C\" names no probe",
		house + "> set collector 20 bar":                    "5: ",
		house + "> run soon":                                "5: \"soon\" is no number",
		house + "> expect loop pump on":                     "5: it is on: false, because loop_no_gain",
		house + "> expect finding stagnation":               "5: found are []",
		house + "> override tap on for 1 h":                 "5: \"tap on for 1 h\" names no output",
		house + "> sweep collector 20 °C":                   "5: \"\" is no number",
		house + "> sweep collector 20 °C to 30 °C by 1 bar": "5: ",
		house + "> again soon":                              "5: strconv.Atoi",
		house + "> board afire":                             "5: \"afire\" names no output",
		house + "> boost for 30 h":                          "5: a boost must end",
		house + "> expect loop pump off because so":         "5: it is on: false",
		house + "> prices 0.30":                             "5: prices come before",
		"> house glycol\n> prices dear":                     "2: ",
		"> house glycol\n> prices 0.30, 0.10 from dusk":     "2: ",
		house + "> forecast bright":                         "5: ",
		house + "> forecast 700 W/m² from dawn":             "5: ",
	} {
		if _, err := tellStory(text); err == nil || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%q gives %v, not %q", text, err, want)
		}
	}
}
