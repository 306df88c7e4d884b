package handover

import (
	"fmt"

	"sunstoker/site"
)

// WiringOf says in words what an output of a site switches and by what. Two
// wirings are the same when their words are: a changed line, kind, polarity or
// system gives other words, and a test of the one says nothing of the other.
func WiringOf(s *site.Site, output int) string {
	w := &s.Outputs[output]
	what := w.Actuator.Words()
	if len(s.Systems) > 1 {
		what += fmt.Sprintf(" of system %d, %s,", w.System+1, s.Systems[w.System].Name)
	}
	what += " by "
	switch w.Kind {
	case site.Relay:
		what += fmt.Sprintf("relay on line %s of %s, on while the line is high", w.Line, w.Chip)
		if w.PulseHertz > 0 {
			what += fmt.Sprintf(", held by pulses of %g Hz", w.PulseHertz)
		}
	case site.LevelFile:
		what += "level file " + w.File
		if w.Full > 0 {
			what += fmt.Sprintf(", full at %d", w.Full)
		}
	case site.Modbus:
		what += fmt.Sprintf("coil %d of unit %d at %s", w.Coil.Number, w.Coil.Unit, w.Coil.Connection.Place())
	case site.SpeedSignal:
		p := &w.PWM
		what += fmt.Sprintf("speed signal on channel %d of %s, %g Hz, stop %g, slowest %g, full %g, turned around %t", p.Channel, p.Folder, p.Hertz, p.Stop, p.Slowest, p.Full, p.Inverted)
	default:
		what += w.Kind + " output"
	}
	if w.LeastLevel > 0 {
		what += fmt.Sprintf(", least %g", w.LeastLevel)
	}
	return what
}
