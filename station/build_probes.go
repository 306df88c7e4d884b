package station

import (
	"errors"
	"fmt"
	"time"

	"sunstoker/sensors"
	"sunstoker/site"
)

// openProbes makes a reader for every bus and hands out the probes.
func openProbes(ports *Ports, s *site.Site, clock Clock, o BuildOptions) error {
	b := &probeBuilder{site: s, clock: clock, options: o, ports: ports, probes: make([]sensors.Probe, len(s.Probes))}
	if err := b.oneWire(); err != nil {
		return err
	}
	if err := b.lines(); err != nil {
		return err
	}
	if o.Simulated != nil {
		for _, bus := range o.Simulated.Buses(clock) {
			ports.addBus(bus.Bus, bus.Member)
		}
	}
	for i, w := range s.Probes {
		if w.Kind == site.SimulatedProbe {
			if err := b.simulated(i); err != nil {
				return b.at(i, err)
			}
		}
		if b.probes[i] == nil {
			return b.at(i, fmt.Errorf("the kind of probe %q is not known to the station", w.Kind))
		}
		ports.Probes = append(ports.Probes, ProbePort{b.probes[i], w.Kind})
	}
	return nil
}

// probeBuilder makes the probes of a site, in their order.
type probeBuilder struct {
	site    *site.Site
	clock   Clock
	options BuildOptions
	ports   *Ports
	probes  []sensors.Probe
}

// at says where in the site file the probe stands that an error is about.
func (b *probeBuilder) at(i int, err error) error {
	return fmt.Errorf("%s:%d: %w", b.site.File, b.site.Probes[i].FileLine, err)
}

// failed is told of mistakes of this program while a bus is read.
func (b *probeBuilder) failed(err error) {
	b.options.Log.Error("a probe bus is read on after a mistake of this program", "error", err)
}

// oneWire makes one bus for all one-wire probes: the kernel's folder shows those
// of every master together.
func (b *probeBuilder) oneWire() error {
	var identities []string
	var indices []int
	for i, w := range b.site.Probes {
		if w.Kind == site.OneWire {
			identities, indices = append(identities, w.Identity), append(indices, i)
		}
	}
	if len(identities) == 0 {
		return nil
	}
	member := b.clock.Join("bus 1-wire", BusTurn)
	bus, err := sensors.NewOneWire(member, sensors.OneWireOptions{
		Root: b.site.OneWireFolder, Identities: identities, Failed: b.failed,
		OneConversionForAll: true, // where the kernel lets this user write the file; else each in its turn
	})
	if err != nil {
		member.Leave()
		return err
	}
	for k, i := range indices {
		if b.probes[i], err = bus.Probe(identities[k]); err != nil {
			member.Leave()
			return b.at(i, err)
		}
	}
	b.ports.addBus(bus, member)
	return nil
}

// lines makes one reader for each bus whose points are asked in turn.
func (b *probeBuilder) lines() error {
	drivers := map[string][]sensors.Driver{}
	indices := map[string][]int{}
	var names []string // in the order of the file
	for i := range b.site.Probes {
		name, driver, err := driverOf(&b.site.Probes[i], b.options.hardware, b.options.lines)
		if err != nil {
			return b.at(i, err)
		}
		if driver == nil {
			continue
		}
		if drivers[name] == nil {
			names = append(names, name)
		}
		drivers[name], indices[name] = append(drivers[name], driver), append(indices[name], i)
	}
	for _, name := range names {
		member := b.clock.Join("bus "+name, BusTurn)
		line, err := sensors.NewLine(member, sensors.LineOptions{Name: name, Failed: b.failed}, drivers[name]...)
		if err != nil {
			member.Leave()
			return err
		}
		for k, i := range indices[name] {
			b.probes[i] = line.Probe(k)
		}
		b.ports.addBus(line, member)
	}
	return nil
}

func (b *probeBuilder) simulated(i int) (err error) {
	if b.options.Simulated == nil {
		return errNoPlant
	}
	b.probes[i], err = b.options.Simulated.Probe(i)
	return err
}

var errNoPlant = errors.New(`"simulated" needs a simulated plant, which only the command "demo" has: wire a real one here`)

// driverOf makes the driver of a probe that is asked on a line, with the line's
// name; none for other kinds.
func driverOf(w *site.ProbeWiring, h *hardware, lines *modbusLines) (line string, driver sensors.Driver, err error) {
	switch w.Kind {
	case site.Platinum:
		return platinumDriver(&w.Platinum, h)
	case site.Thermistor, site.Pressure, site.CurrentClamp:
		driver, err = analogDriver(w.Kind, &w.Analog, h)
		return "I2C " + w.Analog.Device, driver, err
	case site.FlowMeter, site.ElectricityMeter, site.Button:
		driver, err = contactDriver(w.Kind, &w.Contact, h)
		return "input lines", driver, err
	case site.Modbus:
		driver, err = registerDriver(&w.Register, lines)
		return "Modbus " + w.Register.Connection.Place(), driver, err
	}
	return "", nil, nil
}

func platinumDriver(w *site.PlatinumWiring, h *hardware) (line string, driver sensors.Driver, err error) {
	bus, _, err := sensors.SPINumbers(w.Device)
	if err != nil {
		return "", nil, err
	}
	d, err := driverOrNone(sensors.NewPlatinum(sensors.PlatinumOptions{
		Device: w.Device, NominalOhm: w.ElementOhm, ReferenceOhm: w.ReferenceOhm,
		Wires: w.Wires, LeadOhm: w.LeadOhm(), SixtyHertz: w.SixtyHertz, Open: h.spi,
	}))
	return fmt.Sprintf("SPI %d", bus), d, err
}

func analogDriver(kind string, w *site.AnalogWiring, h *hardware) (sensors.Driver, error) {
	input := sensors.AnalogInput{Device: w.Device, Address: w.Address, Input: w.Input, Open: h.i2c}
	switch kind {
	case site.Thermistor:
		return driverOrNone(sensors.NewThermistor(sensors.ThermistorOptions{
			AnalogInput: input, SupplyInput: w.SupplyInput, Ohm25: w.Ohm25, BetaK: w.BetaK, DividerOhm: w.DividerOhm,
		}))
	case site.Pressure:
		return driverOrNone(sensors.NewPressure(sensors.PressureOptions{AnalogInput: input, SupplyInput: w.SupplyInput, SpanBar: w.SpanBar}))
	}
	return driverOrNone(sensors.NewClamp(sensors.ClampOptions{AnalogInput: input, AmperePerVolt: w.AmperePerVolt}))
}

// driverOrNone keeps a nil pointer from becoming a driver that is not nil.
func driverOrNone[T sensors.Driver](d T, err error) (sensors.Driver, error) {
	if err != nil {
		return nil, err
	}
	return d, nil
}

func contactDriver(kind string, w *site.ContactWiring, h *hardware) (sensors.Driver, error) {
	o := sensors.ContactOptions{
		Line:   w.Line + " of " + w.Chip,
		Settle: time.Duration(w.SettleS * float64(time.Second)),
		Open:   func() (sensors.EdgeLine, error) { return h.input(w.Chip, w.Line) },
	}
	switch kind {
	case site.FlowMeter:
		return driverOrNone(sensors.NewFlowMeter(o, w.LitresPerPulse))
	case site.ElectricityMeter:
		return driverOrNone(sensors.NewElectricityMeter(o, w.PulsesPerKWh, w.MainsV))
	}
	return driverOrNone(sensors.NewButton(o))
}
