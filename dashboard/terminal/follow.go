package terminal

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"time"

	"sunstoker/dashboard"
)

// heard is one thing that came over the line, or why nothing did.
type heard struct {
	now     *dashboard.Now // nil when there is no newer tick
	age     time.Duration  // of the newest tick, when it came
	unborn  bool           // the daemon has no tick yet
	trouble string
}

const (
	silentAfter  = 12 * time.Second // the daemon sends a beat every 5 s
	firstPause   = 2 * time.Second  // before a line is tried again, growing up to the longest
	longestPause = 30 * time.Second
	questionGap  = 5 * time.Second // between questions, where there is no place for a live viewer
)

// follow tells what is heard until the context ends, or until trying again can't
// help, which is its error.
func (c *caller) follow(ctx context.Context, tell func(heard)) error {
	for pause := firstPause; ; pause = min(2*pause, longestPause) {
		any := false
		err := c.listen(ctx, func(h heard) { any = true; tell(h) })
		if ctx.Err() != nil {
			return nil
		}
		t := c.unanswered(err)
		if any {
			pause = firstPause
		}
		if t.full {
			h, err := c.now(ctx)
			if err != nil {
				t = c.unanswered(err)
			} else {
				tell(h)
				t.words = ""
			}
			pause = questionGap
		}
		if t.final {
			return t
		}
		if t.words != "" {
			tell(heard{trouble: t.words})
		}
		select {
		case <-time.After(max(pause, t.pause)):
		case <-ctx.Done():
			return nil
		}
	}
}

var errSilent = errors.New("the daemon has fallen silent")

// listen hears live events until the line ends.
func (c *caller) listen(ctx context.Context, tell func(heard)) error {
	ctx, hangUp := context.WithCancelCause(ctx)
	defer hangUp(nil)
	answer, err := c.get(ctx, "api/events")
	if err != nil {
		return err
	}
	defer answer.Body.Close()
	silence := time.AfterFunc(silentAfter, func() { hangUp(errSilent) })
	defer silence.Stop()
	err = readEvents(bufio.NewScanner(answer.Body), func(event string, data []byte) error {
		silence.Reset(silentAfter)
		h, err := hear(event, data)
		if err == nil {
			tell(h)
		}
		return err
	})
	if cause := context.Cause(ctx); cause != nil {
		return cause
	}
	return err
}

func hear(event string, data []byte) (heard, error) {
	if event == "tick" {
		return readTick(data)
	}
	var beat struct {
		Age *float64 `json:"age_seconds"`
	}
	if err := json.Unmarshal(data, &beat); err != nil || beat.Age == nil {
		return heard{unborn: true}, nil
	}
	return heard{age: seconds(*beat.Age)}, nil
}

var errHungUp = errors.New("the daemon has hung up")

// readEvents reads "tick" and "beat" out of a stream of events as the HTML standard
// writes them. It ends with an error, always.
func readEvents(lines *bufio.Scanner, tell func(event string, data []byte) error) error {
	lines.Buffer(nil, maxAnswer)
	var event string
	var data []byte
	for lines.Scan() {
		name, value, _ := bytes.Cut(lines.Bytes(), []byte(":"))
		value = bytes.TrimPrefix(value, []byte(" "))
		switch string(name) {
		case "event":
			event = string(value)
		case "data":
			data = append(data, value...)
		case "":
			if event == "tick" || event == "beat" {
				if err := tell(event, data); err != nil {
					return err
				}
			}
			event, data = "", data[:0]
		}
	}
	if err := lines.Err(); err != nil {
		return err
	}
	return errHungUp
}
