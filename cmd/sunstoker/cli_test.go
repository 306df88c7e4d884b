package main

import "testing"

func TestEveryCommandDoesSomething(t *testing.T) {
	whole, err := newLine()
	if err != nil {
		t.Fatal(err)
	}
	for c := range whole.All() {
		if _, does := c.Target().(command); does != c.Leaf() {
			t.Errorf("the command %q: has a method Run: %v, stands above others: %v", c.Path(), does, !c.Leaf())
		}
		if c.Help == "" {
			t.Errorf("the command %q is not explained", c.Path())
		}
		for _, v := range append(c.Arguments, c.Flags...) {
			if v.Help == "" {
				t.Errorf("the command %q: %s is not explained", c.Path(), v)
			}
		}
	}
}
