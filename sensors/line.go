package sensors

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"math"
	"time"
)

// Driver takes the measurements of one point on a [Line]. Only the line's reader
// calls it, one call at a time, so a driver needs no lock.
type Driver interface {
	// Name says which point this is, for people: "the platinum probe at
	// /dev/spidev0.0".
	Name() string
	// Ask takes one measurement. It waits by the clock where the part needs
	// time, and gives up when the context ends. A [*Fault] comes out as it is,
	// another error as one of kind ReadFailed or Denied. An [Answer] beside an
	// error gives the raw figures that led to it.
	Ask(ctx context.Context, clock Clock) (Answer, error)
}

// Answer is one measurement.
type Answer struct {
	Value float64 // in the unit of the point
	Raw   string  // what the part sent, for the installer's eyes
}

// LineOptions describes a line. Zero durations take the defaults.
type LineOptions struct {
	Name       string        // of the line, for people: "SPI bus 0"
	Period     time.Duration // of a pass over all points; default 2 s, or what its drivers ask for
	StuckAfter time.Duration // how long one point may take; default 4.5 s
	Failed     func(error)   // as in OneWireOptions
}

// Line is a [Bus] whose points are asked in turn, each by a driver of its own.
// Devices are opened when they are first asked and anew after an error, so that
// what is plugged in late or comes back is read without a restart.
type Line struct {
	polling
	points []*point
}

// point is one driver with what is remembered of it. The fields below latest
// belong to the reading goroutine.
type point struct {
	*latest
	driver  Driver
	faults  faultRow
	lastRaw string
	repeats int
}

// NewLine makes a line that asks nothing until it is run.
func NewLine(clock Clock, options LineOptions, drivers ...Driver) (*Line, error) {
	l := &Line{}
	if options.Period == 0 {
		options.Period = askedPeriod(drivers)
	}
	if err := l.polling.init(options.Name, clock, options.Period, options.StuckAfter, options.Failed); err != nil {
		return nil, err
	}
	for _, d := range drivers {
		l.points = append(l.points, &point{latest: newLatest(), driver: d})
	}
	return l, nil
}

// askedPeriod is the longest period that drivers ask for by a method Period,
// because asking them is dear or costs nothing; 0 when none does.
func askedPeriod(drivers []Driver) time.Duration {
	var longest time.Duration
	for _, d := range drivers {
		if asks, own := d.(interface{ Period() time.Duration }); own {
			longest = max(longest, asks.Period())
		}
	}
	return longest
}

// Probe gives the probe of the driver with the index.
func (l *Line) Probe(i int) Probe { return l.points[i].latest }

// Run implements [Bus]. A second Run at the same time gives ErrRunning. Drivers
// that are closers are closed at its end.
func (l *Line) Run(ctx context.Context) error {
	return l.run(ctx, func(ctx context.Context) error {
		defer l.close()
		return l.passes(ctx, l.pass)
	})
}

func (l *Line) pass(ctx context.Context) {
	for _, p := range l.points {
		if ctx.Err() != nil {
			return
		}
		l.guard(p.failed, func() { l.ask(ctx, p) })
	}
}

func (l *Line) ask(ctx context.Context, p *point) {
	defer l.begin("asking " + p.driver.Name())()
	taken := l.clock.Now()
	answer, err := p.driver.Ask(ctx, l.clock)
	if ctx.Err() != nil {
		return // Run has returned; nothing may change behind its back
	}
	p.publish(p.judge(answer, err, taken))
}

// close lets go of the devices. There is nobody left to be told of an error.
func (l *Line) close() {
	for _, p := range l.points {
		if c, closes := p.driver.(io.Closer); closes {
			l.guard(nil, func() { _ = c.Close() })
		}
	}
}

// judge turns one answer into a sample.
func (p *point) judge(answer Answer, err error, taken time.Duration) Sample {
	if answer.Raw != "" {
		if answer.Raw != p.lastRaw {
			p.repeats = -1
		}
		p.lastRaw = answer.Raw
		p.repeats++
	}
	sample := Sample{Value: math.NaN(), Taken: taken, Raw: answer.Raw}
	if answer.Raw != "" {
		sample.Repeats = p.repeats
	}
	if err == nil && (math.IsNaN(answer.Value) || math.IsInf(answer.Value, 0)) {
		err = faultf(Malformed, "%s gave %v", p.driver.Name(), answer.Value)
	}
	if err != nil {
		fault := askFault(p.driver.Name(), err)
		p.faults.date(fault, taken)
		sample.Fault = fault
		return sample
	}
	p.faults.end()
	sample.Value = answer.Value
	return sample
}

// failed publishes the fault of a mistake of this program.
func (p *point) failed(sample Sample) {
	p.lastRaw, p.repeats = "", 0
	p.faults.date(sample.Fault.(*Fault), sample.Taken)
	p.publish(sample)
}

// askFault makes a fault out of any error of a driver.
func askFault(name string, err error) *Fault {
	var fault *Fault
	if errors.As(err, &fault) {
		own := *fault // its date is this point's
		return &own
	}
	kind, detail := ReadFailed, name+" did not answer; check plug, cable and supply"
	switch {
	case errors.Is(err, fs.ErrPermission):
		kind, detail = Denied, "let the user that the program runs as use the device of "+name+" (a group such as spi, i2c or dialout)"
	case errors.Is(err, fs.ErrNotExist):
		kind, detail = BusAbsent, "there is no device for "+name+"; check that the board has the bus switched on"
	}
	return &Fault{Kind: kind, Detail: detail, Cause: err}
}

// device is opened when it is needed and anew after an error.
type device[T io.Closer] struct {
	open func() (T, error)
	held T
	have bool
}

func (d *device[T]) get() (T, error) {
	if d.have {
		return d.held, nil
	}
	held, err := d.open()
	if err != nil {
		var none T
		return none, err
	}
	d.held, d.have = held, true
	return held, nil
}

// drop lets go of the device; the next get opens it anew.
func (d *device[T]) drop() error {
	if !d.have {
		return nil
	}
	held := d.held
	var none T
	d.held, d.have = none, false
	return held.Close()
}

// waitFor waits by the clock for a time from now.
func waitFor(ctx context.Context, clock Clock, span time.Duration) error {
	return clock.Wait(ctx, clock.Now()+span)
}
