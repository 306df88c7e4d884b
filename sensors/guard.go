package sensors

import (
	"fmt"
	"path/filepath"
	"runtime"
	"strings"
)

// guard is polling.guard for one probe, or for none when p is nil: after a
// mistake the probe is asked again at the next pass with nothing remembered of
// it, so that a lasting mistake costs one try a pass.
func (b *OneWire) guard(p *oneWireProbe, do func()) {
	if p == nil {
		b.polling.guard(nil, do)
		return
	}
	b.polling.guard(func(s Sample) {
		p.history, p.converted = history{}, false
		p.publish(s)
	}, do)
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
