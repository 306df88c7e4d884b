package physics_test

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"
)

// tableRow is a line of a CSV file in testdata, by the names of its columns.
type tableRow struct {
	t     *testing.T
	where string
	cells map[string]string
}

// readTable reads a CSV file in testdata with one header line.
func readTable(t *testing.T, name string) []tableRow {
	t.Helper()
	file, err := os.Open(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	lines, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	if len(lines) < 2 {
		t.Fatalf("%s holds no rows", name)
	}
	var rows []tableRow
	for i, line := range lines[1:] {
		row := tableRow{t: t, where: fmt.Sprintf("%s line %d", name, i+2), cells: map[string]string{}}
		for j, column := range lines[0] {
			row.cells[column] = line[j]
		}
		rows = append(rows, row)
	}
	return rows
}

func (r tableRow) text(column string) string {
	r.t.Helper()
	cell, ok := r.cells[column]
	if !ok {
		r.t.Fatalf("%s has no column %q", r.where, column)
	}
	return cell
}

func (r tableRow) number(column string) float64 {
	r.t.Helper()
	value, err := strconv.ParseFloat(r.text(column), 64)
	if err != nil {
		r.t.Fatalf("%s: %v", r.where, err)
	}
	return value
}

func (r tableRow) time(column string) time.Time {
	r.t.Helper()
	value, err := time.Parse(time.RFC3339, r.text(column))
	if err != nil {
		r.t.Fatalf("%s: %v", r.where, err)
	}
	return value
}

// near compares with the figure in the named column.
func (r tableRow) near(column string, got, tolerance float64) {
	r.t.Helper()
	within(r.t, r.where+" "+column, got, r.number(column), tolerance)
}

// nearRelative is near with a tolerance as a share of the figure.
func (r tableRow) nearRelative(column string, got, share float64) {
	r.t.Helper()
	r.near(column, got, share*math.Abs(r.number(column)))
}

// readJSON reads a JSON file in testdata.
func readJSON(t *testing.T, name string, into any) {
	t.Helper()
	content, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(content, into); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
}

// within fails unless got is a number within the tolerance of want.
func within(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.9g, want %.9g within %.3g (off by %.3g)", what, got, want, tolerance, got-want)
	}
}
