package main

import (
	"errors"
	"fmt"
	"maps"
	"os"
	"slices"

	"sunstoker/station"
)

type offCommand struct {
	Site         string `arg:"" help:"The site file."`
	AfterFailure bool   `help:"For the stop hook of a service: do nothing when the service manager says, by EXIT_CODE and EXIT_STATUS, that the program ended in order, since it has then switched off itself."`
	AllowRoot    bool   `help:"For machines for tests: let the root user drive real outputs."`
}

// Run drives every output of a site off and says for each whether it is. It works with
// a site file that is refused, too; see [station.SwitchOff].
func (c *offCommand) Run(in *surroundings) error {
	if c.AfterFailure && endedInOrder() {
		return nil
	}
	off, err := station.SwitchOff(c.Site, station.BuildOptions{AllowRoot: c.AllowRoot, Log: in.log})
	if err != nil {
		return err
	}
	for _, remark := range off.Remarks {
		fmt.Fprintln(in.stderr, remark)
	}
	var errs []error
	for _, name := range slices.Sorted(maps.Keys(off.Outputs)) {
		wrong := off.Outputs[name]
		if wrong == nil {
			fmt.Fprintf(in.stdout, "%s: off\n", name)
			continue
		}
		errs = append(errs, fmt.Errorf("%s: may still be on, use its isolator: %w", name, wrong))
	}
	return errors.Join(append(errs, off.Rest)...)
}

// endedInOrder tells whether the program of the service whose stop hook this is has
// ended with success, see "Environment Variables Set or Propagated by the Service
// Manager" in systemd.exec(5). A signal is no end in order, whatever its name.
func endedInOrder() bool {
	return os.Getenv("EXIT_CODE") == "exited" && os.Getenv("EXIT_STATUS") == "0"
}
