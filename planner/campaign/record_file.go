package campaign

import (
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strings"
)

// WriteRuns writes what came of every run: a line for each failure, the way in
// which it was switched on and the house, with a verdict for each scene and for
// the long run. A later
// run is held against it.
func WriteRuns(w io.Writer, results []Result) error {
	out := csv.NewWriter(w)
	header := []string{"part", "fails", "switch", "house"}
	for i := range scenes {
		header = append(header, scenes[i].Name)
	}
	for i := range seasons {
		header = append(header, seasons[i].Name)
	}
	rows, at := [][]string{header}, map[string]int{}
	for i := range results {
		r := &results[i]
		key := strings.Join(r.name(), "|")
		if _, ok := at[key]; !ok {
			at[key] = len(rows)
			rows = append(rows, append(r.name(), make([]string, len(header)-4)...))
		}
		rows[at[key]][slices.Index(header, r.Trial.Scene.Name)] = r.Verdict.String()
	}
	return out.WriteAll(rows)
}

// name tells what failed, how and where.
func (res *Result) name() []string {
	return []string{res.Failure.Part, res.Failure.Fails, res.Trial.switches(), res.Trial.House.Name}
}

// switches names the faults of a trial so that no two trials of a failure in one
// scene have the same name.
func (t *Trial) switches() string {
	var names []string
	for _, s := range t.Faults {
		names = append(names, s.String())
	}
	return strings.Join(names, " + ")
}

// String names the switch with its place and amount.
func (s Switch) String() string {
	text := s.Kind
	if s.Person != Nothing {
		text = s.Person.String()
	}
	if s.Place != "" {
		text += " at " + s.Place
	}
	if s.Amount != nil {
		text += fmt.Sprintf(" (%g)", *s.Amount)
	}
	for _, w := range s.With {
		text += ", " + w.String()
	}
	return text
}
