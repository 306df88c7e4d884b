package station

import (
	"errors"

	"sunstoker/site"
)

// SwitchOff drives every real output of a site off, and gives for each of the
// site's outputs, by its name, what went wrong: nil when it is off now. One
// output that can't be had keeps no other on. Simulated outputs are left out.
//
// What a guard holds is driven off by the guard, or directly where it is gone.
//
// It is for the moment after the program has ended in whatever way; outputs
// that a program still holds are refused with its name.
func SwitchOff(s *site.Site, o BuildOptions) (map[string]error, error) {
	if err := o.ready(s); err != nil {
		return nil, err
	}
	o.lines = newModbusLines(o.hardware)
	done := map[string]error{}
	guarded := s.Guard != "" && letGuardDrop(s, done)
	for i, w := range s.Outputs {
		if w.Kind == site.SimulatedOutput || guarded && site.OnBoard(w.Kind) {
			continue
		}
		alone := *s
		alone.Guard = ""
		alone.Outputs = s.Outputs[i : i+1]
		ports := &Ports{}
		err := openOutputs(ports, &alone, o) // opening drives off
		done[outputName(s, i)] = errors.Join(err, ports.closeOutputs())
	}
	return done, nil
}
