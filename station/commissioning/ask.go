package commissioning

import (
	"context"
	"fmt"
	"io"
	"strings"

	"sunstoker/planner/handover"
	"sunstoker/station/survey"
)

// asker is who answers.
type asker interface {
	// has tells whether there may be an answer to a step.
	has(*handover.Step) bool
	// answer gives the words to a step, or errEnded.
	answer(ctx context.Context, step *handover.Step, question string) (string, error)
	// refuse tells that the words were not understood; an error ends it.
	refuse(*handover.Step, error) error
	// ready comes back when an output may be switched, with the reply to that.
	ready(ctx context.Context, s *session, step *handover.Step) (*handover.Reply, error)
	// saw gives what was seen of an output that was switched.
	saw(ctx context.Context, s *session, step *handover.Step, before *handover.Reply) (*handover.Reply, error)
	// again tells whether a live step is to be repeated.
	again(context.Context) bool
}

// person answers on a terminal.
type person struct {
	typed <-chan string
	out   io.Writer
}

func newPerson(ctx context.Context, in io.Reader, out io.Writer) *person {
	typed := make(chan string)
	go func() { // the end of what is typed closes it, which Lines does not tell
		defer close(typed)
		if in != nil {
			survey.EachLine(ctx, in, typed)
		}
	}()
	return &person{typed, out}
}

func (p *person) has(*handover.Step) bool { return true }

func (p *person) answer(ctx context.Context, _ *handover.Step, question string) (string, error) {
	fmt.Fprintf(p.out, "%s\n> ", question)
	select {
	case line, more := <-p.typed:
		if !more {
			return "", errEnded
		}
		return line, nil
	case <-ctx.Done():
		return "", ctx.Err()
	}
}

func (p *person) refuse(_ *handover.Step, err error) error {
	fmt.Fprintln(p.out, err)
	return nil
}

func (p *person) ready(ctx context.Context, _ *session, step *handover.Step) (*handover.Reply, error) {
	for {
		text, err := p.answer(ctx, step, `Write "now" when you stand there.`)
		if err != nil {
			return nil, err
		}
		if strings.EqualFold(strings.TrimSpace(text), "now") {
			return &handover.Reply{Now: true}, nil
		}
		reply, err := step.Understand(nil, text)
		if err == nil && reply.Outcome == handover.Skipped {
			return reply, nil
		}
		fmt.Fprintln(p.out, `Write "now", or "skip because …".`)
	}
}

func (p *person) saw(ctx context.Context, s *session, step *handover.Step, _ *handover.Reply) (*handover.Reply, error) {
	for {
		text, err := p.answer(ctx, step, step.Ask)
		if err != nil {
			return nil, err
		}
		reply, err := step.Understand(s.record, text)
		if err == nil {
			return reply, nil
		}
		fmt.Fprintln(p.out, err)
	}
}

func (p *person) again(ctx context.Context) bool {
	text, err := p.answer(ctx, nil, `Write "again" to repeat it; Enter goes on.`)
	return err == nil && strings.EqualFold(strings.TrimSpace(text), "again")
}

// paper answers out of a file, once to each step.
type paper struct {
	answers handover.Answers
	given   map[string]bool
}

func (p *paper) has(step *handover.Step) bool { return p.answers[step.Key] != "" }

func (p *paper) answer(_ context.Context, step *handover.Step, _ string) (string, error) {
	return p.answers[step.Key], nil
}

func (p *paper) refuse(step *handover.Step, err error) error {
	return fmt.Errorf("%s: %w", step.Key, err)
}

func (p *paper) ready(_ context.Context, s *session, step *handover.Step) (*handover.Reply, error) {
	reply, err := step.Understand(s.record, p.answers[step.Key])
	if err != nil {
		return nil, p.refuse(step, err)
	}
	return reply, nil
}

func (p *paper) saw(_ context.Context, _ *session, _ *handover.Step, before *handover.Reply) (*handover.Reply, error) {
	return before, nil
}

func (p *paper) again(context.Context) bool { return false }
