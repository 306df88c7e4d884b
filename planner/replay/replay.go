package replay

import (
	"context"
	"fmt"
	"io"
	"time"

	"sunstoker/site"
)

// Options are what a person asks of a replay.
type Options struct {
	Set     []string // other settings, such as "heater_stop = 48 °C"
	From    string   // first day or minute by the house's clocks; empty for a week before the end
	To      string   // day or minute before which it ends; empty for the end of the history
	CSV     string   // file that "history export --what minutes" has written; empty for the history itself
	Weather string   // for the twin, as for a simulated year
	Fit     bool     // fit the twin to the record, in the weather that there was
	Seed    uint64
}

// Misasked is the error of a question that makes no sense. Its text says what to
// ask instead.
type Misasked struct{ text string }

// Error is the text.
func (m *Misasked) Error() string { return m.text }

func misasked(format string, args ...any) error { return &Misasked{fmt.Sprintf(format, args...)} }

// usualLength is how much is replayed when nobody says otherwise.
const usualLength = 7 * 24 * time.Hour

// mostLength bounds a replay: it is held in memory.
const mostLength = 92 * 24 * time.Hour

// Replay tells what other settings would have done.
func Replay(ctx context.Context, s *site.Site, o Options, to io.Writer) error {
	changed, err := with(s, o.Set)
	if err != nil {
		return err
	}
	r, err := read(ctx, s, &o)
	if err != nil {
		return err
	}
	if o.Fit && o.Weather == "" {
		return misasked("--fit takes the weather that there was: give a file of it with --weather")
	}
	t := teller{site: s, changed: changed, record: r}
	if t.now, err = Decide(s.Plan, r); err != nil {
		return err
	}
	if t.other, err = Decide(changed.Plan, r); err != nil {
		return err
	}
	if err := t.live(ctx, &o); err != nil {
		return err
	}
	t.tell(o.Set)
	return t.Write(to)
}
