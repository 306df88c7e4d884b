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
	mu     sync.Mutex
	on     bool
	writes int
	err    error
	gate   chan struct{} // a write waits for it when not nil
}

func (m *fakeModule) WriteCoil(unit uint8, coil uint16, on bool) error {
	m.mu.Lock()
	gate := m.gate
	m.mu.Unlock()
	if gate != nil {
		<-gate
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	m.writes++
	if m.err != nil {
		return m.err
	}
	if unit != 3 || coil != 5 {
		panic("another coil")
	}
	m.on = on
	return nil
}

func (m *fakeModule) change(do func()) {
	m.mu.Lock()
	defer m.mu.Unlock()
	do()
}

func openedCoil(t *testing.T, m *fakeModule) *Coil {
	t.Helper()
	c, err := OpenCoil(CoilOptions{Name: "backup_heater", Line: "192.168.1.20:502", Writer: m, Unit: 3, Coil: 5, Heats: true})
	must(t, err)
	return c
}

func coilRig(t *testing.T) rig {
	m := &fakeModule{on: true}
	// On a busy machine a goroutine may start late, which is not what is tested.
	c, err := OpenCoil(CoilOptions{Name: "loop_pump", Line: "192.168.1.20:502", Writer: m, Unit: 3, Coil: 5, patience: time.Minute})
	must(t, err)
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

func TestACoilThatCannotBeOpened(t *testing.T) {
	m := &fakeModule{err: errors.New("refused"), on: true}
	_, err := OpenCoil(CoilOptions{Name: "loop_pump", Line: "192.168.1.20:502", Writer: m, Unit: 3, Coil: 5})
	says(t, err, "loop_pump", "192.168.1.20:502", "refused")
	_, err = OpenCoil(CoilOptions{Name: "loop_pump", Writer: &fakeModule{}, Unit: 9})
	says(t, err, "mistake of this program")
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
