package station

import (
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"path/filepath"
	"strings"

	"golang.org/x/sys/unix"

	"sunstoker/control"
	"sunstoker/planner/handover"
	"sunstoker/site"
	"sunstoker/station/tick"
)

// The record of the hand-over lies beside the state, as a sealed file.
const (
	handoverName      = "handover"
	handoverMagic     = "sunstoker handover"
	handoverVersion   = 1
	handoverSizeLimit = 1 << 20
)

// HandoverRecord keeps the record of a site's hand-over in its state folder.
type HandoverRecord struct {
	disk   disk
	folder string
	spoilt bool // the newest file is none to keep a copy of
}

// NewHandoverRecord gives the place of a site's record.
func NewHandoverRecord(s *site.Site) *HandoverRecord {
	return &HandoverRecord{disk: realDisk{}, folder: s.StateFolder}
}

// Load gives the newest record that is whole, nil when there is none. A file that
// is torn is set aside under the name that the remarks tell.
func (h *HandoverRecord) Load() (r *handover.Record, remarks []string) {
	newest, before, _ := placesOf(h.folder, handoverName)
	for _, path := range []string{newest, before} {
		r, err := h.read(path)
		switch {
		case err == nil:
			return r, remarks
		case isMissing(err):
			continue
		}
		aside := path + ".broken"
		words := fmt.Sprintf("The record %s can't be used: %v.", path, err)
		if err := h.disk.rename(path, aside); err != nil {
			h.spoilt = true
			words += fmt.Sprintf(" It could not be set aside (%v).", err)
		} else {
			words += fmt.Sprintf(" It was set aside as %s; what it held is taken from the copy of before, where there is one, or is asked anew.", aside)
		}
		remarks = append(remarks, words)
	}
	return nil, remarks
}

func (h *HandoverRecord) read(path string) (*handover.Record, error) {
	data, err := h.disk.read(path, handoverSizeLimit)
	if err != nil {
		return nil, err
	}
	body, err := unseal(handoverMagic, handoverVersion, "a record of a hand-over", data)
	if err != nil {
		return nil, err
	}
	return handover.Read(body)
}

// Save puts a record on the disk; a power cut leaves this one or the one of before.
func (h *HandoverRecord) Save(r *handover.Record) error {
	body, err := r.Write()
	if err != nil {
		return err
	}
	put := func() error {
		return putInPlace(h.disk, h.folder, handoverName, seal(handoverMagic, handoverVersion, body), !h.spoilt)
	}
	if err = put(); isMissing(err) { // no daemon has ever run: a lock makes the folder
		lock, lockErr := h.disk.lock(h.folder)
		if lockErr != nil {
			return lockErr
		}
		err = errors.Join(put(), lock.Close())
	}
	if err == nil {
		h.spoilt = false
		err = h.disk.syncFolder(h.folder)
	}
	if err != nil {
		return fmt.Errorf("the record can't be saved in %s: %w; free space there, or let this user write to it (the service's own user does), then go on", h.folder, err)
	}
	return nil
}

// handoverLockName is an empty file beside the record, which itself is replaced with
// every answer. The folder can't be locked instead: the daemon holds it.
const handoverLockName = handoverName + ".lock"

// Hold keeps a second hand-over of the same site away until it is closed (flock(2)):
// of two at once, each would save its own answers over those of the other. Where
// nothing can be written there is nothing to hold; saving says so.
func (h *HandoverRecord) Hold() (io.Closer, error) {
	if err := os.MkdirAll(h.folder, 0o750); err != nil {
		return noLock{}, nil
	}
	file, err := os.OpenFile(filepath.Join(h.folder, handoverLockName), os.O_RDWR|os.O_CREATE, 0o640)
	if err != nil {
		return noLock{}, nil
	}
	if err := unix.Flock(int(file.Fd()), unix.LOCK_EX|unix.LOCK_NB); errors.Is(err, unix.EWOULDBLOCK) {
		return nil, errors.Join(errors.New("somebody is at the hand-over of this site already, in another terminal: end that one first (Ctrl-D; its answers are saved), then go on here"), file.Close())
	}
	return file, nil
}

// Peek gives the newest record that is whole, nil when there is none, for whoever
// only reads: it touches no file. The error says why one that is there can't be used.
func (h *HandoverRecord) Peek() (r *handover.Record, err error) {
	newest, before, _ := placesOf(h.folder, handoverName)
	r, err = h.read(newest)
	if err != nil {
		copied, copyErr := h.read(before)
		if r = copied; copyErr == nil || isMissing(err) && isMissing(copyErr) {
			err = nil
		}
	}
	return r, err
}

// notHandedOver says why a site must not be run by itself yet; empty when it may.
// The file is only read: a daemon sets nobody's paper aside.
func notHandedOver(s *site.Site, d disk) string {
	if s.OutputsTestedBy != "" || !hasRealOutputs(s) {
		return ""
	}
	r, err := (&HandoverRecord{disk: d, folder: s.StateFolder}).Peek()
	if err != nil {
		return fmt.Sprintf("the record of the hand-over can't be used: %v", err)
	}
	return strings.Join(r.Bars(s), "; ")
}

func hasRealOutputs(s *site.Site) bool {
	for _, w := range s.Outputs {
		if w.Kind != site.SimulatedOutput {
			return true
		}
	}
	return false
}

// untestedDetail is what a finding tells of outputs that nobody has tested.
func untestedDetail(why string) string {
	return "The hand-over of this wiring is not done (" + why + `). The command "handover" does it; or see outputs_tested_by in the site file.`
}

// planOf is the controller's plan of a site. Until every output of this very wiring
// was seen to switch the right thing, nothing is switched, protections included: a
// pump's line may lead to the heater, and a protection that switches on would then
// do the harm it is to keep away.
func planOf(s *site.Site, why string, log *slog.Logger) control.Plan {
	plan := s.Plan
	if why != "" {
		plan.ObserveOnly = true
		log.Error("nothing is switched, only watched, frost protection included: the outputs of this wiring were not handed over", "why", why,
			"what to do", `stop the daemon and run the command "handover" at the plant; where it freezes and the loop holds water, drain it meanwhile`)
	}
	return plan
}

// tellUntested lets the finding of an observing station say why it observes.
func (s *Station) tellUntested(t *tick.Tick) {
	if s.untested == "" {
		return
	}
	for i := range t.Findings {
		if t.Findings[i].Kind == control.FoundObserving {
			t.Findings[i].Detail = untestedDetail(s.untested)
		}
	}
}

// MayTake refuses the root user before anything is asked: what it kept would be out of
// the daemon's reach.
func MayTake(s *site.Site, o BuildOptions) error {
	if err := o.ready(s); err != nil {
		return fmt.Errorf("%w; on a board that is set up as the service files have it: sudo -u sunstoker sunstoker handover %s", err, s.File)
	}
	return nil
}

// Taken is a plant in the hands of a program that is no daemon.
type Taken struct {
	*Ports
	lock io.Closer
}

// Take locks the state folder, takes the outputs of a site, which drives them off,
// and then its probes: for who tests a plant while no daemon runs. Its buses rest
// until they are run. Nothing paces the outputs and no controller watches over them.
func Take(s *site.Site, clock Clock, o BuildOptions) (*Taken, error) {
	if err := o.ready(s); err != nil {
		return nil, err
	}
	lock, err := realDisk{}.lock(s.StateFolder)
	if err != nil {
		return nil, err
	}
	ports, err := openPorts(s, clock, o)
	if err != nil {
		return nil, errors.Join(err, lock.Close())
	}
	return &Taken{ports, lock}, nil
}

// Close drives all outputs off, releases them and unlocks the folder.
func (t *Taken) Close() error { return errors.Join(t.closeOutputs(), t.lock.Close()) }
