package station

import (
	"context"
	"errors"
	"io"
	"log/slog"
	"time"

	"sunstoker/control"
	"sunstoker/station/tick"
)

// Options describe a station. All fields but Watchers, Services and Desk must be
// set.
type Options struct {
	Name    string // the site's name
	Version string // of the program
	Plan    control.Plan
	Clock   Clock
	// Open takes the ports, all outputs off. It is called once the state
	// folder is locked, so that a second daemon touches no output of the
	// first, and before anything else is done.
	Open        func() (*Ports, error)
	StateFolder string
	Watchers    []tick.Watcher
	Services    []Service
	Desk        *Desk   // where persons ask; nil when nobody can
	Health      *Health // how the board is; nil when nobody looks
	// Unwritten says why the history is not written, empty when it is; nil when there
	// is none. It is asked in every tick and must return at once.
	Unwritten  func() string
	ProbeNotes []string // per probe, what its identity gives away; may be shorter
	Log        *slog.Logger

	light    *forecast
	disk     disk   // the file system when nil
	accepted []byte // text of the site file, to be kept while it runs; empty for none
	untested string // why nothing is switched; empty when the plant was handed over
}

// Service is a server beside the tick, such as the page.
type Service struct {
	Name string
	// Run serves until the context ends and returns nil then. After an error
	// it is tried again; the tick goes on without it.
	Run func(ctx context.Context) error
}

// Station is the running daemon of one site.
type Station struct {
	log      *slog.Logger
	clock    Clock
	member   Member // the tick's own
	house    *tick.House
	lock     io.Closer
	ctl      *control.Controller
	ports    *Ports
	drive    *drive
	boxes    []*mailbox
	services []Service
	saver    *saver
	manager  *manager
	journal  journal
	desk     *Desk
	saves    savePlan

	number    uint64
	last      time.Duration // instant of the tick before
	readings  []control.Reading
	raw       []string // per probe, of its newest sample
	faults    []string
	health    *Health
	light     *forecast              // nil when the site names none
	foretold  *control.LightForecast // that the controller has
	unwritten func() string
	notes     []string // per probe

	trustedWall time.Time     // the newest wall time that was trusted
	trustedAt   time.Duration // its instant; below 0 when an earlier run saw it
	absenceTold bool          // the controller knows how long no program ran
	tried       *stateBody    // the state that this run began with; nil when there was none
	memoryLost  string        // why there was none, when there should have been
	untested    string        // why nothing is switched; empty when the plant was handed over
	deciding    bool          // the controller is at work; it stays so when it panics
}

// New locks the state folder, takes the ports with all outputs off, and takes
// up the state of before. On an error all outputs are off and everything is
// released again.
func New(o Options) (*Station, error) {
	if o.disk == nil {
		o.disk = realDisk{}
	}
	lock, err := lockOrGoOn(o.disk, o.StateFolder, o.Log)
	if err != nil {
		return nil, err
	}
	ports, err := o.Open()
	if err != nil {
		return nil, errors.Join(err, lock.Close())
	}
	if len(o.accepted) > 0 {
		keepAcceptedInTime(o.disk, o.StateFolder, o.accepted, graceForAccepted, o.Log)
	}
	s, err := assemble(o, ports)
	if err != nil {
		return nil, errors.Join(err, ports.closeOutputs(), lock.Close())
	}
	s.lock = lock
	return s, nil
}

func assemble(o Options, ports *Ports) (*Station, error) {
	if err := ports.check(&o.Plan); err != nil {
		return nil, err
	}
	ctl, err := control.New(o.Plan)
	if err != nil {
		return nil, err
	}
	store := &stateStore{disk: o.disk, folder: o.StateFolder, log: o.Log}
	plan := *ctl.Plan()
	if o.Desk == nil {
		o.Desk = NewDesk(nil)
	}
	s := &Station{
		desk:  o.Desk,
		light: o.light, health: o.Health, notes: o.ProbeNotes, unwritten: o.Unwritten, untested: o.untested,
		log: o.Log, clock: o.Clock, ctl: ctl, ports: ports, services: o.Services,
		house:    &tick.House{Name: o.Name, Plan: &plan, Version: o.Version},
		drive:    newDrive(&plan, ports),
		saver:    newSaver(store, o.Clock),
		manager:  newManager(o.Log, o.Clock),
		journal:  newJournal(o.Log, &plan),
		readings: make([]control.Reading, len(plan.Probes)),
		raw:      make([]string, len(plan.Probes)),
		faults:   make([]string, len(plan.Outputs)),
		member:   o.Clock.Join("the tick", TickTurn),
	}
	for _, w := range o.Watchers {
		s.boxes = append(s.boxes, newMailbox(w, o.Clock, o.Log))
	}
	s.takeUp(store)
	return s, nil
}
