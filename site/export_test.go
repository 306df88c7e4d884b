package site

import (
	"fmt"
	"strings"
)

// KeyOfTable is a row of the schema for tests outside of the package: its table,
// its name, and lines that give it different values.
type KeyOfTable struct {
	Table, Name string
	Lines       []string
}

// KeysForSimulation lists the keys of the tables that describe the plant, its
// people and its surroundings, and what a simulation wants to know of probes.
func KeysForSimulation() (rows []KeyOfTable) {
	everyKey(&schema, "", func(tab *table, name string, k *key) {
		path := strings.TrimSuffix(strings.TrimSuffix(name, k.name), ".")
		top, below, _ := strings.Cut(path, ".")
		ofProbe := top == "probe" || strings.HasPrefix(below, "probe.")
		switch {
		case ofProbe && k.name != "lag" && k.name != "noise", k.name == "promised_heat", path == "system.serviced":
		case top == "household", top == "surroundings", ofProbe,
			top == "system" && below != "settings" && !strings.HasPrefix(below, "output."):
			rows = append(rows, KeyOfTable{Table: path, Name: k.name, Lines: k.lines()})
		}
	})
	return rows
}

// lines are assignments of values that lie in the key's limits.
func (k *key) lines() (lines []string) {
	var texts []string
	switch k.kind {
	case quantity:
		for _, share := range []float64{0, 0.02, 0.1, 0.3, 0.5, 0.7, 0.9, 1} {
			texts = append(texts, k.unit.Format(k.min+share*(k.max-k.min)))
		}
		texts = append(texts, k.def, k.example)
	case wholeNumber:
		texts = []string{fmt.Sprint(int(k.min)), fmt.Sprint(int(k.max))}
	case choice:
		texts = k.choices
	case yesNo:
		texts = []string{"true", "false"}
	default:
		texts = []string{k.example}
	}
	for _, text := range texts {
		if text != "" {
			lines = append(lines, k.name+" = "+k.literal(numbered(text, 1)))
		}
	}
	return lines
}
