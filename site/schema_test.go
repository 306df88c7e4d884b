package site

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"sunstoker/control"
)

// everyKey visits each row of the schema.
func everyKey(tab *table, name string, visit func(tab *table, name string, k *key)) {
	for i := range tab.keys {
		visit(tab, join(name, tab.keys[i].name), &tab.keys[i])
	}
	for _, sub := range tab.tables {
		everyKey(sub, join(name, sub.name), visit)
	}
}

func newTarget() target {
	settings := control.DefaultSettings()
	return target{site: &Site{}, system: &System{}, settings: &settings, probe: &ProbeWiring{}, output: &OutputWiring{}}
}

func TestEveryRowIsWhole(t *testing.T) {
	seen := 0
	everyKey(&schema, "", func(tab *table, name string, k *key) {
		seen++
		if !strings.HasSuffix(k.meaning, ".") {
			t.Errorf("%s: the meaning is no sentence: %q", name, k.meaning)
		}
		if k.required && (k.def != "" || k.when != "") {
			t.Errorf("%s: a key that must be written has a default or a condition", name)
		}
		if (k.kind == quantity || k.kind == wholeNumber) && !(k.min < k.max) {
			t.Errorf("%s: the limits are %g to %g", name, k.min, k.max)
		}
		if k.def == "" && k.example == "" {
			t.Errorf("%s: neither default nor example", name)
		}
		target := newTarget()
		for _, text := range []string{k.def, k.example} {
			if text == "" {
				continue
			}
			if k.kind == yesNo || k.kind == wholeNumber {
				(&key{name: k.name, kind: k.kind, min: k.min, max: k.max, def: text, set: k.set}).readDefault(&target)
			} else if what, do := k.readText(numbered(text, 1), &target); what != "" {
				t.Errorf("%s: its own example is wrong: %s; %s", name, what, do)
			}
		}
	})
	if seen < 60 {
		t.Errorf("only %d keys were seen", seen)
	}
}

// TestLimitsHold tries the ends of every range and a step outside of them.
func TestLimitsHold(t *testing.T) {
	everyKey(&schema, "", func(_ *table, name string, k *key) {
		if k.kind != quantity {
			return
		}
		step := math.Max(1e-3, 1e-6*(k.max-k.min))
		for _, c := range []struct {
			value float64
			fits  bool
		}{{k.min, true}, {k.max, true}, {(k.min + k.max) / 2, true}, {k.min - step, false}, {k.max + step, false}, {1e300, false}} {
			target := newTarget()
			what, do := k.read(k.unit.Format(c.value), &target)
			if (what == "") != c.fits {
				t.Errorf("%s = %s: fits should be %v, but %q", name, k.unit.Format(c.value), c.fits, what)
			}
			if what != "" && !strings.Contains(do, k.unit.Format(k.min)) {
				t.Errorf("%s: %q does not name the limits", name, do)
			}
		}
	})
}

// TestQuantitiesReachTheirField gives each quantity an odd value and looks for
// it in the site: each must show, and no two in the same field.
func TestQuantitiesReachTheirField(t *testing.T) {
	dump := func(t target) string { return fmt.Sprintf("%+v %+v %+v %+v", *t.site, *t.system, *t.probe, *t.output) }
	type row struct {
		name string
		key  *key // the tables of several probes and outputs share their rows, or have copies of them
	}
	seen := map[string]row{dump(newTarget()): {name: "no key"}}
	everyKey(&schema, "", func(_ *table, name string, k *key) {
		if k.kind != quantity {
			return
		}
		target := newTarget()
		k.set(&target, value{number: 123456})
		if other, taken := seen[dump(target)]; taken && other.key.meaning != k.meaning {
			t.Errorf("%s writes where %s does", name, other.name)
		}
		seen[dump(target)] = row{name, k}
	})
}

func TestNearest(t *testing.T) {
	names := []string{"latitude", "longitude", "altitude", "tank", "loss", "start_difference"}
	for wrong, want := range map[string]string{
		"lattitude":                     "latitude",
		"altidude":                      "altitude",
		"Tank":                          "tank",
		"tnak":                          "tank",
		"start-difference":              "start_difference",
		"los":                           "loss",
		"boiler":                        "",
		"":                              "",
		"x":                             "",
		strings.Repeat("latitude", 100): "",
	} {
		if got := Nearest(wrong, names); got != want {
			t.Errorf("nearest to %q: got %q, want %q", wrong, got, want)
		}
	}
}
