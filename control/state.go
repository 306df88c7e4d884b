package control

import (
	"encoding/json"
	"fmt"
	"math"
	"time"
)

// stateVersion changes when a saved state of before can't be read any more.
const stateVersion = 1

// State is all that the controller remembers between steps. It can be saved
// and restored as JSON; restored, the controller decides as if it had never
// stopped. Durations are of service, not of the calendar.
type State struct {
	Version     int             `json:"version"`
	Service     time.Duration   `json:"service_ns"` // time the controller has worked, all runs together
	Servicing   bool            `json:"servicing"`  // a person works on the plant
	HolidayLeft time.Duration   `json:"holiday_ns"`
	BookFor     time.Duration   `json:"book_ns"` // since the tanks' balances were looked at
	House       HouseSigns      `json:"house"`
	Systems     []SystemState   `json:"systems"`
	Outputs     []OutputState   `json:"outputs"`
	Probes      []ProbeState    `json:"probes"`
	Overrides   []OverrideState `json:"overrides"`
	Findings    []FindingState  `json:"findings"`
}

// SystemState is the memory of one system's rules.
type SystemState struct {
	System string `json:"system"`

	LoopWanted    bool `json:"loop_wanted"`
	LoopEnds      bool `json:"loop_ends"`  // it has just been stopped at the stop difference
	SpeedFull     bool `json:"speed_full"` // collector or tank is near its limit
	TankFull      bool `json:"tank_full"`
	Steaming      bool `json:"steaming"`
	HeaterWanted  bool `json:"heater_wanted"`
	FloorWanted   bool `json:"floor_wanted"`
	OffPeakWanted bool `json:"off_peak_wanted"`
	HeaterTooHot  bool `json:"heater_too_hot"`
	Fresh         bool `json:"fresh"`     // the collector was not read since the start
	BelowSky      bool `json:"below_sky"` // collector doubted for being far below the air
	Cools         bool `json:"cools"`     // the loop would take heat out of the tank
	HeaterLocked  bool `json:"heater_locked"`
	HasSupply     bool `json:"has_supply"`  // of a supply that not all heaters can have at once
	SupplyTurn    bool `json:"supply_turn"` // it has waited for long, and comes first
	FrostRunning  bool `json:"frost_running"`
	FrostAirCold  bool `json:"frost_air_cold"`
	FrostWatching bool `json:"frost_watching"`
	FrostTooWarm  bool `json:"frost_too_warm"` // the collector reads warmer than the dark allows
	FluidThick    bool `json:"fluid_thick"`    // it is at its freezing point, or was and is little warmer
	Exercising    bool `json:"exercising"`
	NightCooling  bool `json:"night_cooling"`

	HygieneHeating bool          `json:"hygiene_heating"`
	HygieneSince   time.Duration `json:"hygiene_since_ns"` // service time since the last heat-up that was held to its end
	HygieneHold    time.Duration `json:"hygiene_hold_ns"`  // of the one under way, up to when the top's reading last moved
	HygieneStill   time.Duration `json:"hygiene_still_ns"` // hot since then, without moving
	HygieneTopC    float64       `json:"hygiene_top"`      // where it moved to
	TankFreezes    bool          `json:"tank_freezes"`
	FrostTankCold  bool          `json:"frost_tank_cold"`
	FrostColdFor   time.Duration `json:"frost_cold_for_ns"` // the tank has been at its frost floor or below

	PumpSpeed    float64       `json:"pump_speed"`       // where the regulator stands
	FrostVain    int           `json:"frost_vain"`       // bursts of the last resort in a row that were not seen to help, the one under way among them
	FrostRunFor  time.Duration `json:"frost_run_ns"`     // since the collector called for circulation
	HeaterEffort time.Duration `json:"heater_effort_ns"` // heating without any sign of it in the tank
	HeaterRest   time.Duration `json:"heater_rest_ns"`   // since it was locked
	StillLowC    float64       `json:"still_low"`        // of the tank in that time
	StillHighC   float64       `json:"still_high"`
	HeaterLowC   float64       `json:"heater_low"`     // coldest tank top of the effort
	SupplyWait   time.Duration `json:"supply_wait_ns"` // account of waits for the supply
	BoostLeft    time.Duration `json:"boost_ns"`       // of a person's wish for hot water now
	StillRun     time.Duration `json:"still_run_ns"`   // the pump has run with no digit of the collector moving
	SteamCoolFor time.Duration `json:"steam_cool_ns"`  // the collector has been read as cool after steam
	StagnantFor  time.Duration `json:"stagnant_ns"`    // pump at rest on a collector above the restart ceiling

	DumpWanted bool          `json:"dump_wanted"`
	DumpLocked bool          `json:"dump_locked"`  // its valve is taken to be stuck
	DumpFromC  float64       `json:"dump_from"`    // tank's hottest reading when it began, or coldest since
	DumpRest   time.Duration `json:"dump_rest_ns"` // since it was locked

	CirculationWarm bool          `json:"circulation_warm"`   // the return was warm enough
	CirculationCold bool          `json:"circulation_cold"`   // the tank has no hot water for it
	WaterAsked      bool          `json:"water_asked"`        // by a draw or the button, a step ago
	CirculationLeft time.Duration `json:"circulation_ns"`     // of a run that was asked for
	CirculationRan  time.Duration `json:"circulation_ran_ns"` // in this day
	CirculationDay  time.Duration `json:"circulation_day_ns"` // since the day's first run
	LineSince       time.Duration `json:"line_since_ns"`      // since the pipes were heated to the end after a hygiene heat-up
	LineLeft        time.Duration `json:"line_left_ns"`       // of that heating
	LineMissed      time.Duration `json:"line_missed_ns"`     // of it, with the return too cold
	LineTry         time.Duration `json:"line_try_ns"`        // since one that did not come to its end began

	SunFirst SunFirst    `json:"sun_first"`
	Saving   PumpSaving  `json:"pump_saving"`
	Energy   Energy      `json:"energy"`
	Balance  TankBalance `json:"balance"`
	Signs    Signs       `json:"signs"`
}

// OutputState is the memory of one output.
type OutputState struct {
	System     string        `json:"system"`
	Actuator   string        `json:"actuator"`
	Level      float64       `json:"level"`
	Protecting bool          `json:"protecting"`  // a protection has switched it on
	Idle       time.Duration `json:"idle_ns"`     // since it last ran; restarts do not count from anew
	InState    time.Duration `json:"in_state_ns"` // since it was last switched on or off
	Switchings uint64        `json:"switchings"`
	On         time.Duration `json:"on_ns"` // run time, all together
}

// ProbeState is the memory that judging one reading needs.
type ProbeState struct {
	System string `json:"system"`
	Place  string `json:"place"`

	Known      bool          `json:"known"`     // the last good value is young enough to compare with
	Last       float64       `json:"last"`      // last good value
	Since      time.Duration `json:"since_ns"`  // age of that value
	Sample     time.Duration `json:"sample_ns"` // age of the newest sample
	Doubted    bool          `json:"doubted"`
	Strayed    bool          `json:"strayed"` // the last sample did not fit the doubted level
	Doubt      float64       `json:"doubt"`   // the new level that is not believed yet
	DoubtFor   time.Duration `json:"doubt_ns"`
	Trouble    time.Duration `json:"trouble_ns"`  // account of bad readings
	Silent     time.Duration `json:"silent_ns"`   // since it last had a usable value
	PowerUpFor time.Duration `json:"power_up_ns"` // at the value of before its first conversion
	PowerUps   float64       `json:"power_ups"`   // account of single samples of that value
	Same       time.Duration `json:"same_ns"`     // equal to the last digit for so long
	OtherLow   float64       `json:"other_low"`   // what its neighbour did in that time
	OtherHigh  float64       `json:"other_high"`
	Signs      UnrestSigns   `json:"signs"` // in quiet nights
	Wild       UnrestSigns   `json:"wild"`  // at any time
}

func newState(p *Plan) State {
	st := State{Version: stateVersion, Findings: []FindingState{}}
	for i := range p.Systems {
		st.Systems = append(st.Systems, SystemState{System: p.Systems[i].Name, Fresh: true})
	}
	for _, o := range p.Outputs {
		st.Outputs = append(st.Outputs, OutputState{System: p.systemName(o.System), Actuator: o.Actuator.String()})
		st.Overrides = append(st.Overrides, OverrideState{System: p.systemName(o.System), Actuator: o.Actuator.String()})
	}
	for _, pr := range p.Probes {
		st.Probes = append(st.Probes, ProbeState{System: p.systemName(pr.System), Place: pr.Place.String()})
	}
	return st
}

func (p *Plan) systemName(i int) string {
	if i == House {
		return ""
	}
	return p.Systems[i].Name
}

// SaveState gives the state as JSON.
func (c *Controller) SaveState() ([]byte, error) {
	c.st.Findings = c.findings.save(c.st.Findings[:0], &c.plan)
	return json.Marshal(&c.st)
}

// RestoreState takes a state that SaveState gave. Systems, outputs and probes
// are matched by name, so that a site file may change between: what is new
// starts fresh, what is gone is dropped. On an error, which says what is wrong
// with the state, the controller is as it was.
func (c *Controller) RestoreState(data []byte) error {
	var in State
	if err := json.Unmarshal(data, &in); err != nil {
		return fmt.Errorf("control: the saved state can't be read: %w", err)
	}
	if in.Version != stateVersion {
		return fmt.Errorf("control: the saved state is of version %d, this program reads version %d", in.Version, stateVersion)
	}
	if err := in.check(); err != nil {
		return err
	}
	st := newState(&c.plan)
	st.Service, st.Servicing, st.HolidayLeft, st.BookFor, st.House = in.Service, in.Servicing, in.HolidayLeft, in.BookFor, in.House
	for i := range st.Systems {
		adopt(&st.Systems[i], in.Systems, func(s *SystemState) [2]string { return [2]string{s.System} })
	}
	for i := range st.Outputs {
		adopt(&st.Outputs[i], in.Outputs, func(o *OutputState) [2]string { return [2]string{o.System, o.Actuator} })
		adopt(&st.Overrides[i], in.Overrides, func(o *OverrideState) [2]string { return [2]string{o.System, o.Actuator} })
	}
	for i := range st.Probes {
		adopt(&st.Probes[i], in.Probes, func(p *ProbeState) [2]string { return [2]string{p.System, p.Place} })
	}
	c.st = st
	c.bind()
	c.findings.restore(in.Findings, &c.plan)
	return nil
}

// adopt replaces fresh by the saved entry of the same name, if there is one.
func adopt[T any](fresh *T, saved []T, name func(*T) [2]string) {
	for i := range saved {
		if name(&saved[i]) == name(fresh) {
			*fresh = saved[i]
			return
		}
	}
}

// longestSpan is more than any plant lasts, and leaves room to count on.
const longestSpan = 100 * 365 * 24 * time.Hour

// check refuses a state that no run of this program can have left.
func (s *State) check() error {
	spans := []time.Duration{s.Service, s.HolidayLeft, s.BookFor}
	figures := []float64{}
	if s.HolidayLeft > LongestHoliday {
		return fmt.Errorf("control: the saved state has a holiday of %v", s.HolidayLeft)
	}
	if err := checkLearned(&s.House); err != nil {
		return err
	}
	for i := range s.Systems {
		m := &s.Systems[i]
		if err := checkLearned(&m.Signs); err != nil {
			return err
		}
		if err := m.SunFirst.check(m.System); err != nil {
			return err
		}
		spans = append(spans, m.Saving.RanFor, m.FrostRunFor, m.FrostColdFor, m.SteamCoolFor, m.StillRun, m.StagnantFor, m.BoostLeft, m.HygieneSince, m.HygieneHold, m.HygieneStill, m.HeaterEffort, m.HeaterRest, m.SupplyWait)
		spans = append(spans, m.Balance.LoopRan, m.CirculationLeft, m.CirculationRan, m.CirculationDay, m.LineSince, m.LineLeft, m.LineMissed, m.LineTry, m.DumpRest)
		figures = append(figures, m.HygieneTopC, m.HeaterLowC, m.StillLowC, m.StillHighC, m.Balance.ColdC, m.DumpFromC)
		if err := m.checkEnergy(); err != nil {
			return err
		}
		if err := m.Saving.check(m.System); err != nil {
			return err
		}
		if !(m.PumpSpeed >= 0 && m.PumpSpeed <= 1) {
			return fmt.Errorf("control: the saved state has a pump speed of %g in the system %q", m.PumpSpeed, m.System)
		}
		if m.FrostVain < 0 || m.FrostVain > burstsInVain {
			return fmt.Errorf("control: the saved state has %d bursts against frost in vain in the system %q", m.FrostVain, m.System)
		}
		if m.BoostLeft > LongestBoost {
			return fmt.Errorf("control: the saved state has a boost of %v in the system %q", m.BoostLeft, m.System)
		}
	}
	for i := range s.Outputs {
		o := &s.Outputs[i]
		spans = append(spans, o.InState, o.On, o.Idle)
		if !(o.Level >= 0 && o.Level <= 1) {
			return fmt.Errorf("control: the saved state has level %g for the %s of %q", o.Level, o.Actuator, o.System)
		}
	}
	for i := range s.Overrides {
		o := &s.Overrides[i]
		spans = append(spans, o.Left)
		if !(o.Level >= 0 && o.Level <= 1) || o.Left > LongestOverride {
			return fmt.Errorf("control: the saved state has an override of %v at level %g for the %s of %q", o.Left, o.Level, o.Actuator, o.System)
		}
	}
	for i := range s.Probes {
		p := &s.Probes[i]
		for _, m := range []*UnrestSigns{&p.Signs, &p.Wild} {
			if err := checkLearned(m); err != nil {
				return err
			}
		}
		if !(p.PowerUps >= 0 && p.PowerUps <= mostPowerUps) {
			return fmt.Errorf("control: the saved state has an account of %g power-up values", p.PowerUps)
		}
		spans = append(spans, p.Since, p.Sample, p.DoubtFor, p.Silent, p.Same, p.Trouble, p.PowerUpFor)
		figures = append(figures, p.Last, p.Doubt, p.OtherLow, p.OtherHigh)
	}
	for i := range s.Findings {
		f := &s.Findings[i]
		spans = append(spans, f.Seen, f.Quiet, f.For)
	}
	for _, d := range spans {
		if d < 0 || d > longestSpan {
			return fmt.Errorf("control: the saved state has a duration of %v", d)
		}
	}
	for _, f := range figures {
		if math.Abs(f) > 1000 {
			return fmt.Errorf("control: the saved state has a reading of %g", f)
		}
	}
	return nil
}
