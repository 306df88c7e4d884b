package sensors

import (
	"context"
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
	// StuckAfter is how long one operation may take; default 4.5 s. The kernel
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

// OneWire is a [Bus] of temperature probes on the kernel's 1-wire tree.
type OneWire struct {
	polling
	options   OneWireOptions
	tree      tree
	probes    []*oneWireProbe
	bulk      bulkConversion
	strangers atomic.Pointer[[]string]
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
	options.Name = orDefault(options.Name, "1-wire")
	options.Root = orDefault(options.Root, DefaultOneWireRoot)
	options.Identities = slices.Clone(options.Identities)
	b := &OneWire{options: options}
	if err := b.polling.init(options.Name, clock, options.Period, options.StuckAfter, options.Failed); err != nil {
		return nil, err
	}
	b.tree = tree{options.Root, &watchedFiles{files: disk, begin: b.begin}}
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
	return b.run(ctx, func(ctx context.Context) error {
		b.guard(nil, func() { b.discardOldConversions(ctx) })
		return b.passes(ctx, b.pass)
	})
}
