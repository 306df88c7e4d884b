package fieldbus

import (
	"errors"
	"io"
	"log"
	"net"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/simonvetter/modbus"

	"sunstoker/actuators"
	"sunstoker/sensors"
)

var (
	_ sensors.RegisterReader = (*Line)(nil)
	_ actuators.CoilLine     = (*Line)(nil)
)

// module is a module on a rail: registers that count up from their number, and
// coils.
type module struct {
	mu    sync.Mutex
	coils map[uint16]bool
	err   error
	hold  chan struct{} // requests wait for it when not nil
}

func (m *module) HandleCoils(r *modbus.CoilsRequest) ([]bool, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if r.UnitId != 3 || r.Quantity != 1 {
		return nil, modbus.ErrIllegalDataValue
	}
	if r.IsWrite {
		m.coils[r.Addr] = r.Args[0]
	}
	return []bool{m.coils[r.Addr]}, m.err
}

func (m *module) HandleInputRegisters(r *modbus.InputRegistersRequest) ([]uint16, error) {
	m.mu.Lock()
	hold, err := m.hold, m.err
	m.mu.Unlock()
	if hold != nil {
		<-hold
	}
	return registersFrom(r.Addr, r.Quantity), err
}

func (m *module) HandleHoldingRegisters(r *modbus.HoldingRegistersRequest) ([]uint16, error) {
	return registersFrom(r.Addr+1000, r.Quantity), nil
}

func (m *module) HandleDiscreteInputs(*modbus.DiscreteInputsRequest) ([]bool, error) {
	return nil, modbus.ErrIllegalFunction
}

func registersFrom(first, count uint16) []uint16 {
	var values []uint16
	for i := range count {
		values = append(values, first+i)
	}
	return values
}

// patient is a deadline for answers that come: a busy machine may be late.
const patient = 20 * time.Second

// freeAddress is an address of this machine where nobody listens.
func freeAddress(t *testing.T) string {
	t.Helper()
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer listener.Close()
	return listener.Addr().String()
}

func serve(t *testing.T, address string, m *module) *modbus.ModbusServer {
	t.Helper()
	server, err := modbus.NewServer(&modbus.ServerConfiguration{URL: "tcp://" + address, MaxClients: 1, Logger: log.New(io.Discard, "", 0)}, m)
	if err == nil {
		err = server.Start()
	}
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = server.Stop() })
	return server
}

func says(t *testing.T, err error, words ...string) {
	t.Helper()
	if err == nil {
		t.Fatalf("no error, want %q", words)
	}
	for _, w := range words {
		if !strings.Contains(err.Error(), w) {
			t.Errorf("%v does not say %q", err, w)
		}
	}
}

func TestRequestsOverTCP(t *testing.T) {
	m, address := &module{coils: map[uint16]bool{}}, freeAddress(t)
	serve(t, address, m)
	line := New(Options{TCP: address, Timeout: patient})
	t.Cleanup(func() { _ = line.Close() })
	for holding, want := range map[bool][]uint16{false: {7, 8}, true: {1007, 1008}} {
		if got, err := line.ReadRegisters(1, holding, 7, 2); err != nil || !slices.Equal(got, want) {
			t.Errorf("holding %v: %v, %v", holding, got, err)
		}
	}
	for _, on := range []bool{true, false} {
		if err := line.WriteCoil(3, 5, on); err != nil || m.coils[5] != on {
			t.Errorf("coil to %v: %v, %v", on, m.coils, err)
		}
		if got, can, err := line.ReadCoil(3, 5); err != nil || !can || got != on {
			t.Errorf("coil read back: %v, %v, %v; it is %v", got, can, err, on)
		}
	}
	m.err = modbus.ErrIllegalFunction
	if _, can, err := line.ReadCoil(3, 5); err != nil || can {
		t.Errorf("a module without the function: %v, %v", can, err)
	}
	m.err = modbus.ErrServerDeviceBusy
	if _, can, err := line.ReadCoil(3, 5); err == nil || can {
		t.Errorf("a module that is busy: %v, %v", can, err)
	}
	says(t, line.WriteCoil(4, 5, true), address, "unit 4", "refuses the value")
	m.err = modbus.ErrIllegalDataAddress
	_, err := line.ReadRegisters(1, false, 7, 2)
	says(t, err, "no such register", "count from 0")
	if line.client == nil {
		t.Error("a refusal ends the connection")
	}
	m.err = nil
	if err := line.Close(); err != nil {
		t.Error(err)
	}
	if _, err := line.ReadRegisters(1, false, 7, 2); !errors.Is(err, ErrClosed) {
		t.Errorf("after Close: %v", err)
	}
}

// A module that went away and came back is found again by the next request; while
// it is away the error says so.
func TestAModuleComesBack(t *testing.T) {
	m, address := &module{coils: map[uint16]bool{}}, freeAddress(t)
	line := New(Options{TCP: address, Timeout: patient})
	t.Cleanup(func() { _ = line.Close() })
	_, err := line.ReadRegisters(1, false, 7, 1)
	says(t, err, address, "refused", "supply")
	server := serve(t, address, m)
	if _, err := line.ReadRegisters(1, false, 7, 1); err != nil {
		t.Fatal(err)
	}
	if err := server.Stop(); err != nil {
		t.Fatal(err)
	}
	_, err = line.ReadRegisters(1, false, 7, 1)
	says(t, err, address)
	serve(t, address, m)
	if _, err := line.ReadRegisters(1, false, 7, 1); err != nil {
		t.Errorf("back again: %v", err)
	}
}

// A connection that the other side closed in between costs no reading.
func TestAStaleConnectionIsMadeAnew(t *testing.T) {
	m, address := &module{coils: map[uint16]bool{}}, freeAddress(t)
	server := serve(t, address, m)
	line := New(Options{TCP: address, Timeout: patient})
	t.Cleanup(func() { _ = line.Close() })
	if _, err := line.ReadRegisters(1, false, 7, 1); err != nil {
		t.Fatal(err)
	}
	if err := server.Stop(); err != nil {
		t.Fatal(err)
	}
	serve(t, address, m)
	if _, err := line.ReadRegisters(1, false, 7, 1); err != nil {
		t.Errorf("over a stale connection: %v", err)
	}
}

func TestASilentModule(t *testing.T) {
	m, address := &module{hold: make(chan struct{})}, freeAddress(t)
	serve(t, address, m)
	line := New(Options{TCP: address, Timeout: 20 * time.Millisecond})
	t.Cleanup(func() { _ = line.Close() })
	for errors.Is(line.connect(), errConnecting) { // the same attempt, looked at again
	}
	_, err := line.ReadRegisters(1, false, 7, 1)
	says(t, err, "no answer in time", "unit 1")
	close(m.hold)
	if line.client != nil {
		t.Error("an answer that comes late could be taken for the next one")
	}
}
