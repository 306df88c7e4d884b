package main

import (
	"testing"

	"github.com/spf13/pflag"
)

func TestEveryCommandDoesSomething(t *testing.T) {
	whole, err := newLine(nil)
	if err != nil {
		t.Fatal(err)
	}
	for c := range whole.All() {
		if _, does := c.Target().(command); does != c.Leaf() {
			t.Errorf("the command %q: has a method Run: %v, stands above others: %v", c.Path(), does, !c.Leaf())
		}
		if c.Short == "" {
			t.Errorf("the command %q is not explained", c.Path())
		}
		for _, a := range c.Arguments {
			if a.Help == "" {
				t.Errorf("the command %q: %s is not explained", c.Path(), a.AsArgument())
			}
		}
		c.LocalFlags().VisitAll(func(f *pflag.Flag) {
			if f.Usage == "" {
				t.Errorf("the command %q: --%s is not explained", c.Path(), f.Name)
			}
		})
	}
}
