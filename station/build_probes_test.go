package station

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"strings"
	"sync"
	"testing"
	"time"

	"periph.io/x/conn/v3/spi"

	"sunstoker/actuators"
	"sunstoker/control"
	"sunstoker/sensors"
	"sunstoker/sensors/sensorstest"
	"sunstoker/site"
)

// probeRig is a station with fakes on its buses and relays that go nowhere.
type probeRig struct {
	t     *testing.T
	clock *Lockstep
	kept  *keeper
	now   time.Duration
}

// newProbeRig builds and runs the station of a wiring.
func newProbeRig(t *testing.T, wiring string, buses func(*hardware)) *probeRig {
	t.Helper()
	r := &probeRig{t: t, clock: NewLockstep(), kept: &keeper{}}
	o := buildOptions()
	o.Watchers = append(o.Watchers, r.kept)
	o.hardware, _ = fakeHardware(&events{})
	buses(o.hardware)
	if !strings.Contains(wiring, "[system.output.") {
		wiring += relays
	}
	st, err := Build(testSite(t, t.TempDir(), wiring), r.clock, o)
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- st.Run(ctx, context.Background()) }()
	t.Cleanup(func() {
		stop()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
	return r
}

func (r *probeRig) pass(by time.Duration) {
	r.t.Helper()
	r.now += by
	without, err := r.clock.Advance(context.Background(), r.now, control.Wall{Time: noon.Add(r.now), Trusted: true})
	if err != nil || len(without) > 0 {
		r.t.Fatalf("%v, without %q", err, without)
	}
}

// reading gives what the last tick showed of a place.
func (r *probeRig) reading(place control.Place) (value float64, kind, fault string) {
	r.t.Helper()
	last := r.kept.last()
	for i, p := range last.House.Plan.Probes {
		if p.Place == place {
			return last.Readings[i].Value, last.Readings[i].Kind, last.Readings[i].Fault
		}
	}
	r.t.Fatalf("no reading of the %s", place.Words())
	return 0, "", ""
}

func (r *probeRig) want(place control.Place, value, within float64, kind string) {
	r.t.Helper()
	got, gotKind, fault := r.reading(place)
	if !(got >= value-within && got <= value+within) || gotKind != kind || fault != "" {
		r.t.Errorf("%s: %v of kind %q (%s), want %v", place.Words(), got, gotKind, fault, value)
	}
}

func (r *probeRig) wantFault(place control.Place, says string) {
	r.t.Helper()
	if value, _, fault := r.reading(place); !strings.Contains(fault, says) {
		r.t.Errorf("%s: %v, fault %q, want %q", place.Words(), value, fault, says)
	}
}

func platinumTable(place, device string) string {
	return `
[system.probe.` + place + `]
kind = "platinum"
spi_device = "` + device + `"
element = "Pt100"
reference = "400 Ω"
wires = 3
`
}

// Codes: MAX31865 datasheet, table 9 (Pt100, reference of 400 Ω).
func TestPlatinumProbesReachTheTick(t *testing.T) {
	chips := map[string]*sensorstest.PlatinumChip{
		"/dev/spidev0.0": {Code: 11346}, "/dev/spidev0.1": {Code: 10096},
	}
	r := newProbeRig(t, platinumTable("collector", "/dev/spidev0.0")+platinumTable("tank_top", "/dev/spidev0.1")+platinumTable("tank_bottom", "/dev/spidev1.0"),
		func(h *hardware) {
			h.spi = func(device string) (spi.PortCloser, error) {
				if chips[device] == nil {
					return nil, &fs.PathError{Op: "open", Path: device, Err: fs.ErrNotExist}
				}
				return chips[device].Open(device)
			}
		})
	r.pass(5 * time.Second)
	r.want(control.Collector, 100, 0.05, site.Platinum)
	r.want(control.TankTop, 60, 0.05, site.Platinum)
	r.wantFault(control.TankBottom, "/dev/spidev1.0")
	chips["/dev/spidev0.0"].Change(func(c *sensorstest.PlatinumChip) { c.Trips = 0x20 })
	chips["/dev/spidev0.1"].Change(func(c *sensorstest.PlatinumChip) { c.Err = errors.New("input or output error") })
	r.pass(10 * time.Minute)
	r.wantFault(control.Collector, "open")
	r.wantFault(control.TankTop, "input or output error")
}

func TestAnalogProbesReachTheTick(t *testing.T) {
	// Thermistor: 2487 Ω at 60 °C, a maker's table (see sensors/testdata), above
	// 10 kΩ at 5 V. Pressure: 1.3 V of 5 V is 2 bar of 10. Clamp: no current.
	chip := &sensorstest.AnalogChip{Volts: [4]float64{5 * 2487.0 / 12487, 1.3, 1.65, 5}}
	input := func(n string) string {
		return "i2c_device = \"/dev/i2c-1\"\ninput = " + n + "\n"
	}
	r := newProbeRig(t, oneWireProbes+`
[system.probe.coil_return]
kind = "thermistor"
`+input("0")+`supply_input = 3
resistance_at_25 = "10 kΩ"
beta = "3977 K"
divider = "10 kΩ"
[system.probe.loop_pressure]
kind = "pressure"
`+input("1")+`supply_input = 3
span = "10 bar"
[system.probe.pump_current]
kind = "current clamp"
`+input("2")+`current_at_1_volt = "30 A"
`, func(h *hardware) { h.i2c = chip.Open })
	r.pass(5 * time.Second)
	r.want(control.CoilReturn, 60, 0.1, site.Thermistor)
	r.want(control.LoopPressure, 2, 0.01, site.Pressure)
	r.want(control.PumpCurrent, 0, 0.001, site.CurrentClamp)
	chip.Change(func(c *sensorstest.AnalogChip) { c.Volts[0], c.Volts[1] = 5, 0 })
	r.pass(time.Minute)
	r.wantFault(control.CoilReturn, "open")
	r.wantFault(control.LoopPressure, "three wires")
	r.want(control.PumpCurrent, 0, 0.001, site.CurrentClamp)
}

// quietLine is a contact that stays as it was when it was opened.
type quietLine struct {
	closed bool
	end    chan struct{}
}

func (l quietLine) Wait(time.Duration) (changed, closed bool, err error) {
	<-l.end
	return false, false, io.EOF
}
func (l quietLine) Closed() (bool, error) { return l.closed, nil }
func (l quietLine) Close() error          { return nil }

func TestContactsReachTheTick(t *testing.T) {
	end := make(chan struct{})
	defer close(end)
	r := newProbeRig(t, oneWireProbes+`
[system.probe.loop_flow]
kind = "flow meter"
chip = "gpiochip0"
line = "GPIO22"
litres_per_pulse = "0.5 l"
[system.probe.heater_current]
kind = "electricity meter"
chip = "gpiochip0"
line = "GPIO23"
pulses_per_kwh = 1000
[system.probe.circulation_button]
kind = "button"
chip = "gpiochip0"
line = "GPIO24"
`, func(h *hardware) {
		h.input = func(chip, line string) (sensors.EdgeLine, error) {
			if line == "GPIO23" {
				return nil, errors.New(chip + " has no line " + line)
			}
			return quietLine{closed: line == "GPIO24", end: end}, nil
		}
	})
	r.pass(3 * time.Second)
	r.want(control.LoopFlow, 0, 0, site.FlowMeter)
	r.want(control.CirculationButton, 1, 0, site.Button)
	r.wantFault(control.HeaterCurrent, "gpiochip0 has no line GPIO23")
}

// fakeModules answers every register with its number times ten, and keeps coils.
type fakeModules struct {
	mu     sync.Mutex
	coils  map[uint16]bool
	silent bool
}

func (m *fakeModules) ReadRegisters(_ uint8, _ bool, first, _ uint16) ([]uint16, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.silent {
		return nil, errors.New("no answer in time")
	}
	return []uint16{first * 10}, nil
}

func (m *fakeModules) WriteCoil(_ uint8, coil uint16, on bool) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.silent {
		return errors.New("no answer in time")
	}
	m.coils[coil] = on
	return nil
}

func (m *fakeModules) ReadCoil(_ uint8, coil uint16) (on, can bool, err error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.silent {
		return false, false, errors.New("no answer in time")
	}
	return m.coils[coil], true, nil
}

func (m *fakeModules) silence(silent bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.silent = silent
}

// Probes and outputs of one module share its line; what is read switches a coil.
func TestModbusProbesAndOutputs(t *testing.T) {
	m := &fakeModules{coils: map[uint16]bool{5: true, 6: true}}
	register := func(place, number string) string {
		return "[system.probe." + place + "]\nkind = \"modbus\"\nconnection = \"192.168.1.20:502\"\nregister = " + number + "\nscale = \"0.1\"\n"
	}
	opened := 0
	r := newProbeRig(t, register("collector", "60")+register("tank_top", "30")+register("tank_bottom", "20")+`
[system.output.loop_pump]
kind = "modbus"
connection = "192.168.1.20:502"
coil = 5
[system.output.backup_heater]
kind = "modbus"
connection = "192.168.1.20:502"
coil = 6
drops_when_silent = true
`, func(h *hardware) {
		h.modbus = func(c site.Connection) modbusLine {
			if opened++; c.TCP != "192.168.1.20:502" {
				t.Errorf("connection %+v", c)
			}
			return m
		}
	})
	if m.coils[5] || m.coils[6] || opened != 1 {
		t.Errorf("after the start: coils %v, %d connections", m.coils, opened)
	}
	r.pass(5 * time.Second)
	r.want(control.Collector, 60, 1e-9, site.Modbus)
	r.want(control.TankBottom, 20, 1e-9, site.Modbus)
	r.pass(5 * time.Minute)
	m.mu.Lock()
	if !m.coils[5] {
		t.Error("the pump's coil is off with the collector 40 K hotter than the tank")
	}
	m.mu.Unlock()
	m.silence(true)
	r.pass(10 * time.Minute)
	r.wantFault(control.Collector, "no answer in time")
	if fault := r.kept.last().Outputs[0].Fault; !strings.Contains(fault, "no answer in time") {
		t.Errorf("the pump's fault is %q", fault)
	}
	m.silence(false)
	r.pass(10 * time.Second)
}

// A module that is down keeps the daemon from nothing: it starts, says so, and
// goes on when the module comes.
func TestAModuleThatIsDownAtTheStart(t *testing.T) {
	m := &fakeModules{coils: map[uint16]bool{6: true}, silent: true}
	r := newProbeRig(t, oneWireProbes+`
[system.output.loop_pump]
kind = "simulated"
[system.output.backup_heater]
kind = "modbus"
connection = "192.168.1.20:502"
coil = 6
drops_when_silent = true
`, func(h *hardware) { h.modbus = func(site.Connection) modbusLine { return m } })
	r.pass(time.Minute)
	last := r.kept.last()
	if fault := last.Outputs[1].Fault; !strings.Contains(fault, "no answer in time") || last.Outputs[1].Driven != 0 {
		t.Errorf("driven to %v, fault %q", last.Outputs[1].Driven, fault)
	}
	found := false
	for _, f := range last.Findings {
		found = found || f.Kind == control.FoundOutputFault && f.Actuator == control.BackupHeater
	}
	if !found {
		t.Errorf("findings: %v", last.Findings)
	}
	m.silence(false)
	r.pass(5 * time.Second)
	if m.mu.Lock(); m.coils[6] {
		t.Error("the coil is as it was before the start")
	}
	m.mu.Unlock()
	if fault := r.kept.last().Outputs[1].Fault; fault != "" {
		t.Errorf("still told: %s", fault)
	}
}

// The command that switches off after the program has ended reaches coils too,
// and says of a silent module that its relay may be on.
func TestSwitchingOffReachesCoils(t *testing.T) {
	m := &fakeModules{coils: map[uint16]bool{5: true}}
	o := buildOptions()
	o.hardware = &hardware{modbus: func(site.Connection) modbusLine { return m }}
	s := testSite(t, t.TempDir(), oneWireProbes+"[system.output.loop_pump]\nkind = \"modbus\"\nconnection = \"/dev/ttyUSB0 9600 even\"\ncoil = 5\n")
	done, err := switchOff(o, s)
	if err != nil || len(done) != 1 || done["loop pump"] != nil || m.coils[5] {
		t.Errorf("%v, %v, coils %v", done, err, m.coils)
	}
	m.silence(true)
	if done, _ := switchOff(o, s); done["loop pump"] == nil {
		t.Error("a silent module counts as off")
	}
}

func TestASpeedSignalIsOpenedAsTheSiteSays(t *testing.T) {
	var got actuators.PWMOptions
	o := buildOptions()
	o.hardware = &hardware{pwm: func(o actuators.PWMOptions) (actuators.Output, error) {
		got = o
		return actuators.NewSimulated(nil), nil
	}}
	st, err := Build(testSite(t, t.TempDir(), oneWireProbes+`
[system.output.loop_pump]
kind = "pwm"
pwm_chip = "/sys/class/pwm/pwmchip0"
pwm_channel = 1
signal_frequency = "0.5 kHz"
signal_stop = "100 %"
signal_slowest = "85 %"
signal_full = "10 %"
signal_inverted = true
least = "40 %"
`), NewLockstep(), o)
	if err != nil {
		t.Fatal(err)
	}
	endNow(t, st)
	want := actuators.PWMOptions{
		Name: "loop pump", Folder: "/sys/class/pwm/pwmchip0", Channel: 1, Hertz: 500, Inverted: true,
		Signal: actuators.PumpSignal{Stop: 1, Slowest: 0.85, Full: 0.1, Least: 0.4},
	}
	if got != want {
		t.Errorf("got %+v", got)
	}
}
