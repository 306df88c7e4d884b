package fieldbus

import (
	"errors"
	"fmt"
	"io"
	"log"
	"sync"
	"time"

	"github.com/simonvetter/modbus"
)

// Parity is that of a serial line.
type Parity uint8

// The parities. Without one there are two stop bits, else one, as the standard
// wants; a module that sends one stop bit is understood all the same.
const (
	NoParity Parity = iota
	EvenParity
	OddParity
)

// Options describe a connection: TCP, or else Device.
type Options struct {
	TCP     string // address and port of a module or gateway: "192.168.1.20:502"
	Device  string // serial line: "/dev/ttyUSB0"
	Speed   int    // of a serial line, bit/s
	Parity  Parity
	Timeout time.Duration // of a request, and of waiting for a connection; default 1 s
}

const defaultTimeout = time.Second

// Line is one connection. The zero value is not ready: see [New].
type Line struct {
	options Options
	quiet   *log.Logger

	mu      sync.Mutex
	client  *modbus.ModbusClient // nil while there is no connection
	pending chan attempt         // a connection that is being made; nil when none is
	closed  bool
}

// attempt is how the making of a connection ended.
type attempt struct {
	client *modbus.ModbusClient
	err    error
}

// ErrClosed is the error of a request on a closed line.
var ErrClosed = errors.New("the connection is closed")

// New makes a line that connects at its first request.
func New(o Options) *Line {
	if o.Timeout <= 0 {
		o.Timeout = defaultTimeout
	}
	return &Line{options: o, quiet: log.New(io.Discard, "", 0)}
}

// String names the line as messages do.
func (l *Line) String() string {
	if l.options.TCP != "" {
		return l.options.TCP
	}
	return l.options.Device
}

// ReadRegisters reads registers of a unit, holding or input ones. first counts
// from 0, as on the wire.
func (l *Line) ReadRegisters(unit uint8, holding bool, first, count uint16) (values []uint16, err error) {
	table := modbus.INPUT_REGISTER
	if holding {
		table = modbus.HOLDING_REGISTER
	}
	err = l.request(unit, func(c *modbus.ModbusClient) error {
		values, err = c.ReadRegisters(first, count, table)
		return err
	})
	return values, err
}

// WriteCoil switches one coil of a unit; coil counts from 0, as on the wire.
func (l *Line) WriteCoil(unit uint8, coil uint16, on bool) error {
	return l.request(unit, func(c *modbus.ModbusClient) error { return c.WriteCoil(coil, on) })
}

// ReadCoil reads one coil of a unit back; coil counts from 0, as on the wire. can
// is false when the module has no such function.
func (l *Line) ReadCoil(unit uint8, coil uint16) (on, can bool, err error) {
	err = l.request(unit, func(c *modbus.ModbusClient) error {
		on, err = c.ReadCoil(coil)
		return err
	})
	if errors.Is(err, modbus.ErrIllegalFunction) {
		return false, false, nil
	}
	return on, err == nil, err
}

// Close ends the connection for good.
func (l *Line) Close() error {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.closed = true
	if pending := l.pending; pending != nil {
		l.pending = nil
		go func() {
			if a := <-pending; a.err == nil {
				_ = a.client.Close() // nobody is left to be told
			}
		}()
	}
	return l.drop()
}

// request makes one request. What is asked here may be asked twice without harm,
// so a connection that the other side has closed since is made anew once.
func (l *Line) request(unit uint8, do func(*modbus.ModbusClient) error) error {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.closed {
		return fmt.Errorf("%s: %w", l, ErrClosed)
	}
	stale := l.client != nil
	err := l.try(unit, do)
	if stale && l.client == nil && !errors.Is(err, modbus.ErrRequestTimedOut) {
		err = l.try(unit, do)
	}
	if err != nil {
		return fmt.Errorf("%s, unit %d: %w%s", l, unit, err, l.advice(err))
	}
	return nil
}

func (l *Line) try(unit uint8, do func(*modbus.ModbusClient) error) error {
	if err := l.connect(); err != nil {
		return err
	}
	err := l.client.SetUnitId(unit)
	if err == nil {
		err = do(l.client)
	}
	if err != nil && !l.survives(err) {
		_ = l.drop() // the error at hand counts
	}
	return err
}

// survives tells whether the connection can be used after an error: over TCP
// after an answer that refuses; a serial line works on whatever came over it.
func (l *Line) survives(err error) bool {
	if l.options.TCP == "" {
		_, spoken := errors.AsType[modbus.Error](err)
		return spoken
	}
	return refusal(err) != "" && !errors.Is(err, modbus.ErrRequestTimedOut)
}

var errConnecting = errors.New("no connection yet")

// connect waits for a connection no longer than for an answer. The library may
// take longer; then the attempt goes on by itself and the next request looks.
func (l *Line) connect() error {
	if l.client != nil {
		return nil
	}
	if l.pending == nil {
		client, err := modbus.NewClient(l.configuration())
		if err != nil {
			return err
		}
		pending := make(chan attempt, 1)
		l.pending = pending
		go func() { pending <- attempt{client, client.Open()} }()
	}
	timer := time.NewTimer(l.options.Timeout)
	defer timer.Stop()
	select {
	case a := <-l.pending:
		l.pending = nil
		if a.err != nil {
			return a.err
		}
		l.client = a.client
		return nil
	case <-timer.C:
		return errConnecting
	}
}

// drop ends the connection. One that is still being made ends by itself, and is
// taken up or not by who comes next.
func (l *Line) drop() error {
	if l.client == nil {
		return nil
	}
	client := l.client
	l.client = nil
	return client.Close()
}

func (l *Line) configuration() *modbus.ClientConfiguration {
	c := &modbus.ClientConfiguration{URL: "tcp://" + l.options.TCP, Timeout: l.options.Timeout, Logger: l.quiet}
	if l.options.TCP != "" {
		return c
	}
	c.URL, c.Speed, c.DataBits = "rtu://"+l.options.Device, uint(l.options.Speed), 8
	switch l.options.Parity {
	case EvenParity:
		c.Parity, c.StopBits = modbus.PARITY_EVEN, 1
	case OddParity:
		c.Parity, c.StopBits = modbus.PARITY_ODD, 1
	default:
		c.Parity, c.StopBits = modbus.PARITY_NONE, 2
	}
	return c
}

// advices says what to do about an answer that refuses.
var advices = map[modbus.Error]string{
	modbus.ErrIllegalFunction:         "the module does not do this: check the kind of register (input or holding), and that it is a relay",
	modbus.ErrIllegalDataAddress:      "the module has no such register or coil: count from 0, where many papers count from 1",
	modbus.ErrIllegalDataValue:        "the module refuses the value: check register and coil in its papers",
	modbus.ErrServerDeviceFailure:     "the module says that it has failed: switch it off and on",
	modbus.ErrAcknowledge:             "the module wants more time",
	modbus.ErrServerDeviceBusy:        "the module is busy with somebody else",
	modbus.ErrMemoryParityError:       "the module's memory is damaged: replace it",
	modbus.ErrGWPathUnavailable:       "the gateway has no way to the unit: check its settings",
	modbus.ErrGWTargetFailedToRespond: "the unit behind the gateway is silent: check its number, wires and supply",
	modbus.ErrRequestTimedOut:         "no answer in time: check the unit's number, wires and supply",
}

// refusal says what to do about what the module has said, or about its silence;
// empty for an error of another kind.
func refusal(err error) string {
	told, ours := errors.AsType[modbus.Error](err)
	if !ours {
		return ""
	}
	return advices[told]
}

// advice says what to do about an error.
func (l *Line) advice(err error) string {
	text := refusal(err)
	switch {
	case text != "" && l.options.TCP == "" && errors.Is(err, modbus.ErrRequestTimedOut):
		text += ", and that speed and parity are its own"
	case text == "" && l.options.TCP != "":
		text = "check that the module has its supply and its address, and that nobody else holds its connection"
	case text == "":
		text = "check the adapter, speed, parity and the two wires of the line"
	}
	return "; " + text
}
