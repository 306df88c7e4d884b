package station

import (
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"time"
)

// The state file is sealed, see sealed_file.go.
const (
	stateName      = "state"
	stateMagic     = "sunstoker state"
	stateVersion   = 1
	stateSizeLimit = 4 << 20
)

// stateBody is what lies in the state file.
type stateBody struct {
	// Trusted is the newest wall time that was trusted, zero when none was.
	Trusted time.Time `json:"trusted_wall"`
	// SinceTrusted is how long the program has run since then, as of the save.
	SinceTrusted time.Duration `json:"since_trusted_ns,omitempty"`
	// FailedStarts is how many starts in a row have failed with this state.
	FailedStarts int             `json:"failed_starts,omitempty"`
	Settings     savedBook       `json:"settings,omitzero"` // what was changed of them
	Controller   json.RawMessage `json:"controller"`
}

// failedOnce is the state with one failed start more.
func (b *stateBody) failedOnce() *stateBody {
	more := *b
	more.FailedStarts++
	return &more
}

func encodeState(b *stateBody) ([]byte, error) {
	body, err := json.Marshal(b)
	if err != nil {
		return nil, err
	}
	return seal(stateMagic, stateVersion, body), nil
}

func decodeState(data []byte) (*stateBody, error) {
	body, err := unseal(stateMagic, stateVersion, "a state file", data)
	if err != nil {
		return nil, err
	}
	var b stateBody
	if err := json.Unmarshal(body, &b); err != nil {
		return nil, fmt.Errorf("its body can't be read: %w", err)
	}
	if b.SinceTrusted < 0 || b.FailedStarts < 0 {
		return nil, errors.New("it counts below zero")
	}
	return &b, nil
}

// stateStore keeps the state in a folder.
type stateStore struct {
	disk   disk
	folder string
	log    *slog.Logger
	spoilt bool // the newest file can't be used and could not be set aside
}

// errFailedStarts is why a sound state is not taken up.
var errFailedStarts = errors.New("the program has failed on it at every start")

// load gives the newest state that is whole and that accept takes. It never
// fails: a file that can't be used is set aside and told in the log, the copy
// of before is tried, and without that there is no state. Lost is why, and nil
// when there never was a state.
func (s *stateStore) load(accept func(*stateBody) error) (body *stateBody, lost error) {
	newest, before, _ := stateFiles(s.folder)
	for _, path := range []string{newest, before} {
		body, err := s.loadOne(path, accept)
		switch {
		case err == nil:
			s.log.Info("the state of before was taken up", "file", path)
			return body, nil
		case errors.Is(err, errFailedStarts):
			// The copy of before is the same state, a start earlier.
			s.setAside(before, ".failed", err)
			s.setAside(newest, ".failed", err)
			return nil, s.noMemory(err)
		case !isMissing(err):
			lost = errors.Join(lost, fmt.Errorf("%s: %w", path, err))
			s.setAside(path, ".broken", err)
		}
	}
	if lost == nil {
		s.log.Info("there is no state of before: this is the first start of the site", "folder", s.folder)
		return nil, nil
	}
	return nil, s.noMemory(lost)
}

func (s *stateStore) noMemory(why error) error {
	s.log.Error("the station starts without a memory: counters begin at 0, overrides and changed settings are forgotten", "folder", s.folder)
	return why
}

func (s *stateStore) loadOne(path string, accept func(*stateBody) error) (*stateBody, error) {
	data, err := s.disk.read(path, stateSizeLimit)
	if err != nil {
		return nil, err
	}
	body, err := decodeState(data)
	if err != nil {
		return nil, err
	}
	if body.FailedStarts >= mostFailedStarts {
		return nil, errFailedStarts
	}
	return body, accept(body)
}

func (s *stateStore) setAside(path, ending string, why error) {
	aside := path + ending
	newest, _, _ := stateFiles(s.folder)
	switch err := s.disk.rename(path, aside); {
	case isMissing(err):
	case err != nil:
		s.spoilt = s.spoilt || path == newest
		s.log.Warn("a state file can't be used, nor set aside", "file", path, "why", why, "error", err)
	default:
		s.log.Warn("a state file can't be used and was set aside", "file", path, "as", aside, "why", why)
	}
}

// save puts a state on the disk; see [putInPlace].
func (s *stateStore) save(body *stateBody) error {
	data, err := encodeState(body)
	if err != nil {
		return err
	}
	if err := putInPlace(s.disk, s.folder, stateName, data, !s.spoilt); err != nil {
		return err
	}
	s.spoilt = false
	return s.disk.syncFolder(s.folder)
}
