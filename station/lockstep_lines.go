package station

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"sunstoker/control"
)

// Serve advances the clock by the lines of in and answers on out, as the
// package comment says. It begins with the instant 0 and returns nil at the
// end of the lines, or the context's error. A read of in that blocks is left
// behind when the context ends.
func (c *Lockstep) Serve(ctx context.Context, in io.Reader, out io.Writer) error {
	if err := c.answer(ctx, out, 0, c.Wall()); err != nil {
		return err
	}
	lines := make(chan string)
	ended := make(chan error, 1)
	go func() {
		scan := bufio.NewScanner(in)
		for scan.Scan() {
			select {
			case lines <- scan.Text():
			case <-ctx.Done():
				return
			}
		}
		ended <- scan.Err()
	}()
	for {
		select {
		case line := <-lines:
			if err := c.obey(ctx, out, line); err != nil {
				return err
			}
		case err := <-ended:
			return err
		case <-ctx.Done():
			return ctx.Err()
		}
	}
}

// RunLockstep is [Station.Run] with the clock, which the station was made with,
// driven by the lines of in. The end of the lines ends the run.
func (s *Station) RunLockstep(ctx, hurry context.Context, clock *Lockstep, in io.Reader, out io.Writer) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	served := make(chan error, 1)
	go func() {
		served <- clock.Serve(ctx, in, out)
		cancel()
	}()
	err := s.Run(ctx, hurry)
	cancel()
	if lines := <-served; !errors.Is(lines, context.Canceled) {
		err = errors.Join(err, lines)
	}
	return err
}

func (c *Lockstep) obey(ctx context.Context, out io.Writer, line string) error {
	if strings.TrimSpace(line) == "" {
		return nil
	}
	to, wall, err := parseAdvance(line)
	if err != nil {
		return say(out, "error: "+err.Error())
	}
	return c.answer(ctx, out, to, wall)
}

func (c *Lockstep) answer(ctx context.Context, out io.Writer, to time.Duration, wall control.Wall) error {
	without, err := c.Advance(ctx, to, wall)
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case err != nil:
		return say(out, "error: "+err.Error())
	case len(without) > 0:
		return say(out, "ready without "+strings.Join(without, ", "))
	}
	return say(out, "ready")
}

func say(out io.Writer, text string) error {
	_, err := fmt.Fprintln(out, text)
	return err
}

func parseAdvance(line string) (to time.Duration, wall control.Wall, err error) {
	words := strings.Fields(line)
	if len(words) != 4 || words[0] != "advance" {
		return 0, wall, fmt.Errorf(`%q is not understood; write "advance 12s 2026-01-05T06:00:00Z trusted"`, line)
	}
	to, err = time.ParseDuration(words[1])
	if err != nil || to < 0 {
		return 0, wall, fmt.Errorf(`%q is no instant since the start; write "12s" or "1h30m"`, words[1])
	}
	wall.Time, err = time.Parse(time.RFC3339Nano, words[2])
	if err != nil {
		return 0, wall, fmt.Errorf(`%q is no wall clock time; write "2026-01-05T06:00:00Z"`, words[2])
	}
	switch words[3] {
	case "trusted":
		wall.Trusted = true
	case "untrusted":
	default:
		return 0, wall, errors.New(`the last word must be "trusted" or "untrusted"`)
	}
	return to, wall, nil
}
