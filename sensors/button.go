package sensors

import (
	"context"
	"fmt"
)

// Button is a push button to ground: 1 while pressed, and for one answer when it
// was pressed and let go between two, else 0.
type Button struct {
	*contact
	count uint64
}

// NewButton makes a button.
func NewButton(o ContactOptions) (*Button, error) {
	c, err := newContact(o)
	if err != nil {
		return nil, err
	}
	return &Button{contact: c}, nil
}

// Name implements [Driver].
func (b *Button) Name() string { return "the button at " + b.options.Line }

// Ask implements [Driver]. A button that is held from before the line was opened
// counts as pressed.
func (b *Button) Ask(_ context.Context, clock Clock) (Answer, error) {
	t, anew, err := b.look(clock)
	if anew || err != nil {
		b.count = 0
	}
	if err != nil {
		return Answer{}, err
	}
	answer := Answer{Raw: fmt.Sprintf("%d presses", t.count)}
	if t.closed || t.count > b.count {
		answer.Value = 1
	}
	b.count = t.count
	return answer, nil
}
