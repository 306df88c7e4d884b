package actuators

import (
	"errors"
	"sync"
	"testing"
	"testing/synctest"
	"time"
)

// fakeModule is a Modbus module with one coil.
type fakeModule struct {
	mu      sync.Mutex
	on      bool
	writes  int
	err     error
	lost    error         // the order arrives, and its answer gets lost
	mute    bool          // it can't be read
	welded  bool          // it takes orders and stays on
	flicker bool          // the next question is answered wrongly
	gate    chan struct{} // a request waits for it when not nil
}

// asked waits at the gate and gives the lock.
func (m *fakeModule) asked(unit uint8, coil uint16) (unlock func()) {
	m.mu.Lock()
	gate := m.gate
	m.mu.Unlock()
	if gate != nil {
		<-gate
	}
	m.mu.Lock()
	if unit != 3 || coil != 5 {
		defer m.mu.Unlock()
		panic("another coil")
	}
	return m.mu.Unlock
}

func (m *fakeModule) WriteCoil(unit uint8, coil uint16, on bool) error {
	defer m.asked(unit, coil)()
	m.writes++
	if m.err != nil {
		return m.err
	}
	m.on = on || m.welded
	return m.lost
}

func (m *fakeModule) ReadCoil(unit uint8, coil uint16) (on, can bool, err error) {
	defer m.asked(unit, coil)()
	wrong := m.flicker
	m.flicker = false
	return m.on != wrong, !m.mute, m.err
}

func (m *fakeModule) change(do func()) {
	m.mu.Lock()
	defer m.mu.Unlock()
	do()
}

func openedCoil(t *testing.T, m *fakeModule) *Coil {
	t.Helper()
	return OpenCoil(CoilOptions{Name: "backup_heater", Place: "192.168.1.20:502", Line: m, Unit: 3, Coil: 5, Heats: true})
}

func coilRig(mute bool) rig {
	m := &fakeModule{on: true, mute: mute}
	// On a busy machine a goroutine may start late, which is not what is tested.
	c := OpenCoil(CoilOptions{Name: "loop_pump", Place: "192.168.1.20:502", Line: m, Unit: 3, Coil: 5, patience: time.Minute})
	return rig{
		out: c,
		wire: func() float64 {
			m.mu.Lock()
			defer m.mu.Unlock()
			if m.on {
				return 1
			}
			return 0
		},
		fail: func(on bool) {
			m.change(func() {
				m.err = nil
				if on {
					m.err = errDrive
				}
			})
		},
	}
}

// A module that is not there at the start keeps nobody else from work. When it
// comes, its coil goes off before anything else.
func TestAModuleThatComesLate(t *testing.T) {
	m := &fakeModule{err: errors.New("no route"), on: true}
	c := openedCoil(t, m)
	for range 3 {
		says(t, c.Set(Command{Level: 1}), "backup_heater", "192.168.1.20:502", "no route")
		if c.Level() != 0 {
			t.Error("told as on, though nobody was reached")
		}
	}
	says(t, c.Safe(), "no route")
	m.change(func() { m.err = nil })
	says(t, c.Set(Command{Level: 1}), "first time", "driven off")
	if m.on {
		t.Error("on at once, though nobody knows for how long it was on")
	}
	must(t, c.Set(Command{Level: 1}))
	if !m.on || c.Level() != 1 {
		t.Errorf("on %v, level %v", m.on, c.Level())
	}
}

func TestAPanicBelowACoil(t *testing.T) {
	c := OpenCoil(CoilOptions{Name: "loop_pump", Line: &fakeModule{}, Unit: 9, patience: time.Minute})
	says(t, c.Set(Command{Level: 1}), "mistake of this program")
}

// A module that loses its supply, or has a timer, lets go of its coil. The next
// order for on must not come before somebody knows.
func TestACoilThatLetsGo(t *testing.T) {
	m := &fakeModule{}
	c := openedCoil(t, m)
	must(t, c.Set(Command{Level: 1}))
	m.change(func() { m.on = false })
	says(t, c.Set(Command{Level: 1}), "by itself", "supply")
	if m.on || c.Level() != 0 {
		t.Errorf("on %v, level %v", m.on, c.Level())
	}
	must(t, c.Set(Command{Level: 1}))
	if !m.on {
		t.Error("off for ever")
	}
}

// Two masters of one relay: off once, and no fight.
func TestAnotherMasterOfACoil(t *testing.T) {
	m := &fakeModule{}
	c := openedCoil(t, m)
	must(t, c.Set(Command{}))
	m.change(func() { m.on = true })
	says(t, c.Set(Command{}), "another master", "restart")
	if m.on || c.Level() != 0 {
		t.Errorf("on %v, level %v", m.on, c.Level())
	}
	writes := m.writes
	m.change(func() { m.on = true })
	for _, level := range []float64{0, 1, 0} {
		says(t, c.Set(Command{Level: level}), "another master")
	}
	if m.writes != writes {
		t.Error("it fights with the other master")
	}
	says(t, c.Set(Command{Urgent: true}), "another master")
	if m.on {
		t.Error("an urgent off is not written")
	}
	m.change(func() { m.on = true })
	must(t, c.Close())
	if m.on {
		t.Error("left on at the end")
	}
}

func TestOneWrongAnswerIsNoOtherHand(t *testing.T) {
	m := &fakeModule{}
	c := openedCoil(t, m)
	m.change(func() { m.flicker = true })
	must(t, c.Set(Command{Level: 1}))
	m.change(func() { m.flicker = true })
	must(t, c.Set(Command{Level: 1}))
	if !m.on {
		t.Error("off")
	}
}

// An order that arrived though its answer was lost is nobody else's.
func TestAnAnswerThatWasLost(t *testing.T) {
	m := &fakeModule{}
	c := openedCoil(t, m)
	m.change(func() { m.lost = errors.New("no answer in time") })
	says(t, c.Set(Command{Level: 1}), "no answer in time")
	m.change(func() { m.lost = nil })
	must(t, c.Set(Command{Level: 1}))
	if !m.on || c.Level() != 1 {
		t.Errorf("on %v, level %v", m.on, c.Level())
	}
	m.change(func() { m.lost = errors.New("no answer in time") })
	says(t, c.Set(Command{}), "no answer in time", "may still be on")
	m.change(func() { m.lost = nil })
	says(t, c.Set(Command{Level: 1}), "by itself") // off, though nobody was told so
	must(t, c.Set(Command{Level: 1}))
}

// A module that confirms "off" and stays on is not believed to be off.
func TestACoilThatStaysOn(t *testing.T) {
	m := &fakeModule{}
	c := openedCoil(t, m)
	must(t, c.Set(Command{Level: 1}))
	m.change(func() { m.welded = true })
	for _, drive := range []func() error{func() error { return c.Set(Command{}) }, c.Safe, c.Close} {
		says(t, drive(), "still on", "isolator", "scalding")
		if c.Level() != 1 {
			t.Error("told as off")
		}
	}
}

// A module that is silent holds a tick up once, not each time, and then does the
// newest order alone.
func TestASilentModuleHoldsNobodyUp(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		m := &fakeModule{}
		c := openedCoil(t, m)
		must(t, c.Set(Command{Level: 1}))
		gate := make(chan struct{})
		m.change(func() { m.gate = gate })
		start := time.Now()
		err := c.Set(Command{Level: 1})
		says(t, err, "not answered yet", "scalding", "isolator")
		if took := time.Since(start); took != coilPatience {
			t.Errorf("the first order waited %v", took)
		}
		for _, level := range []float64{1, 0, 1, 0} {
			mustFail(t, c.Set(Command{Level: level}), "Set while the module is silent")
		}
		if took := time.Since(start); took != coilPatience {
			t.Errorf("the next orders waited %v longer", took-coilPatience)
		}
		if c.Level() != 1 {
			t.Error("told as off before the module has said so")
		}
		before := m.writes
		m.change(func() { m.gate = nil })
		close(gate)
		synctest.Wait()
		if m.on || c.Level() != 0 || m.writes != before+2 {
			t.Errorf("on %v, level %v, %d writes for the order under way and the newest", m.on, c.Level(), m.writes-before)
		}
		must(t, c.Close())
	})
}

func TestTheWayOutOfACoilEnds(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		m := &fakeModule{}
		c := openedCoil(t, m)
		must(t, c.Set(Command{Level: 1}))
		gate := make(chan struct{})
		m.change(func() { m.gate = gate })
		start := time.Now()
		says(t, c.Close(), "may still be on", "scalding")
		if took := time.Since(start); took != coilWayOut {
			t.Errorf("Close took %v", took)
		}
		close(gate)
		synctest.Wait()
		if m.on {
			t.Error("the order for off is lost")
		}
	})
}

// Safe beside a Close that is under way waits for its order, and does not tell of
// a relay that is just going off.
func TestSafeWhileACoilCloses(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		m := &fakeModule{}
		c := openedCoil(t, m)
		must(t, c.Set(Command{Level: 1}))
		gate := make(chan struct{})
		m.change(func() { m.gate = gate })
		ended := make(chan error, 2)
		go func() { ended <- c.Close() }()
		synctest.Wait()
		go func() { ended <- c.Safe() }()
		synctest.Wait()
		close(gate)
		must(t, <-ended)
		must(t, <-ended)
	})
}
