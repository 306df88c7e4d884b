package bench

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"sunstoker/sim"
)

// Served is a plant with what serves it to a daemon.
type Served struct {
	plant  *Plant
	module *Module
	tree   *Tree // nil: none
	speed  float64
	now    func() time.Duration // real time since the start
}

// Limits of how much faster than real time a bench can live. The daemon on it
// keeps its own time.
const (
	slowest = 0.1
	fastest = 100
)

// ServeOptions say how a plant is served.
type ServeOptions struct {
	Modbus string  // address and port
	Tree   string  // folder; empty for none
	Speed  float64 // times real time
}

// NewServed serves a plant in real time, from now on.
func NewServed(plant *Plant, o ServeOptions) (*Served, error) {
	if !(o.Speed >= slowest && o.Speed <= fastest) {
		return nil, fmt.Errorf("a speed of %g is outside of %g to %g times real time", o.Speed, slowest, float64(fastest))
	}
	start := time.Now()
	s := &Served{plant: plant, speed: o.Speed, now: func() time.Duration { return time.Since(start) }}
	var err error
	if s.module, err = Serve(plant, o.Modbus, s.now); err != nil {
		return nil, err
	}
	if o.Tree != "" {
		s.tree = NewTree(plant, o.Tree)
	}
	if err := s.Beat(); err != nil {
		return nil, errors.Join(err, s.Close())
	}
	return s, nil
}

// Beat brings the plant up to the present.
func (s *Served) Beat() error {
	s.plant.Advance(time.Duration(float64(s.now()) * s.speed))
	s.module.Beat()
	if s.tree != nil {
		return s.tree.Beat()
	}
	return nil
}

// Close ends the serving.
func (s *Served) Close() error {
	err := s.module.Close()
	if s.tree != nil {
		err = errors.Join(err, s.tree.Close())
	}
	return err
}

// beat is the time from one look at the plant to the next, in real time.
const beat = 200 * time.Millisecond

// Keep serves until the context ends, obeys the orders of in, and tells on out
// what was done and what the daemon switches.
func (s *Served) Keep(ctx context.Context, in io.Reader, out io.Writer) error {
	typed := make(chan string)
	go func() { // a read that blocks is left behind when the program ends
		for scan := bufio.NewScanner(in); scan.Scan(); {
			select {
			case typed <- scan.Text():
			case <-ctx.Done():
				return
			}
		}
	}()
	shown := make([]float64, len(s.plant.site.Outputs))
	ticker := time.NewTicker(beat)
	defer ticker.Stop()
	for {
		select {
		case <-ctx.Done():
			return nil
		case line := <-typed:
			if err := s.obey(line, out); err != nil {
				return err
			}
		case <-ticker.C:
		}
		if err := s.Beat(); err != nil {
			return err
		}
		if err := s.tellOutputs(shown, out); err != nil {
			return err
		}
	}
}

// obey does what was typed: an order, or a word about the bench itself.
func (s *Served) obey(line string, out io.Writer) error {
	var text string
	switch line = strings.TrimSpace(line); {
	case line == "":
		return nil
	case line == "help":
		text = Help() + "show: readings and outputs\n"
	case line == "show":
		text = s.show()
	default:
		told, err := s.plant.Order(line)
		if err != nil {
			told = err.Error() + "; help lists the orders"
		}
		text = told + "\n"
	}
	_, err := fmt.Fprint(out, s.time(), " ", text)
	return err
}

// time is that of the house.
func (s *Served) time() string {
	return s.plant.Clock().Time.In(s.plant.site.Zone).Format("2006-01-02 15:04:05")
}

func (s *Served) show() string {
	var b strings.Builder
	fmt.Fprintln(&b)
	for i, p := range s.plant.site.Plan.Probes {
		words := "none"
		if v, _ := s.plant.Value(i); v.OK {
			words = p.Place.Unit().Format(v.Value)
		}
		fmt.Fprintf(&b, "  %-28s %s\n", probeWords(s.plant.site, p), words)
	}
	for i, o := range s.plant.site.Plan.Outputs {
		fmt.Fprintf(&b, "  %-28s %s\n", outputWords(s.plant.site, o), onOff(s.plant.Level(i)))
	}
	s.plant.Look(func(h *sim.House) {
		for _, f := range h.ActiveFaults(nil) {
			fmt.Fprintf(&b, "  broken: %s\n", strings.TrimSpace(f.Name+" "+f.Probe))
		}
	})
	return b.String()
}

func onOff(level float64) string {
	if level > 0 {
		return "on"
	}
	return "off"
}

// tellOutputs tells what has been switched since the look before.
func (s *Served) tellOutputs(shown []float64, out io.Writer) error {
	for i, o := range s.plant.site.Plan.Outputs {
		level := s.plant.Level(i)
		if level == shown[i] {
			continue
		}
		shown[i] = level
		if _, err := fmt.Fprintf(out, "%s %s %s\n", s.time(), outputWords(s.plant.site, o), onOff(level)); err != nil {
			return err
		}
	}
	return nil
}
