package survey

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"sunstoker/control"
	"sunstoker/sensors"
	"sunstoker/site"
	"sunstoker/station"
)

// point is one thing on a bus.
type point struct {
	where  string        // "1-wire 28-00000a000001", "SPI /dev/spidev0.0"
	unit   control.Unit  // of its values
	wired  int           // index of the site's probe; -1 when the site has none such
	lines  []string      // the keys that wire it in a site file
	probe  sensors.Probe // nil when it can't be read
	remark string        // why not, or what else is to be known
}

// surveyed is what a survey looks at.
type surveyed struct {
	options Options
	clock   station.Clock
	others  []point // all but 1-wire
	notes   []string

	parts   []sensors.Part // of the 1-wire tree at the last look
	treeBad error
	wires   []point
	bus     *sensors.OneWire // of wires; nil when there are none
	stopBus func()           // ends its reader
	buses   []sensors.Bus    // of others
}

// treeFolder is where the 1-wire parts are; empty for the kernel's folder.
func (s *surveyed) treeFolder() string {
	if s.options.Site != nil {
		return s.options.Site.OneWireFolder
	}
	return s.options.Folder
}

// openOthers opens what the site has beside 1-wire, and runs its buses.
func (s *surveyed) openOthers(ctx context.Context) error {
	if s.options.Site == nil {
		return nil
	}
	runs, err := station.Running(s.options.Site)
	if err != nil {
		s.notes = append(s.notes, "Whether the daemon runs can't be seen ("+err.Error()+"): if it does, stop it first.")
	}
	alone := *s.options.Site
	alone.Probes = nil
	var indices []int
	for i, w := range s.options.Site.Probes {
		switch {
		case w.Kind == site.OneWire:
		case runs || w.Kind == site.SimulatedProbe:
			why := "simulated: it has no bus"
			if runs {
				why = "not asked: the daemon runs and owns it; its page shows the reading, or stop it first"
			}
			s.others = append(s.others, point{where: w.Where(), unit: w.Place.Unit(), wired: i, remark: why})
		default:
			alone.Probes, indices = append(alone.Probes, w), append(indices, i)
		}
	}
	build := s.options.Build
	build.Log = s.options.Log
	ports, err := station.OpenProbes(&alone, s.clock, build)
	if err != nil {
		return err
	}
	for k, i := range indices {
		w := &s.options.Site.Probes[i]
		s.others = append(s.others, point{
			where: w.Where(), unit: w.Place.Unit(), wired: i, probe: ports.Probes[k],
			lines: site.WiringLines(s.options.Text, w.Probe),
		})
	}
	for _, bus := range ports.Buses {
		s.buses = append(s.buses, bus)
		go func() {
			defer bus.Member.Leave()
			_ = bus.Run(ctx) // it ends with the survey; what it reads tells the rest
		}()
	}
	return nil
}

// lookAtTree looks for parts that came, and reads those that are there or that the
// site names. One that went stays in the list, with its fault.
func (s *surveyed) lookAtTree(ctx context.Context) error {
	s.parts, s.treeBad = sensors.Scan(s.treeFolder())
	wanted := slices.Clone(s.wires)
	if s.options.Site != nil && len(wanted) == 0 {
		for i, w := range s.options.Site.Probes {
			if w.Kind == site.OneWire {
				wanted = append(wanted, wirePoint(w.Identity, i))
			}
		}
	}
	if len(wanted) > 0 {
		s.treeBad = nil // each of its probes says so
	}
	for _, part := range s.parts {
		known := slices.ContainsFunc(wanted, func(p point) bool { return p.where == oneWire+part.Identity })
		if part.Readable && !known {
			wanted = append(wanted, wirePoint(part.Identity, -1))
		}
	}
	if len(wanted) == len(s.wires) {
		return nil
	}
	if s.bus != nil {
		if _, _, stuck := s.bus.Stuck(); stuck {
			return nil // a second reader would hang as well
		}
	}
	return s.readWires(ctx, wanted)
}

// oneWire stands before an identity where it is said where a point hangs.
const oneWire = "1-wire "

func wirePoint(identity string, wired int) point {
	return point{
		where: oneWire + identity, unit: control.Celsius, wired: wired,
		lines: []string{`kind = "one-wire"`, `identity = "` + identity + `"`},
	}
}

// readWires begins anew with a reader for these points.
func (s *surveyed) readWires(ctx context.Context, wanted []point) error {
	if s.stopBus != nil {
		s.stopBus()
	}
	s.wires, s.bus, s.stopBus = wanted, nil, nil
	var identities []string
	for _, p := range wanted {
		identities = append(identities, strings.TrimPrefix(p.where, oneWire))
	}
	member := s.clock.Join("bus 1-wire", station.BusTurn)
	bus, err := sensors.NewOneWire(member, sensors.OneWireOptions{Root: s.treeFolder(), Identities: identities})
	if err != nil {
		member.Leave()
		return err
	}
	for i := range wanted {
		if wanted[i].probe, err = bus.Probe(identities[i]); err != nil {
			member.Leave()
			return err
		}
	}
	within, stop := context.WithCancel(ctx)
	s.bus, s.stopBus = bus, stop
	go func() {
		defer member.Leave()
		_ = bus.Run(within) // it ends with the survey or the next reader
	}()
	return nil
}

// points are all of them, 1-wire first.
func (s *surveyed) points() []point { return slices.Concat(s.wires, s.others) }

// stuck names the buses whose reader is held up.
func (s *surveyed) stuck(now time.Duration) (words []string) {
	buses := slices.Clone(s.buses)
	if s.bus != nil {
		buses = append(buses, s.bus)
	}
	for _, b := range buses {
		if since, what, stuck := b.Stuck(); stuck {
			words = append(words, fmt.Sprintf("The bus %s is stuck for %.0f s, %s: unplug its probes one after the other until it goes on, and look at pull-up resistor and supply.", b.Name(), (now-since).Seconds(), what))
		}
	}
	return words
}

// temperatures are the newest values in °C of all points that have one, but for
// those that are left out.
func (s *surveyed) temperatures(without func(point) bool) map[string]float64 {
	values := map[string]float64{}
	for _, p := range s.points() {
		if p.probe == nil || p.unit != control.Celsius || without(p) {
			continue
		}
		if sample := p.probe.Latest(); sample.Fault == nil && !math.IsNaN(sample.Value) {
			values[p.where] = sample.Value
		}
	}
	return values
}
