package station

import (
	"errors"
	"log/slog"
	"os"
	"slices"

	"periph.io/x/conn/v3/i2c"
	"periph.io/x/conn/v3/spi"

	"sunstoker/site"
	"sunstoker/station/tick"
)

// BuildOptions are what a site file does not say.
type BuildOptions struct {
	Version   string
	Watchers  []tick.Watcher
	Services  []Service
	Desk      *Desk         // where persons ask, of the same site; nil when nobody can
	Simulated Simulated     // where simulated probes and outputs lead to; nil for none
	Unwritten func() string // why the history is not written; see [Options]
	BoardLook bool          // look after the board's supply, heat and storage
	AllowRoot bool          // let real outputs be driven by the root user
	Log       *slog.Logger
	// SPI and I2C stand in for the kernel's buses, with a plant simulated behind
	// them; nil for the kernel's.
	SPI func(device string) (spi.PortCloser, error)
	I2C func(device string) (i2c.BusCloser, error)
	// StorageFault stands for what is wrong with the board's storage: it is asked at
	// each call to the state folder, which fails by its answer. Nil for nothing.
	StorageFault func() error

	euid     func() int // os.Geteuid when nil
	hardware *hardware  // the board's when nil
	lines    *modbusLines
}

// Build makes the station of a site: it locks the state folder, drives all
// outputs off and takes up the state of before. See [New].
func Build(s *site.Site, clock Clock, o BuildOptions) (*Station, error) {
	if err := o.ready(s); err != nil {
		return nil, err
	}
	var health *Health
	if o.BoardLook {
		health = NewHealth(s)
		o.Services = append(slices.Clone(o.Services), health.Service(), thrift(o.Log))
	}
	if o.Desk == nil {
		o.Desk = NewDesk(s) // what was changed counts, whether or not anybody can ask for more
	}
	light := forecastOf(s, clock, o.Log)
	if light != nil {
		o.Services = append(slices.Clone(o.Services), light.service())
	}
	var storage disk = realDisk{}
	if o.StorageFault != nil {
		storage = brokenDisk{realDisk{}, o.StorageFault}
	}
	untested := notHandedOver(s, storage)
	return New(Options{
		disk: storage, accepted: textToKeep(s), untested: untested, light: light, Desk: o.Desk, Health: health, ProbeNotes: identityNotes(s), Unwritten: o.Unwritten,
		Name: s.Name, Version: o.Version, Plan: planOf(s, untested, o.Log), Clock: clock, StateFolder: s.StateFolder,
		Watchers: o.Watchers, Services: o.Services, Log: o.Log,
		Open: func() (*Ports, error) { return openPorts(s, clock, o) },
	})
}

// ready fills in the board's own parts, and refuses the root user.
func (o *BuildOptions) ready(s *site.Site) error {
	if o.euid == nil {
		o.euid = os.Geteuid
	}
	o.open()
	return refuseRoot(s, *o)
}

// open fills in what opens the board's buses and lines.
func (o *BuildOptions) open() {
	if o.hardware == nil {
		o.hardware = board()
		o.hardware.spi, o.hardware.i2c = o.SPI, o.I2C
	}
}

// refuseRoot keeps real outputs from being driven by the root user: on some
// boards a library then reaches the memory of the wrong chip, and a mistake of
// any kind has no bounds.
func refuseRoot(s *site.Site, o BuildOptions) error {
	if o.euid() != 0 || o.AllowRoot {
		return nil
	}
	for _, w := range s.Outputs {
		if w.Kind != site.SimulatedOutput {
			return errors.New("the root user must not drive real outputs: run as a user of its own, as the service file does, that may use the GPIO chip (often by the group gpio); on a machine for tests alone, add --allow-root")
		}
	}
	return nil
}

// openPorts takes the outputs first, so that they are off before anything
// else happens.
func openPorts(s *site.Site, clock Clock, o BuildOptions) (*Ports, error) {
	ports := &Ports{}
	o.lines = newModbusLines(o.hardware)
	if err := openOutputs(ports, s, o); err != nil {
		return nil, errors.Join(err, ports.closeOutputs())
	}
	if err := openProbes(ports, s, clock, o); err != nil {
		return nil, errors.Join(err, ports.closeOutputs())
	}
	return ports, nil
}
