package station

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"sunstoker/site"
)

// SwitchedOff is what became of the outputs of a site.
type SwitchedOff struct {
	// Outputs gives for each output, by its name, what went wrong: nil when it is off
	// now. Simulated outputs are left out.
	Outputs map[string]error
	Remarks []string // by what they were found, where that was not the site file alone
	Rest    error    // why others may still be on; nil when all are known
}

// SwitchOff drives every real output of a site off. One that can't be had keeps no
// other on. What a guard holds is driven off by the guard, or directly where it is gone.
//
// It is for the moment after the program has ended in whatever way; outputs that a
// program still holds are refused with its name. What the program has left on are the
// outputs of the site file that it had accepted, of which it keeps a copy; where the
// file has been changed since, the outputs of both are driven off, and those of the
// copy alone where the file is refused. Without a copy of it, a file that is refused
// gives the outputs that can be understood.
func SwitchOff(path string, o BuildOptions) (*SwitchedOff, error) {
	done := &SwitchedOff{}
	sites, err := done.find(path)
	if err != nil {
		return nil, err
	}
	done.Outputs, err = switchOff(o, sites...)
	return done, err
}

// find gives the sites whose outputs may be on, first the one that the program ran by.
func (d *SwitchedOff) find(path string) ([]*site.Site, error) {
	written, refused := site.Load(path)
	var lost []string
	if refused != nil {
		d.remark("%s is refused:\n%v", path, refused)
		written, lost = site.LoadOutputs(path)
	}
	accepted := loadAccepted(written.StateFolder)
	switch {
	case refused == nil && (isMissing(accepted.err) || accepted.err == nil && bytes.Equal(accepted.text, written.Text())):
		return []*site.Site{written}, nil
	case accepted.err == nil:
		return d.findByCopy(accepted, written, refused == nil), nil
	}
	d.remark("%v", accepted.err)
	switch {
	case refused == nil:
		d.remark("Switched off is what %s names. If it was changed while the program ran, use the isolators of what it named before.", path)
	case len(written.Outputs) == 0:
		return nil, errors.New(strings.Join(d.Remarks, "\n") + "\nNothing tells which outputs there are, so nothing was switched off: use the isolators of heater and pump.")
	default:
		d.notAll(path, lost)
	}
	return []*site.Site{written}, nil
}

// findByCopy is find where there is a copy of what the program ran by, which is not
// what is written now.
func (d *SwitchedOff) findByCopy(accepted *acceptedSite, written *site.Site, sound bool) []*site.Site {
	if len(accepted.lost) > 0 {
		d.notAll(accepted.path, accepted.lost)
	}
	if sound {
		d.remark("%s was changed since the program began to run by it. Switched off is what it names, and what the copy of it names by which the program ran, %s.", written.File, accepted.path)
	} else {
		d.remark("Switched off is what the copy of it names by which the program last ran, %s.", accepted.path)
	}
	if !sound && len(accepted.lost) == 0 {
		return []*site.Site{accepted.site}
	}
	return []*site.Site{accepted.site, written}
}

func (d *SwitchedOff) remark(format string, args ...any) {
	d.Remarks = append(d.Remarks, fmt.Sprintf(format, args...))
}

// notAll tells that a file may name more outputs than could be understood.
func (d *SwitchedOff) notAll(path string, lost []string) {
	what := "the file is not sound"
	if len(lost) > 0 {
		what = "not understood: " + strings.Join(lost, ", ")
	}
	d.Rest = fmt.Errorf("%s may name more outputs than these (%s): use the isolators of all that is not told of as off, and mend the site file", path, what)
}

// switchOff drives the outputs of all sites off. Where two name an output in one
// place, the first counts.
func switchOff(o BuildOptions, sites ...*site.Site) (map[string]error, error) {
	off := &switchingOff{options: o, done: map[string]error{}, reached: map[string]bool{}, last: sites[len(sites)-1]}
	for _, s := range sites {
		if err := off.options.ready(s); err != nil {
			return nil, err
		}
	}
	off.options.lines = newModbusLines(off.options.hardware)
	guards := map[string]bool{}
	for _, s := range sites {
		if s.Guard != "" && !guards[s.Guard] {
			guards[s.Guard] = off.byGuard(s)
		}
	}
	for _, s := range sites {
		off.directly(s)
	}
	return off.done, nil
}

// switchingOff is what is done so far.
type switchingOff struct {
	options BuildOptions
	done    map[string]error
	reached map[string]bool // places of outputs that need no other hand
	last    *site.Site      // whose names need no explanation
}

// note keeps what became of an output.
func (off *switchingOff) note(s *site.Site, i int, err error) {
	where := s.Outputs[i].Where()
	off.reached[where] = true
	off.done[off.name(s, i)] = err
}

// name tells an output of before from one of the same name that is elsewhere now.
func (off *switchingOff) name(s *site.Site, i int) string {
	name, where := outputName(s, i), s.Outputs[i].Where()
	for k := range off.last.Outputs {
		if off.last.Outputs[k].Where() == where && outputName(off.last, k) == name {
			return name
		}
	}
	return name + ", " + where
}

// directly opens every output that nobody has reached yet, which drives it off.
func (off *switchingOff) directly(s *site.Site) {
	for i := range s.Outputs {
		if w := &s.Outputs[i]; w.Kind == site.SimulatedOutput || off.reached[w.Where()] {
			continue
		}
		alone := *s
		alone.Guard = ""
		alone.Outputs = s.Outputs[i : i+1]
		ports := &Ports{}
		err := openOutputs(ports, &alone, off.options)
		off.note(s, i, errors.Join(err, ports.closeOutputs()))
	}
}
