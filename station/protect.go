package station

import (
	"fmt"
	"runtime/debug"
)

// panicError is a panic that was caught, with the place where it happened.
type panicError struct {
	what  string // who panicked
	value any
	stack string
}

func (p *panicError) Error() string { return fmt.Sprintf("%s panicked: %v", p.what, p.value) }

// protected calls do and turns a panic into a *panicError.
func protected(what string, do func() error) (err error) {
	defer func() {
		if value := recover(); value != nil {
			err = &panicError{what: what, value: value, stack: string(debug.Stack())}
		}
	}()
	return do()
}
