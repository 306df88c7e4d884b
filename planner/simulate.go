package planner

import (
	"context"
	"fmt"
	"io"
	"os"
	"time"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"

	"sunstoker/planner/paper"
	"sunstoker/site"
)

// SimulateOptions is what a person asks of a simulated year.
type SimulateOptions struct {
	SiteFile string
	Weather  string        // file, "north-italy", "greensboro" or empty for a generated year
	Stamp    string        // what the times of a CSV file are: "start" (or empty), "middle" or "end" of the hour
	Step     time.Duration // 1 s to LongestStep
	Start    string        // first day of a month, like 2026-01-01; empty for that day
	Report   string        // HTML file to write; empty for none
	CSV      string        // CSV file to write; empty for none
	Seed     uint64        // of household and generated weather
	Months   int           // 1 to 12; zero for 12
	Faults   []string      // what breaks, each as sim.House.ParseFault reads it
}

const usualStart = "2026-01-01"

// Simulate runs a year of a site's twin and tells about it: the table and a few
// sentences to stdout, the progress to stderr if that is a terminal, report and
// CSV file where asked for. Errors say what to do. Files are written whole or
// not at all.
func Simulate(ctx context.Context, o SimulateOptions, stdout, stderr io.Writer) (err error) {
	s, err := site.Load(o.SiteFile)
	if err != nil {
		return err
	}
	start, err := parseStart(o.Start, s.Zone)
	if err != nil {
		return err
	}
	w, err := ChooseWeather(o.Weather, o.Stamp, s, start, o.Seed)
	if err != nil {
		return err
	}
	if o.Step == 0 {
		return fmt.Errorf("a step of %v is not possible; give --step 1s to %v", o.Step, LongestStep)
	}
	r, err := NewRun(s, RunOptions{Weather: w.Source, Start: start, Step: o.Step, Seed: o.Seed, Months: o.Months})
	if err != nil {
		return err
	}
	faults, err := r.addFaults(o.Faults)
	if err != nil {
		return err
	}
	files, err := paper.OpenFiles(o.Report, o.CSV)
	if err != nil {
		return err
	}
	defer files.Discard()
	page, err := newPage(r, w)
	if err != nil {
		return err
	}
	page.faults = faults
	progress, end := ProgressOn(stderr, "simulating")
	page.year, err = RunYear(ctx, r, progress, page.observers(o.Report != "")...)
	end()
	if err != nil {
		return fmt.Errorf("the simulation ended early: %w", err)
	}
	page.standouts = standouts(r, page.year)
	page.tell(stdout)
	if o.CSV != "" {
		if err := files.Write(o.CSV, func(w io.Writer) error { return writeCSV(w, page.year) }); err != nil {
			return err
		}
	}
	if o.Report != "" {
		return files.Write(o.Report, page.writeHTML)
	}
	return nil
}

// parseStart reads the first day of a month in a zone.
func parseStart(day string, zone *time.Location) (time.Time, error) {
	if day == "" {
		day = usualStart
	}
	at, err := time.ParseInLocation(time.DateOnly, day, zone)
	if err != nil || at.Day() != 1 || at.Year() < 1980 || at.Year() > 2199 {
		return at, fmt.Errorf("a start on %q is not possible; give the first day of a month of 1980 to 2199, like %s", day, usualStart)
	}
	return at, nil
}

// tell writes what a year came to.
func (p *page) tell(w io.Writer) {
	fmt.Fprintf(w, "%s: %s of simulated life under its own controller\nWeather: %s.\n", p.site.Name, p.span(), p.weather.Words)
	if p.weather.Remark != "" {
		fmt.Fprintln(w, p.weather.Remark)
	}
	for _, f := range p.faults {
		fmt.Fprintf(w, "Fault: %s.\n", f)
	}
	fmt.Fprintln(w)
	writeTable(w, p.year)
	if note := bracketNote(p.year); note != "" {
		fmt.Fprintln(w, note)
	}
	for _, broken := range brokenSentences(p.run, p.year) {
		fmt.Fprintln(w, broken)
	}
	fmt.Fprintf(w, "\n%s\n", p.balance())
	list(w, "What stands out", p.standouts)
	list(w, "What the controller reported", reportedSentences(p.year))
	if len(p.site.Advice) > 0 {
		fmt.Fprintf(w, "\nAdvice on the site file\n%s\n", site.Lines(p.site.Advice))
	}
}

// list writes sentences under a title, or nothing if there are none.
func list(w io.Writer, title string, sentences []string) {
	if len(sentences) == 0 {
		return
	}
	fmt.Fprintf(w, "\n%s\n", title)
	for _, s := range sentences {
		fmt.Fprintln(w, "-", s)
	}
}

func (p *page) span() string {
	first, last := p.year.Months[0].Start, p.year.Months[len(p.year.Months)-1].Start
	if len(p.year.Months) == 1 {
		return first.Format("January 2006")
	}
	return first.Format("January 2006") + " to " + last.Format("January 2006")
}

// ProgressOn gives a progress bar when w is a terminal. The part done is 0 to 1.
func ProgressOn(w io.Writer, doing string) (progress func(done float64), end func()) {
	f, ok := w.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return nil, func() {}
	}
	const steps = 365
	bar := progressbar.NewOptions(steps, progressbar.OptionSetWriter(w), progressbar.OptionSetDescription(doing),
		progressbar.OptionSetPredictTime(true), progressbar.OptionClearOnFinish())
	// What goes wrong with drawing a bar is no reason to stop a simulation.
	return func(done float64) { _ = bar.Set(int(done * steps)) }, func() { _ = bar.Finish() }
}
