package bench

import (
	"fmt"
	"io"
	"log"
	"math"
	"net/netip"
	"sync"
	"time"

	"github.com/simonvetter/modbus"
)

// dropsAfter is how long a coil stays on that nobody writes, as modules with a
// watchdog of their own have it: a daemon that has died heats no longer.
const dropsAfter = 5 * time.Second

// Module serves a plant as a Modbus module over TCP; see [Map]. Everybody on the
// network can switch it, but it switches nothing real.
type Module struct {
	plant  *Plant
	now    func() time.Duration // real time
	server *modbus.ModbusServer
	closed chan struct{}

	mu      sync.Mutex
	written []time.Duration // of each coil that is on
}

// Serve opens a module at an address and port of this machine. now is a clock of
// real time. The error says what is wrong with the address.
func Serve(plant *Plant, address string, now func() time.Duration) (*Module, error) {
	at, err := netip.ParseAddrPort(address)
	if err != nil || !at.Addr().IsLoopback() && !at.Addr().IsPrivate() || at.Port() == 0 {
		return nil, fmt.Errorf("%q is no address with a port where a bench may listen: 127.0.0.1:5020, or this machine's own in a private network", address)
	}
	m := &Module{plant: plant, now: now, closed: make(chan struct{}), written: make([]time.Duration, len(plant.site.Outputs))}
	m.server, err = modbus.NewServer(&modbus.ServerConfiguration{
		URL: "tcp://" + address, MaxClients: 16, Timeout: time.Minute, Logger: log.New(io.Discard, "", 0),
	}, m)
	if err == nil {
		err = m.server.Start()
	}
	if err != nil {
		return nil, fmt.Errorf("the bench can't listen at %s: %w; give another with --modbus", address, err)
	}
	return m, nil
}

// Close ends it and lets all outputs fall.
func (m *Module) Close() error {
	close(m.closed)
	err := m.server.Stop()
	for i := range m.written {
		m.plant.Drive(i, 0)
	}
	return err
}

// Beat drops the coils that nobody has written for long. It is to be called now
// and then.
func (m *Module) Beat() {
	m.mu.Lock()
	defer m.mu.Unlock()
	for i, at := range m.written {
		if m.plant.Level(i) > 0 && m.now()-at > dropsAfter {
			m.plant.Drive(i, 0)
		}
	}
}

// HandleCoils implements [modbus.RequestHandler].
func (m *Module) HandleCoils(r *modbus.CoilsRequest) ([]bool, error) {
	end := int(r.Addr) + int(r.Quantity)
	if r.UnitId != Unit {
		return nil, modbus.ErrGWTargetFailedToRespond
	}
	if end > len(m.written) {
		return nil, modbus.ErrIllegalDataAddress
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	var coils []bool
	for i := int(r.Addr); i < end; i++ {
		if !r.IsWrite {
			coils = append(coils, m.plant.Level(i) > 0)
			continue
		}
		level := 0.0
		if r.Args[i-int(r.Addr)] {
			level = 1
		}
		m.written[i] = m.now()
		m.plant.Drive(i, level)
	}
	return coils, nil
}

// HandleInputRegisters implements [modbus.RequestHandler]. While the bus of the
// probes hangs, so does the answer.
func (m *Module) HandleInputRegisters(r *modbus.InputRegistersRequest) ([]uint16, error) {
	end := int(r.Addr) + int(r.Quantity)
	if r.UnitId != Unit {
		return nil, modbus.ErrGWTargetFailedToRespond
	}
	if end > int(registerOf(len(m.plant.site.Probes))) {
		return nil, modbus.ErrIllegalDataAddress
	}
	if !m.answers() {
		return nil, modbus.ErrServerDeviceFailure
	}
	var words []uint16
	for at := int(r.Addr); at < end; at++ {
		v, _ := m.plant.Value(at / registersEach)
		bits := math.Float32bits(float32(v.Value))
		if !v.OK {
			bits = math.Float32bits(float32(math.NaN()))
		}
		words = append(words, uint16(bits>>(16*(1-at%registersEach))))
	}
	return words, nil
}

// hangLook is the time from look to look whether a bus that hangs answers again,
// hangMost how long a request is held: longer than anybody waits for it, and not
// for ever, since each one holds a connection.
const (
	hangLook = 50 * time.Millisecond
	hangMost = 3 * time.Second
)

// answers waits for a bus that hangs; false when that took too long, or the module
// was closed meanwhile.
func (m *Module) answers() bool {
	for waited := time.Duration(0); waited < hangMost; waited += hangLook {
		if _, hangs := m.plant.Hangs(); !hangs {
			return true
		}
		select {
		case <-time.After(hangLook):
		case <-m.closed:
			return false
		}
	}
	return false
}

// HandleHoldingRegisters implements [modbus.RequestHandler]: there are none.
func (m *Module) HandleHoldingRegisters(*modbus.HoldingRegistersRequest) ([]uint16, error) {
	return nil, modbus.ErrIllegalFunction
}

// HandleDiscreteInputs implements [modbus.RequestHandler]: there are none.
func (m *Module) HandleDiscreteInputs(*modbus.DiscreteInputsRequest) ([]bool, error) {
	return nil, modbus.ErrIllegalFunction
}
