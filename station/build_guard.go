package station

import (
	"errors"
	"fmt"
	"net"

	"sunstoker/actuators/guard"
	"sunstoker/site"
)

// guardedPart is the site with the outputs alone that a guard holds.
func guardedPart(s *site.Site) *site.Site {
	part := *s
	part.Guard, part.Outputs = "", nil
	for _, w := range s.Outputs {
		if site.OnBoard(w.Kind) {
			part.Outputs = append(part.Outputs, w)
		}
	}
	return &part
}

// wiringOf says in words which outputs a guard holds. Daemon and guard compare
// them, so that a changed site file mixes no outputs up.
func wiringOf(held *site.Site) []string {
	var wiring []string
	for i, w := range held.Outputs {
		name := outputName(held, i)
		switch w.Kind {
		case site.Relay:
			pulses := ""
			if w.PulseHertz > 0 {
				pulses = fmt.Sprintf(", pulses of %g Hz", w.PulseHertz)
			}
			wiring = append(wiring, fmt.Sprintf("%s (relay on line %s of %s%s)", name, w.Line, w.Chip, pulses))
		case site.LevelFile:
			wiring = append(wiring, fmt.Sprintf("%s (level file %s, full %d)", name, w.File, w.Full))
		default:
			wiring = append(wiring, fmt.Sprintf("%s (%s %+v, least %g)", name, w.Kind, w.PWM, w.LeastLevel))
		}
	}
	return wiring
}

// openGuard takes the outputs, which drives them off, and then makes the socket.
func openGuard(path string, held *site.Site, o BuildOptions, round func()) (*guard.Guard, *net.UnixListener, error) {
	ports := &Ports{}
	err := openOutputs(ports, held, o)
	if err != nil {
		return nil, nil, errors.Join(err, ports.closeOutputs())
	}
	options := guard.Options{Log: o.Log, Round: round}
	for i, words := range wiringOf(held) {
		options.Outputs = append(options.Outputs, guard.Output{Wiring: words, Output: ports.Outputs[i]})
	}
	for _, bank := range ports.Banks {
		options.Banks = append(options.Banks, bank.ReadBack)
	}
	l, err := guard.Listen(path)
	if err != nil {
		return nil, nil, errors.Join(err, ports.closeOutputs())
	}
	return guard.New(options), l, nil
}

// openGuarded has the guard's outputs driven by the guard. It needs not be there
// yet: without it they are off, and it is looked for at each tick.
func openGuarded(ports *Ports, s *site.Site) {
	held := guardedPart(s)
	client := guard.NewClient(s.Guard, wiringOf(held))
	next := 0
	at := map[string][]int{} // per chip, of the site's outputs
	for i, w := range s.Outputs {
		if !site.OnBoard(w.Kind) {
			continue
		}
		ports.Outputs[i] = client.Output(next)
		next++
		if w.Kind == site.Relay {
			at[w.Chip] = append(at[w.Chip], i)
		}
	}
	for n, chip := range chipsOf(held) {
		ports.Banks = append(ports.Banks, Bank{Name: chip, ReadBack: func() error { return client.Look(n) }, Outputs: at[chip]})
	}
}

// byGuard has the guard drive off all that it holds. It is false when there is no
// guard.
func (off *switchingOff) byGuard(s *site.Site) bool {
	held := guardedPart(s)
	client := guard.NewClient(s.Guard, wiringOf(held))
	err := client.Connect()
	if errors.Is(err, guard.ErrAbsent) {
		return false
	}
	for i := range held.Outputs {
		told := err
		if err == nil {
			told = client.Output(i).Safe()
		}
		off.note(held, i, told)
	}
	client.Close()
	return true
}
