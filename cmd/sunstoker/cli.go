package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"sunstoker/cmd/line"
	"sunstoker/station"
)

// Exit codes.
const (
	exitGood  = 0
	exitFault = 1 // the work could not be done, or a site file has mistakes
	exitUsage = 2 // the command line was not understood
)

// commands is the command line.
type commands struct {
	Replay   replayCommand   `cmd:"" help:"Tell what other settings would have done, on recorded readings and on a simulated twin."`
	Run      runCommand      `cmd:"" help:"Look after the site that a file describes, until an end signal."`
	Check    checkCommand    `cmd:"" help:"Check a site file, or write a new one."`
	Bench    benchCommand    `cmd:"" help:"Serve a simulated plant of a site to a daemon that thinks it is real, and throw faults at it."`
	Demo     demoCommand     `cmd:"" help:"Look after a simulated house, faster than time."`
	Explain  explainCommand  `cmd:"" help:"Tell why: what ran in a minute of the history, what a finding means, what a setting does."`
	Guard    guardCommand    `cmd:"" help:"Hold the outputs of a site for the program that runs, and drop them when it falls silent."`
	Handover handoverCommand `cmd:"" help:"Hand a plant over: try probes and outputs step by step, write down what was measured, and make the report."`
	History  historyCommand  `cmd:"" help:"Export, check or shrink what a site's daemon has written down."`
	Letter   letterCommand   `cmd:"" help:"Write the owner's letter: the year on one page, from the history."`
	Manual   manualCommand   `cmd:"" help:"Write a manual page, or completions for a shell, to standard output."`
	Off      offCommand      `cmd:"" help:"Drive every output of a site off, after the program has ended in whatever way."`
	Password passwordCommand `cmd:"" help:"Make the line of a person's password for the web configuration."`
	Probe    probeCommand    `cmd:"" help:"Show what hangs on the buses, live, and find out which probe is which by warming it in the hand."`
	Simulate simulateCommand `cmd:"" help:"Simulate a year of a site under its real controller, with a report."`
	Size     sizeCommand     `cmd:"" help:"Try out tanks and collectors for a house over a year each: what they bring and cost, the best three, the fitting sheet and the site file."`
	Trial    trialCommand    `cmd:"" help:"Run scripts that throw faults at a daemon and expect what it must do."`
	Version  versionCommand  `cmd:"" help:"Tell which version this is."`
	Watch    watchCommand    `cmd:"" help:"Show the running house in a terminal, to be read from across the room."`
}

// surroundings is what a command works with.
type surroundings struct {
	ctx    context.Context // ends with the first end signal
	hurry  context.Context // ends with the second one
	stdin  io.Reader
	stdout io.Writer
	stderr io.Writer
	log    *slog.Logger
	line   *line.Command // all commands
}

// command is what each of the commands can do.
type command interface {
	Run(in *surroundings) error
}

// graceForLog is how long the end waits for the log to be written.
const graceForLog = 2 * time.Second

// newLine makes the command line; do is called with the command that was chosen.
func newLine(do func(command any) error) (*line.Command, error) {
	return line.New("sunstoker", "Looks after solar water heaters: decides when pump and backup heater run, and says why.", &commands{}, do)
}

// run reads the command line, does what it says, and gives the exit code.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	in := &surroundings{stdin: stdin, stdout: stdout, stderr: stderr}
	whole, err := newLine(func(c any) error { return in.do(ctx, c.(command)) })
	if err != nil {
		fmt.Fprintln(stderr, "sunstoker:", err)
		return exitFault
	}
	in.line = whole
	whole.SetArgs(append([]string{}, args...))
	whole.SetOut(stdout)
	whole.SetErr(stderr)
	whole.SetWidth(widthOf(stdout))
	chosen, err := whole.ExecuteC()
	_, misread := errors.AsType[*line.Mistake](err)
	_, senseless := errors.AsType[*usageError](err)
	if misread || senseless {
		return refuseUsage(stderr, chosen, err)
	}
	if err != nil {
		fmt.Fprintln(stderr, err)
		return exitFault
	}
	return exitGood
}

// do lets a command do its work, with the log written beside it and signals heard.
func (in *surroundings) do(ctx context.Context, chosen command) error {
	var stop func()
	in.ctx, in.hurry, stop = station.Signals(ctx)
	defer stop()
	log := station.NewLogQueue(in.stderr)
	in.log = slog.New(slog.NewTextHandler(log, nil))
	defer func() {
		grace, cancel := context.WithTimeout(context.Background(), graceForLog)
		defer cancel()
		log.Close(grace)
	}()
	return chosen.Run(in)
}

// Help is written for a terminal as wide as this, if its width is not known, and no
// wider than can be read with ease, or narrower than makes sense.
const (
	usualWidth = 80
	widest     = 100
	narrowest  = 40
)

func widthOf(stdout io.Writer) int {
	if file, is := stdout.(*os.File); is {
		if columns, _, err := term.GetSize(int(file.Fd())); err == nil {
			return min(max(columns, narrowest), widest)
		}
	}
	return usualWidth
}

// usageError is a command line that was understood but makes no sense.
type usageError struct{ text string }

func (e *usageError) Error() string { return e.text }

// refuseUsage says what is wrong with the command line and what to do next.
func refuseUsage(stderr io.Writer, at *cobra.Command, err error) int {
	next := `"sunstoker --help" lists the commands`
	if at.HasParent() {
		next = fmt.Sprintf(`"%s --help" tells how to use it`, at.CommandPath())
	}
	fmt.Fprintf(stderr, "sunstoker: %v; %s\n", err, next)
	return exitUsage
}
