package sensors

import (
	"fmt"
	"math"
	"path/filepath"
	"runtime"
	"strings"
	"sync/atomic"
)

// mistakes counts the panics that were caught on a bus. Last belongs to the
// reading goroutine.
type mistakes struct {
	count atomic.Uint64
	last  string
}

// Mistakes counts how often this program has failed while it read the bus.
func (b *OneWire) Mistakes() uint64 { return b.mistakes.count.Load() }

// guard calls do and catches a panic in it: a mistake in the reading of one
// probe must not take the other probes, the pump and the heater with it. The
// probe that was asked, if it was about one, has a fault then and is asked again
// at the next pass with nothing remembered of it, so that a lasting mistake
// costs one try a pass.
func (b *OneWire) guard(p *oneWireProbe, do func()) {
	defer func() {
		value := recover()
		if value == nil {
			return
		}
		count := b.mistakes.count.Add(1)
		what := fmt.Sprintf("%v at %s", value, panicSite())
		if p != nil {
			p.history, p.converted = history{}, false
			now := b.clock.Now()
			p.publish(Sample{Value: math.NaN(), Taken: now, Fault: &Fault{
				Kind:   ReaderFailed,
				Detail: fmt.Sprintf("%s; failures on this bus since the start: %d; tell whoever looks after the program", what, count),
				Since:  now,
			}})
		}
		if b.options.Failed != nil && what != b.mistakes.last {
			b.options.Failed(fmt.Errorf("bus %s: this program failed while it read: %s", b.Name(), what))
		}
		b.mistakes.last = what
	}()
	do()
}

// panicSite names the file and line that panicked, as seen from a deferred
// function that has just recovered.
func panicSite() string {
	var callers [16]uintptr
	frames := runtime.CallersFrames(callers[:runtime.Callers(3, callers[:])])
	for {
		frame, more := frames.Next()
		if !strings.HasPrefix(frame.Function, "runtime.") {
			return fmt.Sprintf("%s:%d", filepath.Base(frame.File), frame.Line)
		}
		if !more {
			return "an unknown place"
		}
	}
}
