package control

import (
	"testing"
	"time"
)

// The test house: outdoor air, then collector, tank top and tank bottom of
// each system; a pump and a heater for each.
const (
	atOutdoor = iota
	atCollector
	atTop
	atBottom
)

const (
	outPump = iota
	outHeater
)

// noon is a wall time outside of the default heater windows, in summer.
var noon = Wall{Time: time.Date(2026, 7, 1, 12, 0, 0, 0, time.UTC), Trusted: true}

// evening lies inside of the default heater windows.
var evening = Wall{Time: time.Date(2026, 7, 1, 18, 0, 0, 0, time.UTC), Trusted: true}

// winter is a January night.
var winter = Wall{Time: time.Date(2026, 1, 15, 2, 0, 0, 0, time.UTC), Trusted: true}

type change func(*Plan)

func waterFilled(p *Plan) {
	for i := range p.Systems {
		p.Systems[i].WaterFilled = true
		p.Systems[i].FreezingPointC = 0
	}
}

func eager(p *Plan) { // no minimum times, so that rules show at once
	for i := range p.Systems {
		s := &p.Systems[i].Settings
		s.MinimumRun, s.MinimumRest, s.HeaterMinimumRun, s.HeaterMinimumRest = 0, 0, 0, 0
	}
}

func testPlan(systems int, changes ...change) Plan {
	p := Plan{LatitudeDeg: 45, Settings: DefaultSettings(), Probes: []Probe{{House, OutdoorAir}}}
	for i := range systems {
		p.Systems = append(p.Systems, System{
			Name: []string{"roof", "annexe", "barn"}[i], Settings: DefaultSettings(), FreezingPointC: -21, HeaterW: 2000,
		})
		p.Systems[i].Settings.PumpSavingPercent = 0 // plain on and off, but for tests of its saving
		p.Probes = append(p.Probes, Probe{i, Collector}, Probe{i, TankTop}, Probe{i, TankBottom})
		p.Outputs = append(p.Outputs, Output{System: i, Actuator: LoopPump}, Output{System: i, Actuator: BackupHeater})
	}
	for _, c := range changes {
		c(&p)
	}
	return p
}

// desk is a controller with hand-set readings.
type desk struct {
	t        testing.TB
	c        *Controller
	wall     Wall
	readings []Reading
	out      *Outcome
	still    bool // readings do not even flicker
}

func newDesk(t testing.TB, changes ...change) *desk {
	t.Helper()
	c, err := New(testPlan(1, changes...))
	if err != nil {
		t.Fatal(err)
	}
	d := &desk{t: t, c: c, wall: noon, readings: make([]Reading, 4)}
	d.set(20, 20, 40, 30)
	return d
}

func (d *desk) set(outdoor, collector, top, bottom float64) {
	for i, v := range []float64{outdoor, collector, top, bottom} {
		d.readings[i] = Reading{Value: v}
	}
}

func (d *desk) fail(probe int) { d.readings[probe] = Reading{Fault: "no answer"} }

// run steps once a second for a while.
func (d *desk) run(length time.Duration) {
	for range int(length / time.Second) {
		d.out = d.c.Step(time.Second, d.wall, d.readings)
		d.wall.Time = d.wall.Time.Add(time.Second)
	}
}

// lastDigit is what a reading moves by while nothing happens.
const lastDigit = 0.0625

// flicker is run with a collector and tank tops that move by their last digit every
// minute, as real ones do.
func (d *desk) flicker(length time.Duration) {
	for minute := range int(length / time.Minute) {
		d.waver(minute)
		d.run(time.Minute)
	}
}

// waver moves collectors and tank tops by a digit, up and down again by turns.
func (d *desk) waver(turn int) {
	digit := lastDigit
	if turn%2 == 1 {
		digit = -digit
	}
	for i, pr := range d.c.plan.Probes {
		if pr.Place == Collector || pr.Place == TankTop {
			d.readings[i].Value += digit
		}
	}
}

// settled runs until first values are believed and outputs are free to move.
func (d *desk) settled() *desk {
	d.run(3 * time.Minute)
	return d
}

func (d *desk) expect(output int, on bool, says Words) {
	d.t.Helper()
	got := &d.out.Decisions[output]
	if got.On() != on || got.Reason.Words != says {
		d.t.Errorf("output %d: on %v because %q, want on %v because %q",
			output, got.On(), got.Reason, on, says.Key())
	}
}

func (d *desk) expectFinding(kind FindingKind, want bool) {
	d.t.Helper()
	for _, f := range d.out.Findings {
		if f.Kind == kind {
			if !want {
				d.t.Errorf("finding %q is raised: %s", kind, f.Evidence)
			}
			return
		}
	}
	if want {
		d.t.Errorf("finding %q is not raised; raised are %v", kind, d.out.Findings)
	}
}
