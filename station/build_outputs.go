package station

import (
	"fmt"

	"periph.io/x/conn/v3/i2c"
	"periph.io/x/conn/v3/spi"

	"sunstoker/actuators"
	"sunstoker/sensors"
	"sunstoker/site"
)

// hardware opens real outputs and buses; tests put fakes in its place. A bus
// that is not set is the kernel's.
type hardware struct {
	spi       func(device string) (spi.PortCloser, error)
	i2c       func(device string) (i2c.BusCloser, error)
	input     func(chip, line string) (sensors.EdgeLine, error)
	modbus    func(c site.Connection) modbusLine
	pwm       func(o actuators.PWMOptions) (actuators.Output, error)
	relays    func(chip string, lines []actuators.RelayLine) (relayBank, error)
	levelFile func(name, path string, full int) (actuators.Output, error)
}

// relayBank is an opened bank of relays.
type relayBank interface {
	Output(name string) (actuators.Output, error)
	ReadBack() error
}

func board() *hardware {
	return &hardware{
		modbus: openModbus,
		pwm: func(o actuators.PWMOptions) (actuators.Output, error) {
			signal, err := actuators.OpenPWM(o)
			if err != nil {
				return nil, err // not signal: a nil *PWM is no nil Output
			}
			return signal, nil
		},
		input: func(chip, line string) (sensors.EdgeLine, error) {
			in, err := actuators.OpenInputLine(chip, line)
			if err != nil {
				return nil, err // not in: a nil *InputLine is no nil EdgeLine
			}
			return in, nil
		},
		relays: func(chip string, lines []actuators.RelayLine) (relayBank, error) {
			bank, err := actuators.OpenRelayBank(chip, lines)
			if err != nil {
				return nil, err
			}
			return gpioBank{bank}, nil
		},
		levelFile: func(name, path string, full int) (actuators.Output, error) {
			file, err := actuators.OpenLevelFile(name, path, full)
			if err != nil {
				return nil, err // not file: a nil *LevelFile is no nil Output
			}
			return file, nil
		},
	}
}

type gpioBank struct{ *actuators.RelayBank }

func (b gpioBank) Output(name string) (actuators.Output, error) {
	relay, err := b.Relay(name)
	if err != nil {
		return nil, err
	}
	return relay, nil
}

// openOutputs opens every output, which drives it off. Relays of one chip are
// taken in one request. On an error those that are open stand in the ports.
func openOutputs(ports *Ports, s *site.Site, o BuildOptions) error {
	ports.Outputs = make([]actuators.Output, len(s.Outputs))
	chips := chipsOf(s)
	if s.Guard != "" {
		openGuarded(ports, s)
		chips = nil
	}
	for _, chip := range chips {
		if err := openBank(ports, s, chip, o.hardware); err != nil {
			return err
		}
	}
	for i, w := range s.Outputs {
		if ports.Outputs[i] != nil { // opened with its chip, or held by the guard
			continue
		}
		var err error
		switch w.Kind {
		case site.LevelFile:
			ports.Outputs[i], err = o.hardware.levelFile(outputName(s, i), w.File, w.Full)
		case site.SpeedSignal:
			ports.Outputs[i], err = o.hardware.pwm(pwmOptions(&w, outputName(s, i)))
		case site.Modbus:
			ports.Outputs[i] = openCoil(&w, outputName(s, i), o.lines)
		case site.SimulatedOutput:
			if o.Simulated == nil { // somebody only wants to watch the plant
				ports.Outputs[i] = actuators.NewSimulated(nil)
				break
			}
			ports.Outputs[i], err = o.Simulated.Output(i)
		default:
			err = fmt.Errorf("the kind of output %q is not known to the station", w.Kind)
		}
		if err != nil {
			return fmt.Errorf("%s:%d: %w", s.File, w.FileLine, err)
		}
	}
	return nil
}

func pwmOptions(w *site.OutputWiring, name string) actuators.PWMOptions {
	p := &w.PWM
	return actuators.PWMOptions{
		Name: name, Folder: p.Folder, Channel: p.Channel, Hertz: p.Hertz, Inverted: p.Inverted,
		Signal: actuators.PumpSignal{Stop: p.Stop, Slowest: p.Slowest, Full: p.Full, Least: w.LeastLevel},
	}
}

// chipsOf lists the chips that relays are on, in the order of the file.
func chipsOf(s *site.Site) []string {
	var chips []string
	seen := map[string]bool{}
	for _, w := range s.Outputs {
		if w.Kind == site.Relay && !seen[w.Chip] {
			seen[w.Chip] = true
			chips = append(chips, w.Chip)
		}
	}
	return chips
}

func openBank(ports *Ports, s *site.Site, chip string, h *hardware) error {
	var lines []actuators.RelayLine
	var indices []int
	for i, w := range s.Outputs {
		if w.Kind == site.Relay && w.Chip == chip {
			lines = append(lines, actuators.RelayLine{Name: outputName(s, i), Line: w.Line, Heats: w.Actuator.Heats()})
			indices = append(indices, i)
		}
	}
	bank, err := h.relays(chip, lines)
	if err != nil {
		return fmt.Errorf("%s:%d: %w", s.File, s.Outputs[indices[0]].FileLine, err)
	}
	for k, i := range indices {
		relay, err := bank.Output(lines[k].Name)
		if err != nil {
			return err
		}
		if hertz := s.Outputs[i].PulseHertz; hertz > 0 {
			relay = actuators.Pulse(relay, actuators.PulseOptions{Name: lines[k].Name, Hertz: hertz})
		}
		ports.Outputs[i] = relay
	}
	ports.Banks = append(ports.Banks, Bank{Name: chip, ReadBack: bank.ReadBack, Outputs: indices})
	return nil
}

// outputName names an output in messages, and relays among those of its chip.
func outputName(s *site.Site, i int) string {
	w := s.Outputs[i]
	name := w.Actuator.Words()
	if len(s.Systems) > 1 {
		name += " of " + s.Systems[w.System].Name
	}
	return name
}
