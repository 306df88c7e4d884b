package terminal

import (
	"context"
	"errors"
	"io"
	"os"
	"os/signal"
	"syscall"
	"time"

	"golang.org/x/term"
)

// Options are how a house is watched.
type Options struct {
	Address     string // of the daemon's page, as [UsualAddress]
	Certificate string // file of a certificate to be trusted; empty when none is
	Once        bool   // one picture, then end
	Lines       bool   // plain lines, on a terminal too
	In          io.Reader
	Out, Prompt io.Writer
	Environment func(string) string // os.Getenv when nil

	stop func() // stops this program until it is to go on; stopHere when nil
}

func (o *Options) environment(key string) string {
	if o.Environment != nil {
		return o.Environment(key)
	}
	return os.Getenv(key)
}

// Real time between two pictures, and between two plain lines.
const (
	pictureGap = time.Second
	lineGap    = time.Minute
)

const usualColumns = 80

// Watch shows the house until the context ends.
func Watch(ctx context.Context, o Options) error {
	// A connection that is closed ends it as well, so that the terminal is left clean.
	ctx, stop := signal.NotifyContext(ctx, syscall.SIGHUP)
	defer stop()
	c, err := newCaller(o.Address, o.Certificate)
	if err != nil {
		return err
	}
	if err := c.letIn(ctx, &o); err != nil {
		if ctx.Err() != nil {
			return nil
		}
		return err
	}
	if o.Once {
		return once(ctx, c, &o)
	}
	if o.stop == nil {
		o.stop = stopHere
	}
	return watch(ctx, c, o.shown(), o.stop)
}

// once writes one picture.
func once(ctx context.Context, c *caller, o *Options) error {
	h, err := c.now(ctx)
	if err != nil {
		return err
	}
	var k known
	at := time.Now()
	k.hear(h, at)
	columns := usualColumns
	if t := o.terminal(); t != nil {
		columns, _ = sizeOf(t)
	}
	return writePicture(o.Out, picture(k.at(at), columns, 0))
}

// shown is where the house is shown.
type shown interface {
	begin() error
	show(view) error // at most once in gap
	gap() time.Duration
	end() error
}

// shown picks the way that fits the output.
func (o *Options) shown() shown {
	t := o.terminal()
	if t == nil || o.Lines || o.environment("TERM") == "dumb" {
		return &lineByLine{to: o.Out}
	}
	return &onScreen{to: t, size: func() (int, int) { return sizeOf(t) }, colours: o.environment("NO_COLOR") == ""}
}

// terminal is the terminal that is written to; nil when it is none.
func (o *Options) terminal() *os.File {
	if file, is := o.Out.(*os.File); is && term.IsTerminal(int(file.Fd())) {
		return file
	}
	return nil
}

func sizeOf(t *os.File) (columns, rows int) {
	columns, rows, err := term.GetSize(int(t.Fd()))
	if err != nil || columns <= 0 || rows <= 0 {
		return usualColumns, usualRows
	}
	return columns, rows
}

// watch hears and shows.
func watch(ctx context.Context, c *caller, s shown, stop func()) (err error) {
	ctx, end := context.WithCancel(ctx)
	defer end()
	news, ended := make(chan heard), make(chan error, 1)
	go func() {
		ended <- c.follow(ctx, func(h heard) {
			select {
			case news <- h:
			case <-ctx.Done():
			}
		})
	}()
	signals := make(chan os.Signal, 2)
	signal.Notify(signals, syscall.SIGWINCH, syscall.SIGTSTP)
	defer signal.Stop(signals)
	// The terminal is given back for as long as the program is stopped.
	rest := func() error {
		if err := s.end(); err != nil {
			return err
		}
		stop()
		return s.begin()
	}
	if err := s.begin(); err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.end()) }()
	return showNews(ctx, s, news, ended, signals, rest)
}

func showNews(ctx context.Context, s shown, news <-chan heard, ended <-chan error, signals <-chan os.Signal, rest func() error) error {
	var k known
	next := time.NewTicker(s.gap())
	defer next.Stop()
	var shown line
	for {
		show := false
		select {
		case h := <-news:
			k.hear(h, time.Now())
			show = k.at(time.Now()).line != shown // what was waited for is shown at once
		case <-next.C:
			show = true
		case got := <-signals:
			show = true
			if got == syscall.SIGTSTP {
				if err := rest(); err != nil {
					return err
				}
			}
		case err := <-ended:
			return err
		case <-ctx.Done():
			return nil
		}
		if !show {
			continue
		}
		v := k.at(time.Now())
		if err := s.show(v); err != nil {
			return err
		}
		shown = v.line
	}
}

// lineByLine shows plain lines.
type lineByLine struct{ to io.Writer }

func (l *lineByLine) begin() error       { return nil }
func (l *lineByLine) end() error         { return nil }
func (l *lineByLine) gap() time.Duration { return lineGap }

func (l *lineByLine) show(v view) error {
	var text string
	for _, line := range plainLines(v) {
		text += line + "\n"
	}
	_, err := io.WriteString(l.to, text)
	return err
}

// onScreen draws on a terminal.
type onScreen struct {
	to      io.Writer
	size    func() (columns, rows int)
	colours bool
}

func (t *onScreen) begin() error {
	if _, err := io.WriteString(t.to, enterScreen); err != nil {
		return err
	}
	return t.show(view{})
}

func (t *onScreen) end() error {
	_, err := io.WriteString(t.to, leaveScreen)
	return err
}

func (t *onScreen) gap() time.Duration { return pictureGap }

func (t *onScreen) show(v view) error {
	columns, rows := t.size()
	_, err := io.WriteString(t.to, drawn(picture(v, columns, rows), t.colours))
	return err
}
