package rivals

import (
	"flag"
	"os"
	"slices"
	"strings"
	"testing"
)

var (
	table  = flag.Bool("table", false, "run the bench of controllers and print its table; half an hour")
	points = flag.String("points", "", "with -table: a CSV file for every run of every rival")
	tuning = flag.Bool("tuning", false, "with -table: the cases for tuning, instead of those that are reported")
	seeds  = flag.Int("seeds", 1, "with -table: so many years of each house, with other weather and other draws; the time goes with it")
	odds   = flag.Int("odds", 0, "with -table: so many other years of the same people tell the odds of draws to a latest start that knows all else, 40 say; takes ten minutes a case")
	told   = flag.Bool("told", false, "with -table: the controller's own rule once more, with a forecast of the light that is always right")
	only   = flag.String("only", "", "with -table: the cases whose names hold this")
)

// TestTable prints the table of the bench: make bench-control.
func TestTable(t *testing.T) {
	if !*table {
		t.Skip("half an hour; make bench-control")
	}
	if *seeds < 1 || *seeds > MostSeeds {
		t.Fatalf("-seeds %d: write 1 to %d", *seeds, MostSeeds)
	}
	all := Report(*seeds)
	if *tuning {
		all = Train(*seeds)
	}
	all = slices.DeleteFunc(all, func(c Case) bool { return !strings.Contains(c.Name(), *only) })
	rows, err := Table(t.Context(), os.Stdout, all, Options{OddsYears: *odds, Foretold: *told})
	if err != nil {
		t.Fatal(err)
	}
	if *points == "" {
		return
	}
	file, err := os.Create(*points)
	if err != nil {
		t.Fatal(err)
	}
	if err := WritePoints(file, rows); err != nil {
		t.Error(err)
	}
	if err := file.Close(); err != nil {
		t.Error(err)
	}
}
