package station

import (
	"errors"
	"fmt"

	"sunstoker/actuators"
	"sunstoker/control"
	"sunstoker/sensors"
)

// Ports are where the station meets the plant: the hardware, a simulated
// plant, or the fakes of a test.
type Ports struct {
	Probes  []ProbePort        // one per Plan.Probes
	Outputs []actuators.Output // one per Plan.Outputs; off, not yet paced
	Buses   []BusPort          // run by the station, each on a goroutine of its own
	Banks   []Bank             // relays that can be read back
}

// ProbePort is one probe and what the installer wants to know of it.
type ProbePort struct {
	sensors.Probe
	Kind string // as in the site file: "one-wire", "simulated"
}

// BusPort is a bus with the membership that it waits by; a bus that never
// waits has none (nil).
type BusPort struct {
	sensors.Bus
	Member Member
}

// Bank is a set of outputs whose lines are read back together. Once its lines
// differ from what was driven, it drives all of them off by itself and refuses
// to be driven on.
type Bank struct {
	Name     string
	ReadBack func() error
	Outputs  []int // indices into Ports.Outputs
}

// Simulated is a plant that exists in memory only. Probe and Output take the
// index of a reading or decision in the plan.
type Simulated interface {
	// Buses gives what moves the plant on as time passes.
	Buses(clock Clock) []BusPort
	Probe(reading int) (sensors.Probe, error)
	Output(decision int) (actuators.Output, error)
}

func (p *Ports) addBus(bus sensors.Bus, member Member) {
	p.Buses = append(p.Buses, BusPort{bus, member})
}

// closeOutputs drives off and releases every output that was opened, for good.
func (p *Ports) closeOutputs() error {
	var open actuators.All
	for _, out := range p.Outputs {
		if out != nil {
			open = append(open, out)
		}
	}
	return open.Close()
}

// check tells whether the ports fit a plan.
func (p *Ports) check(plan *control.Plan) error {
	var errs []error
	if len(p.Probes) != len(plan.Probes) {
		errs = append(errs, fmt.Errorf("station: %d probes for %d readings of the plan", len(p.Probes), len(plan.Probes)))
	}
	if len(p.Outputs) != len(plan.Outputs) {
		errs = append(errs, fmt.Errorf("station: %d outputs for %d decisions of the plan", len(p.Outputs), len(plan.Outputs)))
	}
	for i, probe := range p.Probes {
		if probe.Probe == nil {
			errs = append(errs, fmt.Errorf("station: probe %d is missing", i))
		}
	}
	for i, out := range p.Outputs {
		if out == nil {
			errs = append(errs, fmt.Errorf("station: output %d is missing", i))
		}
	}
	for _, bank := range p.Banks {
		for _, i := range bank.Outputs {
			if i < 0 || i >= len(p.Outputs) {
				errs = append(errs, fmt.Errorf("station: bank %s names output %d, which is not there", bank.Name, i))
			}
		}
	}
	return errors.Join(errs...)
}
