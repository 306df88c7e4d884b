package actuators

import (
	"errors"
	"fmt"
	"sync"
)

// All is a set of outputs that go off together: on a panic, an end signal, or
// any other way out.
type All []Output

// Safe drives every output safe. Every one is tried, at the same time, so one
// that fails, panics or hangs on its bus does not keep the others on. It returns
// when all are done, with every error joined in the order of the set.
func (a All) Safe() error {
	return a.each("drive safe", Output.Safe)
}

// Close drives every output safe and releases it, tried as in Safe. Commands
// that come later are refused.
func (a All) Close() error {
	return a.each("close", Output.Close)
}

func (a All) each(what string, do func(Output) error) error {
	errs := make([]error, len(a))
	var done sync.WaitGroup
	for i, out := range a {
		done.Go(func() { errs[i] = guarded(i, what, out, do) })
	}
	done.Wait()
	return errors.Join(errs...)
}

// guarded turns a panic of one output into its error: here the way out must go on.
func guarded(i int, what string, out Output, do func(Output) error) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("output %d of the set panicked when asked to %s: %v; cut its supply by hand until this is corrected", i, what, p)
		}
	}()
	if out == nil {
		return fmt.Errorf("output %d of the set is missing (nil): it was never opened, so it cannot %s", i, what)
	}
	return do(out)
}
