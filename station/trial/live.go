package trial

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"os/exec"
	"strings"
	"time"

	"sunstoker/dashboard"
	"sunstoker/station/bench"
)

// LiveOptions say where the daemon of a live run is, and where it looks for the
// plant.
type LiveOptions struct {
	Page   string // of the daemon: http://127.0.0.1:8017/
	Modbus string // address and port at which the daemon looks for the module
	Tree   string // folder in which it looks for 1-wire parts; empty for none
	// Hands is a program that does what no bench can: orders about the daemon and
	// its board. It gets the order's words as arguments, is done within
	// handsTime, and ends with success; empty for none.
	Hands string

	patience time.Duration // startTime when 0; below: none
}

// Live runs a script in real time on a daemon that runs elsewhere with a site file
// of the script's bench.
func Live(ctx context.Context, s *Script, o LiveOptions) (r *Result, err error) {
	if err := s.needsHands(o.Hands); err != nil {
		return nil, err
	}
	if o.patience == 0 {
		o.patience = startTime
	}
	page, err := url.Parse(o.Page)
	if err != nil || page.Scheme == "" || page.Host == "" {
		return nil, fmt.Errorf("%q is no address of a daemon's page; write such as http://127.0.0.1:8017/", o.Page)
	}
	plant, err := s.plant()
	if err != nil {
		return nil, err
	}
	served, err := bench.NewServed(plant, bench.ServeOptions{Modbus: o.Modbus, Tree: o.Tree, Speed: 1})
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, served.Close()) }()
	l := &live{served: served, page: page.JoinPath("api/now").String(), start: time.Now(), patience: o.patience, hands: o.Hands}
	first, err := l.first(ctx)
	switch {
	case err != nil:
		return nil, err
	case first.Site != s.Site.Name:
		return nil, fmt.Errorf("the daemon at %s looks after %q, and %s is about %q: start it with the bench's site file", o.Page, first.Site, s.File, s.Site.Name)
	}
	return run(ctx, s, plant, l)
}

// handsTime is how long an order may take whose board is a real one.
const handsTime = 20 * time.Second

// needsHands refuses orders that nobody can do on the board of a daemon that runs
// elsewhere.
func (s *Script) needsHands(hands string) error {
	for _, step := range s.Steps {
		for _, words := range step.Do {
			if hands == "" && bench.TouchesBoard(words) {
				return fmt.Errorf("%s: %q is about the board of the daemon: name a program with --hands that does it there, or run the script in virtual time", s.File, words)
			}
		}
	}
	for _, words := range s.Begin {
		if bench.TouchesBoard(words) {
			return fmt.Errorf("%s: %q, as it is to be before the start, needs virtual time; write it as a step at 0s", s.File, words)
		}
	}
	return nil
}

// live is a world in real time.
type live struct {
	served *bench.Served
	page   string
	start  time.Time

	patience time.Duration // with a daemon that does not answer yet
	hands    string
	awayTill time.Time // until when the daemon need not answer, by an order
}

// board implements [world].
func (l *live) board(ctx context.Context, words string) error {
	within, cancel := context.WithTimeout(ctx, handsTime)
	defer cancel()
	if a, daemon, err := awayBy(words); daemon && err == nil {
		l.awayTill = time.Now().Add(a.span + startTime)
	}
	out, err := exec.CommandContext(within, l.hands, strings.Fields(words)...).CombinedOutput()
	if err != nil {
		return fmt.Errorf("%s: %w: %.500s", l.hands, err, out)
	}
	return nil
}

// startTime is how long a daemon may take to come up beside the bench, which it
// may need to be there first.
const startTime = 30 * time.Second

// first waits for the daemon. The script begins then.
func (l *live) first(ctx context.Context) (*dashboard.Now, error) {
	for begun := time.Now(); ; {
		now, err := l.ask(ctx)
		if err == nil {
			l.start = time.Now()
			return now, nil
		}
		if time.Since(begun) > l.patience || ctx.Err() != nil {
			return nil, err
		}
		if err := l.to(ctx, time.Since(l.start)+look); err != nil {
			return nil, err
		}
	}
}

// to implements [world]; the plant is brought up to the present some times a
// second meanwhile.
func (l *live) to(ctx context.Context, at time.Duration) error {
	const beat = 200 * time.Millisecond
	for {
		if err := l.served.Beat(); err != nil {
			return err
		}
		left := at - time.Since(l.start)
		if left <= 0 {
			return ctx.Err()
		}
		timer := time.NewTimer(min(left, beat))
		select {
		case <-timer.C:
		case <-ctx.Done():
			timer.Stop()
			return ctx.Err()
		}
	}
}

// answerLimit bounds what is read of an answer; a true one has some 10 kB.
const answerLimit = 1 << 20

// now implements [world].
func (l *live) now(ctx context.Context) (*dashboard.Now, error) {
	now, err := l.ask(ctx)
	if err != nil && time.Now().Before(l.awayTill) && ctx.Err() == nil {
		return nil, nil
	}
	return now, err
}

func (l *live) ask(ctx context.Context) (*dashboard.Now, error) {
	ctx, cancel := context.WithTimeout(ctx, 5*time.Second)
	defer cancel()
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, l.page, nil)
	if err != nil {
		return nil, err
	}
	response, err := http.DefaultClient.Do(request)
	if err != nil {
		return nil, fmt.Errorf("the daemon's page does not answer: %w; start it with the bench's site file first", err)
	}
	defer response.Body.Close() // all that is wanted of it has been read
	body, err := io.ReadAll(io.LimitReader(response.Body, answerLimit))
	if err != nil {
		return nil, err
	}
	return nowIn(response.StatusCode, body)
}

// nowIn reads what the interface of the daemon has answered.
func nowIn(status int, body []byte) (*dashboard.Now, error) {
	if status != http.StatusOK {
		return nil, fmt.Errorf("the daemon answers %d: %.200s", status, body)
	}
	var outer dashboard.Answer
	var now dashboard.Now
	err := json.Unmarshal(body, &outer)
	if err == nil {
		err = json.Unmarshal(outer.Now, &now)
	}
	if err != nil {
		return nil, fmt.Errorf("the daemon's answer makes no sense: %w", err)
	}
	return &now, nil
}
