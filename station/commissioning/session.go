package commissioning

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"sunstoker/control"
	"sunstoker/planner/handover"
	"sunstoker/site"
	"sunstoker/station"
)

// Options describe a hand-over.
type Options struct {
	Site    *site.Site
	Records Records
	Time    Time
	// Take takes the plant. It is called before the first step that needs it, so that
	// all other steps can be done while the daemon runs.
	Take func() (*station.Taken, error)
	// Answers are taken instead of a person's; nil: In is asked.
	Answers handover.Answers
	In      io.Reader
	Out     io.Writer
	// Again asks anew what was answered and is not in order; Only asks the steps alone
	// whose names hold these words, those in order too.
	Again bool
	Only  string
	// Hand holds a probe of a simulated plant, by its index; -1 lets go. Nil where a
	// person does.
	Hand func(probe int)
}

// Records keep what was answered; *station.HandoverRecord is one.
type Records interface {
	Load() (r *handover.Record, remarks []string)
	Save(*handover.Record) error
}

// Time is the clock of a hand-over.
type Time interface {
	Now() time.Duration
	Wall() control.Wall
	// Pass lets time go by.
	Pass(ctx context.Context, d time.Duration) error
}

// session is a hand-over under way.
type session struct {
	Options
	steps  []handover.Step
	record *handover.Record
	ask    asker
	plant  *plant
	untold map[string]bool // why steps could not be tried, each told once
	failed []error
}

// Run asks what is open and gives the record as it stands then. The end of In, and
// that of the context, end it early: the next one goes on where this one ended. The
// error tells what kept steps from being tried.
func Run(ctx context.Context, o Options) (r *handover.Record, err error) {
	s := &session{Options: o, steps: handover.Steps(o.Site), untold: map[string]bool{}}
	if !slices.ContainsFunc(s.steps, func(step handover.Step) bool { return strings.Contains(step.Key, o.Only) }) {
		return nil, fmt.Errorf("there is no step whose name holds %q; --paper writes them all", o.Only)
	}
	var remarks []string
	s.record, remarks = o.Records.Load()
	for _, remark := range remarks {
		s.say("%s", remark)
	}
	if s.record == nil {
		s.record = &handover.Record{}
	}
	s.record.Site, s.record.Simulated = o.Site.Name, o.Hand != nil
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	if o.Answers != nil {
		s.ask = &paper{answers: o.Answers, given: map[string]bool{}}
	} else {
		s.ask = newPerson(ctx, o.In, o.Out)
	}
	s.plant = &plant{site: o.Site, time: o.Time, take: o.Take, broken: stop}
	defer func() { err = errors.Join(err, s.plant.close()) }()
	s.greet()
	err = s.walk(ctx)
	s.farewell()
	return s.record, errors.Join(append(s.failed, err)...)
}

func (s *session) say(format string, args ...any) { fmt.Fprintf(s.Out, format+"\n", args...) }

// greet tells how far it is.
func (s *session) greet() {
	open := 0
	for i := range s.steps {
		if s.wanted(&s.steps[i]) {
			open++
		}
	}
	s.say("Hand-over of %s: %d steps, %d to do now.", s.Site.Name, len(s.steps), open)
	if s.Answers == nil {
		s.say("Every answer is saved at once; Ctrl-D ends, and the next time it goes on there.\nLeave a step out with \"skip because …\". Local codes and licensed practice come first.")
	}
}

// wanted tells whether a step is to be asked.
func (s *session) wanted(step *handover.Step) bool {
	outcome := s.record.Of(step).Outcome
	switch {
	case s.Only != "":
		return strings.Contains(step.Key, s.Only)
	case step.Form == handover.Sign:
		return !s.record.IsSigned()
	case outcome == handover.Unanswered || s.Answers != nil && outcome != handover.Done:
		return true
	}
	return s.Again && outcome != handover.Done
}

// errEnded says that the person has no more answers.
var errEnded = errors.New("no more answers")

// walk asks step by step.
func (s *session) walk(ctx context.Context) error {
	for i := range s.steps {
		step := &s.steps[i]
		if !s.wanted(step) || !s.ask.has(step) {
			continue
		}
		s.introduce(i)
		err := s.answer(ctx, step)
		switch {
		case errors.Is(err, errEnded):
			return nil
		case ctx.Err() != nil:
			if cause := context.Cause(ctx); !errors.Is(cause, context.Canceled) {
				return cause
			}
			return nil
		case err != nil:
			return err
		}
	}
	return nil
}

// introduce says what a step is about: all of it to a person.
func (s *session) introduce(i int) {
	step := &s.steps[i]
	if s.Answers != nil {
		s.say("\n%d of %d, %s: %s", i+1, len(s.steps), step.Key, s.Answers[step.Key])
	} else {
		s.say("\nStep %d of %d, %s", i+1, len(s.steps), step.Key)
	}
	if s.record.Outdated(step) {
		s.say("The site file has changed since this was answered.")
	}
	if s.Answers == nil && step.Do != "" {
		s.say("%s", step.Do)
	}
}

// answer gets an answer to a step and saves it.
func (s *session) answer(ctx context.Context, step *handover.Step) error {
	if step.Form.Live() {
		if why := s.missing(step); why != "" {
			s.say("Not yet: %s", why)
			return nil
		}
	}
	for {
		reply, err := s.understood(ctx, step)
		if err != nil {
			return err
		}
		if reply.Now {
			tried, err := s.try(ctx, step, reply)
			if err != nil || !tried {
				return err
			}
		}
		if err := s.keep(step, reply); err != nil {
			return err
		}
		if !step.Form.Live() || reply.Outcome == handover.Done || reply.Outcome == handover.Skipped || !s.ask.again(ctx) {
			return nil
		}
	}
}

// understood asks until an answer is understood.
func (s *session) understood(ctx context.Context, step *handover.Step) (*handover.Reply, error) {
	if step.Form == handover.Confirm && step.Probe >= 0 {
		s.showReading(ctx, step)
	}
	if step.Form == handover.Switch {
		return s.ask.ready(ctx, s, step)
	}
	for {
		text, err := s.ask.answer(ctx, step, step.Ask)
		if err != nil {
			return nil, err
		}
		reply, err := step.Understand(s.record, text)
		if err == nil && len(reply.Files) > 0 {
			reply.Photos, err = photosOf(reply.Files)
		}
		if err == nil {
			return reply, nil
		}
		if err := s.ask.refuse(step, err); err != nil {
			return nil, err
		}
	}
}

// keep saves an answer and tells what is made of it.
func (s *session) keep(step *handover.Step, reply *handover.Reply) error {
	reply.Stamp(s.Time.Wall())
	s.record.Put(reply.Answer)
	if step.Form == handover.Sign && reply.Outcome == handover.Done {
		if err := s.record.Sign(); err != nil {
			return err
		}
	}
	if reply.Seen != "" {
		s.say("%s", reply.Seen)
	}
	s.say("→ %s", reply.Outcome)
	return s.Records.Save(s.record)
}

// missing says which steps must be in order first.
func (s *session) missing(step *handover.Step) string {
	var missing []string
	for _, key := range step.Needs {
		need, there := handover.Named(s.steps, key)
		if !there {
			continue
		}
		if outcome := s.record.Of(need).Outcome; outcome != handover.Done {
			missing = append(missing, fmt.Sprintf("%q is %s", key, outcome))
		}
	}
	if len(missing) == 0 {
		return ""
	}
	return strings.Join(missing, ", ") + ". Do that first; this step stays open."
}

// farewell tells what is left.
func (s *session) farewell() {
	counts := map[handover.Outcome]int{}
	for i := range s.steps {
		counts[s.record.Of(&s.steps[i]).Outcome]++
	}
	s.say("\n%d in order, %d wrong, %d not proven, %d left out, %d open.",
		counts[handover.Done], counts[handover.Fault], counts[handover.NotProven], counts[handover.Skipped], counts[handover.Unanswered])
	if bars := s.record.Bars(s.Site); len(bars) > 0 {
		s.say("The daemon watches only, and switches nothing, until this is in order:\n- %s", strings.Join(bars, "\n- "))
	}
	if !s.record.IsSigned() {
		s.say("Nobody has signed it yet.")
	}
}
