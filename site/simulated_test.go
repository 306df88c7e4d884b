package site_test

import (
	"fmt"
	"os"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/sim"
	"sunstoker/sim/weather"
	"sunstoker/site"
	"sunstoker/site/twin"
)

// deaf are the keys that rightly change nothing in a simulated house, or cannot
// be changed by themselves.
var deaf = map[string]string{
	"system.name":                           "it is what people call it",
	"system.loop":                           "asks for other keys beside it; TestEveryKindOfPlantHasATwin has both kinds",
	"system.fluid":                          "asks for other keys beside it, and antifreeze counts",
	"system.draw_share":                     "asks for a share of every system; TestDrawSharesReachTheHouse",
	"system.probe.circulation_button.noise": "a switch does not scatter",
}

// TestEveryKeyOfTheSimulationCounts: whatever a site file says of plant, people,
// surroundings and probes is felt in the simulated house, in at least one kind
// of house and one of the stories. A key that is read and then passed over fails.
func TestEveryKeyOfTheSimulationCounts(t *testing.T) {
	houses := map[string]*base{}
	for name, text := range basesOf(t) {
		houses[name] = &base{text: text, lives: map[story]string{}}
	}
	for _, row := range site.KeysForSimulation() {
		if deaf[row.Table+"."+row.Name] == "" && !counts(t, row, houses) {
			t.Errorf("%s.%s: no value changes the simulated house", row.Table, row.Name)
		}
	}
}

// base is a house before a key is changed.
type base struct {
	text  string
	lives map[story]string // as far as they were asked for
}

// story is what a house goes through in a day.
type story struct {
	start string // of the day, at 5 in the morning
	hot   bool   // the tank nearly boils, the heater is on and the pump is off
	bare  bool   // and the parts that would save them are broken
}

// The second day is for holidays, the third for guests; the order is that in
// which a change shows soonest.
var stories = []story{{start: "2026-08-20"}, {start: "2026-08-05"}, {start: "2026-12-24"}, {start: "2026-08-20", hot: true}, {start: "2026-08-20", hot: true, bare: true}}

// counts tells whether any line of the key changes the life of any house.
func counts(t *testing.T, row site.KeyOfTable, houses map[string]*base) bool {
	for _, line := range row.Lines {
		for _, b := range houses {
			changed, err := site.Parse("changed.toml", []byte(put(b.text, row.Table, row.Name, line)))
			if err != nil {
				continue // not in this house
			}
			for _, tale := range stories {
				before, after := configOf(t, b.site(t), tale), configOf(t, changed, tale)
				if reflect.DeepEqual(before, after) {
					continue
				}
				if b.lives[tale] == "" {
					b.lives[tale] = live(t, before, tale)
				}
				if live(t, after, tale) != b.lives[tale] {
					return true
				}
			}
		}
	}
	return false
}

func (b *base) site(t *testing.T) *site.Site {
	t.Helper()
	s, err := site.Parse("base.toml", []byte(b.text))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// wires are the lines that say what a probe or an output hangs on.
var wires = regexp.MustCompile(`kind = "(one-wire|relay)"\n((identity|chip|line) = .*\n)+`)

// example is an example site on simulated wires.
func example(t *testing.T, name string) string {
	t.Helper()
	data, err := os.ReadFile("../deploy/sites/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return wires.ReplaceAllString(string(data), "kind = \"simulated\"\n")
}

// basesOf are houses of every kind, with a probe at every place.
func basesOf(t *testing.T) map[string]string {
	t.Helper()
	pumped := example(t, "house-with-winter.toml")
	for _, place := range control.Places() {
		header := "[system.probe." + place.String() + "]"
		if place.OfHouse() || strings.Contains(pumped, header) {
			continue
		}
		pumped += header + "\nkind = \"simulated\"\n"
	}
	pumped += "[system.hot_water_line]\nlength = \"15 m\"\nbore = \"16 mm\"\n"
	store := strings.Replace(pumped, `store = "drinking water"`, `store = "loop fluid"`, 1)
	natural := example(t, "highland-house.toml")
	return map[string]string{
		"pumped": pumped, "store": store, "natural": natural,
		"pipes":      pumped + "[system.plumbing]\npipe_length = \"20 m\"\n[system.tank_fittings]\ncoil_bottom = \"10 %\"\ncoil_top = \"50 %\"\n",
		"ring":       pumped + "circulation = true\n",
		"dump":       pumped + "[system.output.heat_dump]\nkind = \"simulated\"\n",
		"light flap": natural + "[system.plumbing]\ncheck_valve_opens = \"0.1 mbar\"\n",
		"two":        twice(pumped),
	}
}

// twice is a house with a second system like its first.
func twice(text string) string {
	at := strings.Index(text, "[[system]]")
	return text + strings.Replace(text[at:], `"roof"`, `"annexe"`, 1)
}

// put writes a line into a table of a site file, in place of the key's own line
// if it has one; into the first system's.
func put(text, table, name, line string) string {
	header := "[" + table + "]"
	if table == "system" {
		header = "[[system]]"
	}
	before, rest, found := strings.Cut(text, header+"\n")
	if !found {
		// A table of a system goes before the next system, one of the house before
		// the first.
		at := len(text)
		systems := strings.Index(text, "[[system]]")
		if !strings.HasPrefix(table, "system") {
			at = systems
		} else if next := strings.Index(text[systems+1:], "[[system]]"); next >= 0 {
			at = systems + 1 + next
		}
		return text[:at] + header + "\n" + line + "\n" + text[at:]
	}
	lines := strings.Split(rest, "\n")
	for i, l := range lines {
		if strings.HasPrefix(l, "[") {
			break
		}
		if strings.HasPrefix(l, name+" = ") {
			lines = append(lines[:i], lines[i+1:]...)
			break
		}
	}
	return before + header + "\n" + line + "\n" + strings.Join(lines, "\n")
}

// italy is read once for all houses, so that houses can be compared.
var italy = weather.NorthItaly()

func configOf(t *testing.T, s *site.Site, tale story) sim.Config {
	t.Helper()
	day, err := time.Parse("2006-01-02", tale.start)
	if err != nil {
		t.Fatal(err)
	}
	c, err := twin.Config(s, twin.Options{Weather: italy, Start: day.Add(5 * time.Hour), Step: time.Minute})
	if err != nil {
		t.Fatal(err)
	}
	breaks := func(system int, names ...string) {
		for _, k := range sim.FaultKinds() {
			if slices.Contains(names, k.Name) && k.HappensTo(&c.Systems[system].Plant) {
				c.Faults = append(c.Faults, sim.Fault{Name: k.Name, System: system})
			}
		}
	}
	for i := range c.Systems {
		c.Systems[i].Plant.StartC = 45
		if tale.hot {
			c.Systems[i].Plant.StartC = 88
			breaks(i, "pump relay open")
		}
		if tale.bare {
			breaks(i, "heater thermostat welded", "heater cut-out bridged", "expansion vessel lost its cushion")
		}
	}
	return c
}

// live runs a house through a day and tells all that can be seen of it.
func live(t *testing.T, c sim.Config, tale story) string {
	t.Helper()
	h, err := sim.New(c)
	if err != nil {
		t.Fatal(err)
	}
	sums := make([]float64, len(c.Probes))
	for tick := 1.0; h.Elapsed() < 17*time.Hour; tick++ {
		for i := range c.Systems {
			pump := 0.0
			if h.Truth(i).CollectorC > h.TankC(i, 0.2)+6 {
				pump = 1
			}
			h.SetPump(i, pump)
			h.SetHeater(i, tale.hot || h.TankC(i, 0.9) < 60)
			h.SetCirculation(i, true)
			h.SetHeatDump(i, h.TankC(i, 0.9) > 55)
		}
		h.Advance(h.Elapsed() + time.Minute)
		for i, p := range c.Probes {
			probe, err := h.Probe(p.Name)
			if err != nil {
				t.Fatal(err)
			}
			value, _ := probe.Read(h.Elapsed())
			sums[i] += tick * value
		}
	}
	seen := fmt.Sprint(sums, h.Usage())
	for i := range c.Systems {
		seen += fmt.Sprint(h.Truth(i), h.Book(i), h.Tally(i))
	}
	return seen
}
