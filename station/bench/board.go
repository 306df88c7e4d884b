package bench

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"golang.org/x/sys/unix"

	"sunstoker/sim"
	"sunstoker/station"
)

// StorageFault is what is wrong with the storage of the board that the daemon runs
// on, as station.BuildOptions wants it.
func (p *Plant) StorageFault() error {
	p.mu.Lock()
	defer p.mu.Unlock()
	switch s := p.house.Storage(); {
	case p.storageFails:
		return fmt.Errorf("the storage fails: %w", unix.EIO)
	case s.Full:
		return fmt.Errorf("the storage is full: %w", unix.ENOSPC)
	case s.ReadOnly:
		return fmt.Errorf("the storage is read-only: %w", unix.EROFS)
	case s.Tears:
		return station.ErrTornWrite
	}
	return nil
}

func (p *Plant) storage(what string) (string, error) {
	switch what {
	case "fails":
		p.storageFails = true
	case "well":
		p.storageFails = false
		p.endFaults("storage")
	default:
		return p.throwAny("storage " + what)
	}
	return "the storage " + map[string]string{"fails": "fails", "well": "is well"}[what], nil
}

func (p *Plant) clock(what string) (string, error) {
	if what == "right" {
		p.endFaults("clock")
		return "the clock is right", nil
	}
	return p.throwAny("clock " + what)
}

// endFaults ends those of a part of the house.
func (p *Plant) endFaults(part string) {
	for _, kind := range sim.FaultKinds() {
		if strings.HasPrefix(kind.Name, part+" ") {
			p.house.EndFaults(kind.Name)
		}
	}
}

// guardAway is how long the service manager takes to start a guard anew.
const guardAway = 2 * time.Second

func (p *Plant) guardDies(what string) (string, error) {
	away, err := DiesFor(what, guardAway)
	if err != nil {
		return "", err
	}
	p.guardBack = p.house.Elapsed() + away
	for i := range p.levels {
		p.drive(i, 0)
	}
	return fmt.Sprintf("there is no guard for %v", away), nil
}

// DiesFor reads "dies" or "dies for 30s".
func DiesFor(what string, usual time.Duration) (time.Duration, error) {
	rest, dies := strings.CutPrefix(what, "dies")
	if !dies {
		return 0, fmt.Errorf("%q is nothing that it does", what)
	}
	return AwayFor(rest, usual)
}

// AwayFor reads " for 30s", or nothing.
func AwayFor(rest string, usual time.Duration) (time.Duration, error) {
	if rest == "" {
		return usual, nil
	}
	span, given := strings.CutPrefix(rest, " for ")
	away, err := time.ParseDuration(strings.TrimSpace(span))
	if !given || err != nil || away <= 0 {
		return 0, errors.New("for how long?")
	}
	return away, nil
}

var errNoGuard = errors.New("there is no guard that would drive it")

// Guarded is errNoGuard while the board's guard is away.
func (p *Plant) Guarded() error {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.house.Elapsed() < p.guardBack {
		return errNoGuard
	}
	return nil
}
