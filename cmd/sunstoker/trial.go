package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"

	"sunstoker/station/trial"
)

type trialCommand struct {
	Scripts []string `arg:"" name:"script" help:"Scripts, such as those in deploy/trials, whose page tells how they are written."`
	Daemon  string   `placeholder:"http://127.0.0.1:8017/" help:"Page of a daemon that runs with the site file that the command bench writes; the trial is in real time then. Without it the scripts run in this process, faster than time."`
	Modbus  string   `default:"127.0.0.1:5020" help:"Where that daemon looks for the bench's module."`
	Tree    fileName `placeholder:"FOLDER" help:"Where that daemon looks for 1-wire parts."`
	Hands   fileName `placeholder:"PROGRAM" help:"With --daemon: a program that does what a script orders about the daemon and its board, such as daemon dies or storage full; it gets these words as its arguments."`
	Report  fileName `placeholder:"FILE.xml" help:"Write the results as build servers read them to this file."`
}

// Run runs scripts one after the other; it is an error when an expectation was
// not met.
func (c *trialCommand) Run(in *surroundings) error {
	var scripts []*trial.Script
	for _, file := range c.Scripts {
		s, err := trial.Load(file)
		if err != nil {
			return err
		}
		scripts = append(scripts, s)
	}
	var results []*trial.Result
	failed := 0
	for _, s := range scripts {
		r, err := c.one(in, s)
		if err != nil {
			return err
		}
		if err := trial.WriteLines(in.stdout, r); err != nil {
			return err
		}
		results, failed = append(results, r), failed+r.Failed()
	}
	if c.Report != "" {
		var text bytes.Buffer
		if err := errors.Join(trial.WriteReport(&text, results), os.WriteFile(string(c.Report), text.Bytes(), 0o644)); err != nil {
			return err
		}
	}
	if failed > 0 {
		return fmt.Errorf("%s not met", counted(failed, "expectation"))
	}
	return nil
}

func (c *trialCommand) one(in *surroundings, s *trial.Script) (*trial.Result, error) {
	if c.Daemon == "" {
		return trial.Virtual(in.ctx, s, nil)
	}
	return trial.Live(in.ctx, s, trial.LiveOptions{Page: c.Daemon, Modbus: c.Modbus, Tree: string(c.Tree), Hands: string(c.Hands)})
}
