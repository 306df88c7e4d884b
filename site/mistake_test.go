package site

import "testing"

// TestRefusal: what is wrong with several systems alike is said once.
func TestRefusal(t *testing.T) {
	list := []Mistake{{What: "the heater would stop first", Do: "set it higher"}, {What: "the tank is cold", Do: "wait"}, {What: "the heater would stop first", Do: "set it higher"}}
	if got, want := Refusal(&Mistakes{list}), "the heater would stop first; set it higher. the tank is cold; wait"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
