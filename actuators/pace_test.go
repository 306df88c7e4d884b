package actuators

import (
	"errors"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// clock is elapsed time that only the test moves.
type clock struct{ at time.Duration }

func (c *clock) now() time.Duration { return c.at }

const (
	testMinOn  = 60 * time.Second
	testMinOff = 120 * time.Second
)

func TestPaceStepByStep(t *testing.T) {
	var c clock
	var level float64
	p := Pace(NewSimulated(func(l float64) { level = l }), testMinOn, testMinOff, c.now)
	for _, step := range []struct {
		at    int // seconds
		cmd   Command
		want  float64
		left  int // seconds the hold still lasts; 0 = not held
		after string
	}{
		{0, Command{Level: 1}, 0, 120, "minimum off time runs from the start"},
		{119, Command{Level: 1}, 0, 1, "one second short"},
		{120, Command{Level: 0.4}, 0.4, 0, "its end"},
		{121, Command{Level: 1}, 1, 0, "a change above 0 is no switching"},
		{150, Command{Level: 0}, 1, 30, "minimum on time keeps the level"},
		{151, Command{Level: 0.7}, 0.7, 0, "the wish withdrawn"},
		{179, Command{Level: 0}, 0.7, 1, "the on time runs from switching on"},
		{180, Command{Level: 0}, 0, 0, "its end"},
		{181, Command{Level: 1, Urgent: true}, 1, 0, "a protection passes"},
		{182, Command{Level: 0}, 1, 59, "and starts the minimum on time"},
		{183, Command{Level: 0, Urgent: true}, 0, 0, "a protection passes the other way"},
		{302, Command{Level: 1}, 0, 1, "and starts the minimum off time"},
	} {
		c.at = time.Duration(step.at) * time.Second
		must(t, p.Set(step.cmd))
		if level != step.want || p.Level() != step.want {
			t.Errorf("%s: driven %v, told %v, want %v", step.after, level, p.Level(), step.want)
		}
		hold, held := p.Held()
		if held != (step.left > 0) || hold.Left != time.Duration(step.left)*time.Second {
			t.Errorf("%s: held %v %+v, want %v s left", step.after, held, hold, step.left)
		}
		if held && hold.WantOn != (step.cmd.Level > 0) {
			t.Errorf("%s: the hold tells the wrong wish", step.after)
		}
	}
	want := PaceCount{Switchings: 4, Refusals: 5, OnTime: 62 * time.Second}
	if got := p.Count(); got != want {
		t.Errorf("count %+v, want %+v", got, want)
	}
}

// A state that has begun already is measured by the new times from its begin.
func TestPaceTakesOtherTimes(t *testing.T) {
	var c clock
	p := Pace(NewSimulated(func(float64) {}), testMinOn, testMinOff, c.now)
	for _, step := range []struct {
		at         int // seconds
		on, off    int // minimum times, seconds
		level      float64
		want, left float64 // level driven; seconds the hold still lasts
	}{
		{30, 60, 120, 1, 0, 90},
		{30, 60, 45, 1, 0, 15},
		{45, 60, 45, 1, 1, 0},
		{50, 10, 45, 0, 1, 5},
		{52, 300, 45, 0, 1, 293},
		{53, -1, 45, 0, 0, 0},
		{54, 0, -1, 1, 1, 0},
	} {
		c.at = time.Duration(step.at) * time.Second
		p.Repace(time.Duration(step.on)*time.Second, time.Duration(step.off)*time.Second)
		must(t, p.Set(Command{Level: step.level}))
		if hold, _ := p.Held(); p.Level() != step.want || hold.Left.Seconds() != step.left {
			t.Errorf("%+v: level %g, held for %v", step, p.Level(), hold.Left)
		}
	}
}

func TestPaceHoldRunsDownAndEndsWithSafe(t *testing.T) {
	var c clock
	p := Pace(NewSimulated(nil), testMinOn, testMinOff, c.now)
	must(t, p.Set(Command{Level: 1}))
	c.at = 20 * time.Second
	if hold, held := p.Held(); !held || !hold.WantOn || hold.Left != 100*time.Second {
		t.Errorf("held %v %+v after 20 s", held, hold)
	}
	must(t, p.Safe())
	if _, held := p.Held(); held {
		t.Error("still held after Safe")
	}
}

func TestPaceSafeAndCloseAreOffInsideTheMinimumTime(t *testing.T) {
	var c clock
	p := Pace(NewSimulated(nil), testMinOn, testMinOff, c.now)
	must(t, p.Set(Command{Level: 1, Urgent: true}))
	c.at = time.Second
	must(t, p.Safe())
	if p.Level() != 0 {
		t.Error("on after Safe")
	}
	c.at = 2 * time.Second
	must(t, p.Set(Command{Level: 1}))
	if p.Level() != 0 {
		t.Error("on again at once after Safe: the minimum off time did not start")
	}
	must(t, p.Set(Command{Level: 1, Urgent: true}))
	c.at = 5 * time.Second
	must(t, p.Close())
	if got := p.Count(); got.OnTime != 4*time.Second || got.Switchings != 4 {
		t.Errorf("count %+v after Close", got)
	}
}

// Between 0 and 0.5 a relay is off: the pace must go by the relay, not by the wish.
func TestPaceGoesByWhatTheOutputMakesOfALevel(t *testing.T) {
	var c clock
	bank, _ := fakeBank(t)
	p := Pace(Record(relayOf(t, bank, "loop_pump"), &lines{}, c.now), testMinOn, testMinOff, c.now)
	must(t, p.Set(Command{Level: 0.4}))
	if _, held := p.Held(); held {
		t.Error("a level at which the relay stays off was held back")
	}
	c.at = testMinOff
	must(t, p.Set(Command{Level: 0.6}))
	must(t, p.Set(Command{Level: 0.4}))
	if p.Level() != 1 {
		t.Error("a level below the relay's step went off inside the minimum on time")
	}
	if hold, held := p.Held(); !held || hold.WantOn {
		t.Errorf("held %v %+v, want held on", held, hold)
	}
}

func TestPaceDrivesTheHeldLevelAnew(t *testing.T) {
	bank, set := fakeBank(t)
	p := Pace(relayOf(t, bank, "loop_pump"), testMinOn, testMinOff, still)
	writes := set.writes
	must(t, p.Set(Command{Level: 1}))
	if set.writes != writes+1 || set.levels != 0 {
		t.Error("a held output was not written at its present level")
	}
}

func TestPaceFollowsAnOutputThatWentOffByItself(t *testing.T) {
	var c clock
	bank, set := fakeBank(t)
	set.mayRead = true
	p := Pace(relayOf(t, bank, "loop_pump"), testMinOn, testMinOff, c.now)
	must(t, p.Set(Command{Level: 1, Urgent: true}))
	set.otherHand(0)
	c.at = 10 * time.Second
	mustFail(t, bank.ReadBack(), "another hand on the line")
	var mismatch *MismatchError
	if err := p.Set(Command{Level: 1}); !errors.As(err, &mismatch) {
		t.Errorf("the mismatch does not come through: %v", err)
	}
	if got := p.Count(); got.Switchings != 2 || got.OnTime != 10*time.Second {
		t.Errorf("count %+v", got)
	}
}

func TestPaceCountsOnlyWhatWasDriven(t *testing.T) {
	var c clock
	broken := true
	p := Pace(NewSimulated(func(float64) {
		if broken {
			panic("no plant")
		}
	}), testMinOn, testMinOff, c.now)
	c.at = testMinOff
	mustFail(t, p.Set(Command{Level: 1}), "Set on a broken plant")
	if got := p.Count(); got != (PaceCount{}) {
		t.Errorf("a failed switching counts: %+v", got)
	}
	broken = false
	must(t, p.Set(Command{Level: 1}))
	broken = true
	c.at += testMinOn
	mustFail(t, p.Set(Command{Level: 0}), "Set on a broken plant")
	mustFail(t, p.Safe(), "Safe on a broken plant")
	c.at += time.Second
	if got := p.Count(); got.Switchings != 1 || got.OnTime != testMinOn+time.Second {
		t.Errorf("count %+v, want still on", got)
	}
}

func TestPaceTakesOddTimes(t *testing.T) {
	c := clock{at: time.Hour}
	p := Pace(NewSimulated(nil), -time.Second, -time.Second, c.now)
	must(t, p.Set(Command{Level: 1}))
	c.at = 0 // set back
	if got := p.Count(); got.OnTime != 0 {
		t.Errorf("a clock set back counts %v", got.OnTime)
	}
	must(t, p.Set(Command{Level: math.Nextafter(0, 1)}))
	must(t, p.Set(Command{Level: 0}))
	if p.Level() != 0 {
		t.Error("held with no minimum times")
	}
	for name, build := range map[string]func(){
		"no output": func() { Pace(nil, 0, 0, still) },
		"no clock":  func() { Pace(NewSimulated(nil), 0, 0, nil) },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: no panic", name)
				}
			}()
			build()
		}()
	}
}

// paceModel drives a paced output at random and keeps its own account of every
// change the world saw.
type paceModel struct {
	clock
	p      *Paced
	wire   func() float64
	fail   func(bool)
	minOn  time.Duration
	minOff time.Duration

	on         bool
	since      time.Duration
	switchings uint64
	onTime     time.Duration
}

func (m *paceModel) changed() bool {
	on := m.wire() > 0
	if on == m.on {
		return false
	}
	m.switchings++
	if m.on {
		m.onTime += m.at - m.since
	}
	m.on, m.since = on, m.at
	return true
}

func (m *paceModel) set(t *rapid.T) {
	cmd := Command{
		Level:  rapid.SampledFrom([]float64{0, 0, 0.2, 0.5, 0.9, 1, 1}).Draw(t, "level"),
		Urgent: rapid.Float64Range(0, 1).Draw(t, "urgent") < 0.1,
	}
	since, least := m.since, m.minOff
	if m.on {
		least = m.minOn
	}
	err := m.p.Set(cmd)
	if m.changed() && !cmd.Urgent && m.at-since < least {
		t.Fatalf("switched after %v in a state with minimum %v, not urgent", m.at-since, least)
	}
	if wantOn := drivenBy(m.p, cmd.Level) > 0; err == nil && cmd.Urgent && m.on != wantOn {
		t.Fatalf("an urgent command was held back")
	}
	if wantOn := drivenBy(m.p, cmd.Level) > 0; err == nil {
		if _, held := m.p.Held(); held != (wantOn != m.on) {
			t.Fatalf("held is %v, wanted on %v, is on %v", held, wantOn, m.on)
		}
	}
}

func (m *paceModel) safe(t *rapid.T) {
	err := m.p.Safe()
	m.changed()
	if err == nil && m.wire() != 0 {
		t.Fatalf("level %v after Safe", m.wire())
	}
}

func (m *paceModel) wait(t *rapid.T) {
	m.at += time.Duration(rapid.IntRange(1, 50).Draw(t, "seconds")) * time.Second
}

// check compares the account with what the paced output tells.
func (m *paceModel) check(t *rapid.T) {
	want := PaceCount{Switchings: m.switchings, OnTime: m.onTime}
	if m.on {
		want.OnTime += m.at - m.since
	}
	got := m.p.Count()
	want.Refusals = got.Refusals
	if got != want {
		t.Fatalf("count %+v, want %+v", got, want)
	}
	if m.p.Level() != m.wire() {
		t.Fatalf("told %v, the world sees %v", m.p.Level(), m.wire())
	}
}

func TestPaceNeverTogglesInsideItsTimes(t *testing.T) {
	for name, open := range map[string]func(*testing.T) rig{"simulated": simulatedRig, "relay": relayRig} {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(rt *rapid.T) {
				r := open(t)
				m := &paceModel{
					wire: r.wire, fail: r.fail,
					minOn:  time.Duration(rapid.IntRange(0, 120).Draw(rt, "minimum on")) * time.Second,
					minOff: time.Duration(rapid.IntRange(0, 120).Draw(rt, "minimum off")) * time.Second,
				}
				m.p = Pace(r.out, m.minOn, m.minOff, m.now)
				rt.Repeat(map[string]func(*rapid.T){
					"set":   m.set,
					"set 2": m.set,
					"safe":  m.safe,
					"wait":  m.wait,
					"fail":  func(*rapid.T) { m.fail(true) },
					"mend":  func(*rapid.T) { m.fail(false) },
					"":      m.check,
				})
				m.fail(false)
				if err := m.p.Close(); err != nil || m.wire() != 0 {
					rt.Fatalf("level %v after Close, %v", m.wire(), err)
				}
			})
		})
	}
}
