package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"sunstoker/site"
	"sunstoker/station/bench"
)

type benchCommand struct {
	Site     string         `arg:"" help:"The site file of the house to simulate."`
	Modbus   string         `default:"127.0.0.1:5020" help:"Address and port of the module that serves readings and outputs."`
	Tree     fileName       `placeholder:"FOLDER" help:"Serve the thermometers in this folder too, shaped like the kernel's of its 1-wire parts."`
	Speed    float64        `default:"1" help:"How many times faster than time the house lives, 0.1 to 100; the daemon keeps its own time."`
	Start    string         `placeholder:"2026-06-21T11:00" help:"Civil time of the house at the start; now when not given."`
	Order    []string       `placeholder:"ORDER" help:"An order before the start, such as 'sky overcast', 'air -5 °C' or 'pump weak for 1h'. May be given several times; typed ones follow, 'help' lists them."`
	Map      bool           `help:"Write the map of registers and coils, and end."`
	SiteFile fileName       `placeholder:"NEW.toml" help:"Write the site file for a daemon on this bench to this new file, and end."`
	For      *time.Duration `placeholder:"10m" help:"How long to go on; until Ctrl-C when not given."`
}

// Run serves a simulated plant.
func (c *benchCommand) Run(in *surroundings) (err error) {
	if c.For != nil && *c.For <= 0 {
		return &usageError{fmt.Sprintf("--for: %v is no time to go on for; give more than 0s, such as 10m, or leave it out", *c.For)}
	}
	s, err := site.Load(c.Site)
	if err != nil {
		return err
	}
	switch {
	case c.Map:
		_, err := fmt.Fprint(in.stdout, bench.Map(s))
		return err
	case c.SiteFile != "":
		return c.writeSiteFile(in, s)
	}
	plant, err := c.plant(s)
	if err != nil {
		return err
	}
	served, err := bench.NewServed(plant, bench.ServeOptions{Modbus: c.Modbus, Tree: string(c.Tree), Speed: c.Speed})
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, served.Close()) }()
	fmt.Fprintf(in.stdout, "A simulated plant of %s at %s. Nothing real is switched.\nType an order, or help. Ctrl-C ends it.\n", s.Name, c.Modbus)
	ctx := in.ctx
	if c.For != nil {
		var cancel context.CancelFunc
		ctx, cancel = context.WithTimeout(ctx, *c.For)
		defer cancel()
	}
	return served.Keep(ctx, in.stdin, in.stdout)
}

// plant makes the house with the orders that were given.
func (c *benchCommand) plant(s *site.Site) (*bench.Plant, error) {
	start := time.Now()
	if c.Start != "" {
		const form = "2006-01-02T15:04"
		var err error
		if start, err = time.ParseInLocation(form, c.Start, s.Zone); err != nil {
			return nil, &usageError{fmt.Sprintf("--start: %q is no time; write it as 2026-06-21T11:00", c.Start)}
		}
	}
	plant, err := bench.New(s, bench.Options{Start: start, Sky: bench.Sky{AirC: 15}, Seed: 1})
	if err != nil {
		return nil, err
	}
	for _, words := range c.Order {
		if _, err := plant.Order(words); err != nil {
			return nil, fmt.Errorf("--order %q: %w", words, err)
		}
	}
	return plant, nil
}

func (c *benchCommand) writeSiteFile(in *surroundings, s *site.Site) error {
	text, err := os.ReadFile(c.Site)
	if err != nil {
		return err
	}
	out, err := filepath.Abs(string(c.SiteFile))
	if err != nil {
		return err
	}
	tree := string(c.Tree)
	if tree != "" {
		if tree, err = filepath.Abs(tree); err != nil {
			return err
		}
	}
	text, err = bench.SiteFile(s, text, bench.SiteFileOptions{Modbus: c.Modbus, Tree: tree, StateFolder: filepath.Join(filepath.Dir(out), "bench-state")})
	if err != nil {
		return err
	}
	if err := writeNew(out, text); err != nil {
		return err
	}
	_, err = fmt.Fprintf(in.stdout, "%s is written, for a daemon on this bench.\n", c.SiteFile)
	return err
}

// writeNew writes a file that is not there yet.
func writeNew(path string, text []byte) error {
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return fmt.Errorf("the new file can't be written: %w", err)
	}
	_, err = file.Write(text)
	return errors.Join(err, file.Close())
}
