package station

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"strings"
	"testing"
	"time"

	"periph.io/x/conn/v3/spi"

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
	st, err := Build(testSite(t, t.TempDir(), wiring+relays), r.clock, o)
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
