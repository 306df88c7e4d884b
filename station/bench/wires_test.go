package bench

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"periph.io/x/conn/v3/i2c"
	"periph.io/x/conn/v3/spi"

	"sunstoker/actuators"
	"sunstoker/control"
	"sunstoker/sensors"
	"sunstoker/sensors/sensorstest"
	"sunstoker/sim"
	"sunstoker/sim/household"
	"sunstoker/sim/weather"
	"sunstoker/site"
	"sunstoker/station"
	"sunstoker/station/tick"
)

// wiredHouse has a probe of each kind that stands on a bus of its own, and plain
// water in its loop.
const wiredHouse = `
name = "wired house"
[place]
latitude = "45 °"
longitude = "8 °"
altitude = "250 m"
time_zone = "Europe/Rome"
coldest = "-10 °C"
[daemon]
state_folder = "STATE"
outputs_tested_by = "a test"
[one_wire]
folder = "TREE"
[probe.outdoor_air]
kind = "one-wire"
identity = "28-00000d000001"
[settings]
heater_windows = "05:00 to 07:00, 17:00 to 20:00"
[[system]]
name = "roof"
loop = "pumped"
fluid = "water"
loop_pressure = "2 bar"
loop_flow = "4 l/min"
[system.collector]
area = "4 m²"
tilt = "50 °"
direction = "180 °"
optical_efficiency = "78 %"
loss = "3.8 W/(m² K)"
loss_growth = "0.012 W/(m² K²)"
[system.tank]
volume = "200 l"
loss = "1.9 W/K"
tempering_valve = "50 °C"
[system.heater]
power = "2 kW"
cut_out = "90 °C"
[system.probe.collector]
kind = "platinum"
spi_device = "/dev/spidev0.0"
element = "Pt1000"
reference = "4300 Ω"
wires = 3
[system.probe.tank_top]
kind = "thermistor"
i2c_device = "/dev/i2c-1"
input = 0
supply_input = 3
resistance_at_25 = "10 kΩ"
beta = "3977 K"
divider = "4.7 kΩ"
[system.probe.tank_bottom]
kind = "one-wire"
identity = "28-00000d000002"
[system.probe.loop_pressure]
kind = "pressure"
i2c_device = "/dev/i2c-1"
input = 1
supply_input = 3
span = "6 bar"
[system.output.loop_pump]
kind = "simulated"
[system.output.backup_heater]
kind = "simulated"
`

// clampTable is one more probe, whose hundred samples take their time.
const clampTable = `
[system.probe.heater_current]
kind = "current clamp"
i2c_device = "/dev/i2c-2"
input = 2
current_at_1_volt = "30 A"
`

const supplyV = 5

// wires are a plant behind the calls of the buses: chips whose inputs follow it,
// and a folder of 1-wire parts.
type wires struct {
	t        *testing.T
	plant    *Plant
	site     *site.Site
	tree     *Tree
	platinum sensorstest.PlatinumChip
	analog   sensorstest.AnalogChip // thermistor and pressure
	clamp    sensorstest.AnalogChip
}

func newWires(t *testing.T, text string, o Options, sky ...weather.Moment) *wires {
	t.Helper()
	folder := t.TempDir()
	s, err := site.Parse("wired.toml", []byte(strings.NewReplacer("STATE", t.TempDir(), "TREE", folder).Replace(text)))
	if err != nil {
		t.Fatal(err)
	}
	source, err := weather.NewScripted(weather.Place{LatitudeDeg: s.LatitudeDeg, LongitudeDeg: s.LongitudeDeg, AltitudeM: s.AltitudeM}, sky)
	if err != nil {
		t.Fatal(err)
	}
	o.Weather = source
	w := &wires{t: t, site: s, plant: newPlant(t, s, o)}
	w.tree = NewTree(w.plant, folder)
	w.clamp.Volts[2] = supplyV / 4.0
	w.analog.Volts[3] = supplyV
	return w
}

// show lets chips and folder follow the plant.
func (w *wires) show() {
	if err := w.tree.Beat(); err != nil {
		w.t.Error(err)
	}
	for i, p := range w.site.Plan.Probes {
		v, _ := w.plant.Value(i)
		switch p.Place {
		case control.Collector:
			w.platinum.Change(func(c *sensorstest.PlatinumChip) {
				c.Code = uint16(math.Round(sensors.PlatinumOhm(v.Value, 1000) / 4300 * (1 << 15)))
				if c.Trips = 0; !v.OK {
					c.Code, c.Trips = 1<<15-1, 0x20 // the element is open
				}
			})
		case control.TankTop:
			w.analog.Change(func(c *sensorstest.AnalogChip) {
				ohm := 10e3 * thermistorRatio(v.Value)
				if c.Volts[0] = supplyV * ohm / (ohm + 4.7e3); !v.OK {
					c.Volts[0] = supplyV // open
				}
			})
		case control.LoopPressure:
			w.analog.Change(func(c *sensorstest.AnalogChip) { c.Volts[1] = supplyV * (0.1 + 0.8*v.Value/6) })
		case control.HeaterCurrent:
			peakV := v.Value / 30 * math.Sqrt2
			w.clamp.Change(func(c *sensorstest.AnalogChip) {
				c.Wave = func(n int) float64 { return peakV * math.Sin(2*math.Pi*50*3.82e-3*float64(n)) }
			})
		}
	}
}

// thermistorRatio is the resistance at a temperature in °C to that at 25 °C, by
// bisection of the maker's table row (4 anchor points of sensors/testdata's formula
// give the same to a thousandth).
func thermistorRatio(tempC float64) float64 {
	inverse := func(ratio float64) float64 {
		l := math.Log(ratio)
		return 1/(0.0033539438+l*(0.00025646095+l*(2.5158166e-06+l*1.0503069e-07))) - 273.15
	}
	low, high := 1e-3, 1e2
	for range 60 {
		middle := math.Sqrt(low * high)
		if inverse(middle) > tempC {
			low = middle
		} else {
			high = middle
		}
	}
	return math.Sqrt(low * high)
}

func (w *wires) options(seen tick.Watcher) station.BuildOptions {
	return station.BuildOptions{
		Simulated: Ports{Plant: w.plant, Period: 2 * time.Second, Show: w.show},
		SPI:       func(device string) (spi.PortCloser, error) { return w.platinum.Open(device) },
		I2C: func(device string) (i2c.BusCloser, error) {
			switch device {
			case "/dev/i2c-1":
				return w.analog.Open(device)
			case "/dev/i2c-2":
				return w.clamp.Open(device)
			}
			return nil, fmt.Errorf("no bus %s", device)
		},
		Watchers: []tick.Watcher{seen}, Log: slog.New(slog.DiscardHandler),
	}
}

// shadow reads the same plant at ports in memory, and drives nothing.
type shadow struct{ Ports }

func (shadow) Buses(station.Clock) []station.BusPort { return nil }
func (shadow) Output(int) (actuators.Output, error)  { return actuators.NewSimulated(nil), nil }

// days are two on which pump, heater and frost protection have work.
var days = []struct {
	name  string
	with  Options
	sky   []weather.Moment
	pumpH float64 // that the pump runs at least
}{
	{"frost", Options{Start: time.Date(2026, 1, 12, 18, 0, 0, 0, time.UTC), TankC: 45, People: household.Nobody{}},
		[]weather.Moment{{At: 6 * time.Hour, AirC: -9}, {At: 14 * time.Hour, AirC: 1}}, 0.4},
	{"sun", Options{Start: time.Date(2026, 4, 18, 6, 0, 0, 0, time.UTC), TankC: 35},
		[]weather.Moment{{At: 5 * time.Hour, AirC: 6}, {At: 12 * time.Hour, AirC: 16, Cover: 0.1}, {At: 13 * time.Hour, Cover: 0.8, AirC: 15}, {At: 15 * time.Hour, AirC: 17}}, 3},
}

// TestProofDaysBehindTheBuses lets the real drivers read a plant behind the calls of
// SPI, I2C and the 1-wire folder through six hours, whole days in make proof. A second controller reads the
// same plant at ports in memory: every reading is the same to the steps of the
// parts, and so is what both decide, but for minutes around a threshold.
func TestProofDaysBehindTheBuses(t *testing.T) {
	if testing.Short() || raced {
		t.Skip("runs two days second by second")
	}
	span := 6 * time.Hour
	if os.Getenv("SUNSTOKER_PROOF") != "" {
		span = 24 * time.Hour
	}
	for _, day := range days {
		t.Run(day.name, func(t *testing.T) {
			t.Parallel()
			w := newWires(t, wiredHouse, day.with, day.sky...)
			clock := station.NewLockstep()
			byWire, direct := &kept{}, &kept{}
			other := Wired(w.site)
			other.StateFolder = t.TempDir()
			run := start(t, clock, w.site, w.options(byWire))
			shadowed := start(t, clock, other, station.BuildOptions{
				Simulated: shadow{Ports{Plant: w.plant}}, Watchers: []tick.Watcher{direct}, Log: slog.New(slog.DiscardHandler),
			})
			d := &differences{}
			for now := time.Duration(0); now <= span; now += time.Second {
				if without, err := clock.Advance(t.Context(), now, w.plant.Clock()); err != nil || len(without) > 0 {
					t.Fatalf("%v, without %q", err, without)
				}
				d.see(t, byWire.last, direct.last)
			}
			for _, stop := range []func() error{run, shadowed} {
				if err := stop(); err != nil {
					t.Error(err)
				}
			}
			d.judge(t, day.pumpH)
			w.plant.Look(func(h *sim.House) {
				if frozen := h.Tally(0).FreezingS; frozen > 0 {
					t.Errorf("the collector froze for %.0f s", frozen)
				}
			})
		})
	}
}

// start runs the station of a site until it is stopped.
func start(t *testing.T, clock station.Clock, s *site.Site, o station.BuildOptions) (stop func() error) {
	t.Helper()
	st, err := station.Build(s, clock, o)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- st.Run(ctx, context.Background()) }()
	return func() error { cancel(); return <-ended }
}

// differences counts where two controllers part.
type differences struct {
	ticks, apart, longest, row int
	onS                        [2][2]float64 // of pump and heater, by wire and by memory
	worst                      map[control.Place]float64
}

// steps are what readings may be apart: steps and noise of the parts, and what a
// place changes in the 4 s by which one can be older than the other.
var steps = map[control.Place]float64{
	control.Collector: 0.6, control.TankTop: 0.35, control.TankBottom: 0.6, control.OutdoorAir: 0.35, control.LoopPressure: 0.1,
}

func (d *differences) see(t *testing.T, a, b *tick.Tick) {
	if d.worst == nil {
		d.worst = map[control.Place]float64{}
	}
	d.ticks++
	for i, p := range a.House.Plan.Probes {
		x, y := a.Readings[i], b.Readings[i]
		if d.ticks > 10 && (x.Fault != "" || y.Fault != "") {
			t.Fatalf("%v: the %s: %q and %q", a.At, p.Place.Words(), x.Fault, y.Fault)
		}
		if d.ticks > 10 {
			d.worst[p.Place] = max(d.worst[p.Place], math.Abs(x.Value-y.Value))
		}
	}
	same := true
	for i := range a.Outputs {
		same = same && a.Outputs[i].Level == b.Outputs[i].Level
	}
	for i := range a.Outputs {
		d.onS[i][0] += math.Ceil(a.Outputs[i].Level)
		d.onS[i][1] += math.Ceil(b.Outputs[i].Level)
	}
	if d.row++; same {
		d.row = 0
	} else {
		d.apart++
	}
	d.longest = max(d.longest, d.row)
}

func (d *differences) judge(t *testing.T, pumpH float64) {
	t.Logf("proof: decisions behind real drivers that are those of the plain ports = %.2f %%", 100-100*float64(d.apart)/float64(d.ticks))
	t.Logf("%d ticks, %d apart, at most %d s in a row, on for %.0f s, readings apart %v", d.ticks, d.apart, d.longest, d.onS, d.worst)
	for place, apart := range d.worst {
		if apart > steps[place] {
			t.Errorf("the %s differs by %g", place.Words(), apart)
		}
	}
	// Near a threshold the noise of one sample lets one of them begin minutes before
	// the other; over the day both do the same.
	if share := float64(d.apart) / float64(d.ticks); share > 0.03 || d.longest > 900 {
		t.Errorf("decisions differ for %.2f %% of the day, %d s in a row", 100*share, d.longest)
	}
	for output, on := range d.onS {
		if wire, memory := on[0], on[1]; math.Abs(wire-memory) > 0.03*memory+60 {
			t.Errorf("output %d is on for %.0f s by wire, %.0f s by memory", output, wire, memory)
		}
	}
	if hours := d.onS[0][0] / 3600; hours < pumpH {
		t.Errorf("the pump had work for %.1f h only", hours)
	}
}

// TestFaultsBehindTheBuses: what breaks in the plant is told by the driver of each
// kind, in its own words, and the clamp reads the heater.
func TestFaultsBehindTheBuses(t *testing.T) {
	w := newWires(t, wiredHouse+clampTable, Options{Start: time.Date(2026, 1, 12, 16, 2, 0, 0, time.UTC), TankC: 40}, weather.Moment{AirC: 2, Cover: 1})
	clock, seen := station.NewLockstep(), &kept{}
	stop := start(t, clock, w.site, w.options(seen))
	now := time.Duration(0)
	pass := func(to time.Duration) {
		t.Helper()
		for ; now <= to; now += time.Second {
			if without, err := clock.Advance(t.Context(), now, w.plant.Clock()); err != nil || len(without) > 0 {
				t.Fatalf("%v, without %q", err, without)
			}
		}
	}
	pass(2 * time.Minute)
	current := seen.last.Readings[at(t, w.site, control.HeaterCurrent)]
	if w.plant.Level(1) != 1 || math.Abs(current.Value-2000.0/230) > 0.2 {
		t.Errorf("the heater, at %g, takes %g A (%s), want %g", w.plant.Level(1), current.Value, current.Fault, 2000.0/230)
	}
	for place, says := range map[control.Place]string{
		control.Collector: "open", control.TankTop: "open", control.TankBottom: "not on the bus",
	} {
		order(t, w.plant, "probe missing probe "+place.Words()+" for 1m")
		pass(now + 20*time.Second)
		if fault := seen.last.Readings[at(t, w.site, place)].Fault; !strings.Contains(fault, says) {
			t.Errorf("the %s: %q, want %q", place.Words(), fault, says)
		}
	}
	w.platinum.Change(func(c *sensorstest.PlatinumChip) { c.Err = errors.New("no such bus") })
	w.analog.Change(func(c *sensorstest.AnalogChip) { c.Err = os.ErrPermission })
	pass(now + 2*time.Minute)
	for place, says := range map[control.Place]string{control.Collector: "did not answer", control.LoopPressure: "group"} {
		if fault := seen.last.Readings[at(t, w.site, place)].Fault; !strings.Contains(fault, says) {
			t.Errorf("the %s: %q, want %q", place.Words(), fault, says)
		}
	}
	if err := stop(); err != nil {
		t.Error(err)
	}
}
