package sensors

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"sync/atomic"
	"time"
)

// OneWireOptions describes a 1-wire bus. Zero values take the defaults.
type OneWireOptions struct {
	// Name for people; default "1-wire".
	Name string
	// Root is the folder with one folder a part; default DefaultOneWireRoot,
	// which shows the parts of all masters together. The folder of a single
	// master (/sys/devices/w1_bus_master1) serves as well, so that each master
	// can have a reader of its own.
	Root string
	// Identities of the probes to read, such as 28-00000a1b2c3d.
	Identities []string
	// Period of a pass over all probes; default 2 s. A pass that takes longer
	// is followed by a rest of a quarter of the period, in which the kernel
	// can search the bus.
	Period time.Duration
	// StuckAfter is how long one operation may take; default 10 s. The kernel
	// itself may need some 4 s for its tries.
	StuckAfter time.Duration
	// OneConversionForAll starts the conversion of all probes at once instead
	// of 750 ms each in turn. It needs write permission on the kernel's file
	// therm_bulk_read; where that is missing each probe converts in its turn.
	OneConversionForAll bool
	// Failed is told of a mistake of this program that was caught while the bus
	// was read, when it is another than the one before. It is called by the
	// reading goroutine and must not block. May be nil.
	Failed func(error)
}

const (
	defaultPeriod     = 2 * time.Second
	defaultStuckAfter = 10 * time.Second
	restShare         = 4 // the rest is the period divided by this
)

// ErrRunning is returned by Run while another Run of the same bus is on.
var ErrRunning = errors.New("the bus already has a running reader")

// OneWire is a [Bus] of temperature probes on the kernel's 1-wire tree.
type OneWire struct {
	options OneWireOptions
	clock   Clock
	tree    tree
	probes  []*oneWireProbe
	bulk    bulkConversion

	running   atomic.Bool
	reader    chan struct{} // holds one token while a reading goroutine lives
	operation atomic.Pointer[operation]
	strangers atomic.Pointer[[]string]
	mistakes  mistakes
}

// oneWireProbe: the fields below latest belong to the reading goroutine.
type oneWireProbe struct {
	*latest
	identity string
	history  history
	// convertedAt is when a conversion for all was started whose result may
	// still lie unread in the probe's driver.
	convertedAt time.Duration
	converted   bool
}

// NewOneWire makes a bus that reads nothing until it is run. Errors name the
// option that is wrong; an identity of a part that cannot be read gives a
// *Fault of kind Unsupported.
func NewOneWire(clock Clock, options OneWireOptions) (*OneWire, error) {
	return newOneWire(clock, options, &diskFiles{})
}

func newOneWire(clock Clock, options OneWireOptions, disk files) (*OneWire, error) {
	if options.Period < 0 || options.StuckAfter < 0 {
		return nil, fmt.Errorf("1-wire bus: period %v and stuck limit %v must not be negative", options.Period, options.StuckAfter)
	}
	options.Name = orDefault(options.Name, "1-wire")
	options.Root = orDefault(options.Root, DefaultOneWireRoot)
	options.Period = orDefault(options.Period, defaultPeriod)
	options.StuckAfter = orDefault(options.StuckAfter, defaultStuckAfter)
	options.Identities = slices.Clone(options.Identities)
	b := &OneWire{options: options, clock: clock, reader: make(chan struct{}, 1)}
	b.tree = tree{options.Root, &watchedFiles{files: disk, clock: clock, current: &b.operation}}
	b.bulk = bulkConversion{tree: &b.tree, clock: clock}
	for _, identity := range options.Identities {
		if err := checkReadable(identity); err != nil {
			return nil, fmt.Errorf("bus %s: %w", options.Name, err)
		}
		if b.find(identity) != nil {
			return nil, fmt.Errorf("bus %s: probe %s is named twice", options.Name, identity)
		}
		b.probes = append(b.probes, &oneWireProbe{latest: newLatest(), identity: identity})
	}
	return b, nil
}

func orDefault[T comparable](value, fallback T) T {
	var zero T
	if value == zero {
		return fallback
	}
	return value
}

// Name implements [Bus].
func (b *OneWire) Name() string { return b.options.Name }

// Probe gives the probe with the identity, which must be one of the options.
func (b *OneWire) Probe(identity string) (Probe, error) {
	if p := b.find(identity); p != nil {
		return p, nil
	}
	return nil, fmt.Errorf("bus %s has no probe %.40q; it was made for %q", b.Name(), identity, b.options.Identities)
}

func (b *OneWire) find(identity string) *oneWireProbe {
	for _, p := range b.probes {
		if p.identity == identity {
			return p
		}
	}
	return nil
}

// Strangers lists, sorted, the temperature probes that the last pass found on
// the tree though nobody asked for them, readable or not. They are never taken
// into use by themselves. The caller must not change the slice.
func (b *OneWire) Strangers() []string {
	if list := b.strangers.Load(); list != nil {
		return *list
	}
	return nil
}

// ConversionNote says how the last pass had the probes convert, and why.
func (b *OneWire) ConversionNote() string { return b.bulk.lastNote() }

// Run implements [Bus]. A second Run at the same time gives ErrRunning.
func (b *OneWire) Run(ctx context.Context) error {
	if !b.running.CompareAndSwap(false, true) {
		return fmt.Errorf("bus %s: %w", b.Name(), ErrRunning)
	}
	defer b.running.Store(false)
	select {
	case b.reader <- struct{}{}:
	case <-ctx.Done():
		return ctx.Err()
	}
	ended := make(chan error, 1)
	go func() {
		defer func() { <-b.reader }()
		ended <- b.passes(ctx)
	}()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
		return ctx.Err()
	}
}
