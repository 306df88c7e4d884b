package sizing

import (
	"context"
	"flag"
	"io"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/planner"
	"sunstoker/planner/paper/papertest"
	"sunstoker/site"
)

var update = flag.Bool("update", false, "write the expected outputs anew; read the difference before you keep it")

func wishOf(t testing.TB, text string) *site.Wish {
	t.Helper()
	w, err := site.ParseWish("wish.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// starterWith is the starter wish with some of its lines replaced.
func starterWith(t testing.TB, edits ...string) *site.Wish {
	t.Helper()
	text := site.WishStarter()
	for i := 0; i < len(edits); i += 2 {
		if !strings.Contains(text, edits[i]) {
			t.Fatalf("the starter wish has no %q", edits[i])
		}
		text = strings.Replace(text, edits[i], edits[i+1], 1)
	}
	return wishOf(t, text)
}

// TestHouses sizes two invented houses and holds all that is written against what
// was read once: one in hard winters with a pumped loop, one in the highlands of
// the equator with two stores of loop fluid by natural circulation. What is held
// against figures from outside must agree within the tolerance that is printed.
func TestHouses(t *testing.T) {
	if testing.Short() {
		t.Skip("long simulations")
	}
	if raced {
		t.Skip("whole years, each on one goroutine")
	}
	for _, house := range []struct{ name, chosen string }{
		{"winter", "300 l with 6 m² of collectors and a pumped loop"},
		{"highland", "2 x 300 l with 2 x 3 m² of collectors and natural circulation"},
	} {
		t.Run(house.name, func(t *testing.T) {
			t.Parallel()
			wish, err := site.LoadWish("testdata/" + house.name + ".toml")
			if err != nil {
				t.Fatal(err)
			}
			s, err := conduct(context.Background(), wish, Options{Step: planner.LongestStep, Seed: 1}, io.Discard)
			if err != nil {
				t.Fatal(err)
			}
			if got := s.chosen.words(); got != house.chosen {
				t.Errorf("%s is recommended, not %s", got, house.chosen)
			}
			for _, found := range s.chosen.year.Reported {
				if found.Kind == control.FoundNearFreezing {
					t.Error("the plant as proposed tells of frost in its year")
				}
			}
			for _, c := range s.outside() {
				if !c.agrees {
					t.Errorf("a figure from outside does not agree: %s", c.words)
				}
			}
			for ending, write := range map[string]func(io.Writer) error{".txt": s.sheet().Write, ".csv": s.writeCSV, ".html": s.writeHTML, ".site": s.writeSite} {
				golden(t, house.name+ending, write)
			}
			papertest.PrintsOn(t, 2, written(t, s.writeHTML))
			checkSite(t, s)
		})
	}
}

// TestManyOptionsPrintOnTwoSheets: as many as a house usually has, two systems
// with pumps chosen, all prices invented. The figures are made up.
func TestManyOptionsPrintOnTwoSheets(t *testing.T) {
	s := &study{wish: starterWith(t), number: 1, weather: planner.YearOfWeather{Words: "a generated year for the site's latitude and altitude", Remark: strings.Repeat("Nobody has measured this weather. ", 3)}}
	s.dayL = 160
	for i := range 24 {
		f, err := fit(s.wish, option{systems: 2, tankL: 300, modules: 1 + i%3, moduleM2: 2})
		if err != nil {
			t.Fatal(err)
		}
		o := made(0.3+float64(i)/50, 4000+300*float64(i), 9000+100*float64(i), 10)
		o.fitting, o.dayL, o.chart, o.draws, o.cold, o.trips = f, 161, 0.35, 1000, i, i%2
		s.outcomes = append(s.outcomes, o)
	}
	s.picks, s.chosen = choose(s.wish, s.outcomes), s.outcomes[0]
	papertest.PrintsOn(t, 2, written(t, s.writeHTML))
}

// checkSite: the site file is in order, gives no cause for advice, and promises the
// heat of the year.
func checkSite(t *testing.T, s *study) {
	t.Helper()
	made, err := site.Parse("made.toml", []byte(written(t, s.writeSite)))
	if err != nil {
		t.Fatal(err)
	}
	if len(made.Advice) > 0 {
		t.Errorf("advice on the site file: %s", site.Lines(made.Advice))
	}
	promised := 0.0
	for i := range made.Systems {
		for _, kWh := range made.Systems[i].PromisedKWh {
			promised += kWh
		}
	}
	if total := s.chosen.year.Total(); promised < total.FromSunKWh-12 || promised > total.FromSunKWh+12 {
		t.Errorf("%.0f kWh are promised, and the year brought %.0f", promised, total.FromSunKWh)
	}
}

func written(t testing.TB, write func(io.Writer) error) string {
	t.Helper()
	var out strings.Builder
	if err := write(&out); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func golden(t *testing.T, name string, write func(io.Writer) error) {
	t.Helper()
	papertest.Kept(t, filepath.Join("testdata", name), written(t, write), *update)
}

// TestStepHardlyMatters: the solar share of an April with the longest step is that
// with 10 s, to the point that the output promises.
func TestStepHardlyMatters(t *testing.T) {
	if testing.Short() {
		t.Skip("long simulations")
	}
	if raced {
		t.Skip("one goroutine, for long")
	}
	w := starterWith(t, `loop = "either"`, `loop = "pumped"`)
	start := time.Date(2026, time.April, 1, 0, 0, 0, 0, w.House.Zone)
	sky, err := planner.ChooseWeather("north-italy", "", w.House, start, 1)
	if err != nil {
		t.Fatal(err)
	}
	o := option{tankL: 200, modules: 2, moduleM2: 2, systems: 1}
	share := func(step time.Duration) float64 {
		tr := trial{wish: w, sky: sky.Source, start: start, step: step, seed: 1, months: 1}
		out, err := tr.run(context.Background(), []option{o}, io.Discard)
		if err != nil {
			t.Fatal(err)
		}
		return 100 * out[0].share
	}
	if long, short := share(planner.LongestStep), share(10*time.Second); long-short > 1 || short-long > 1 || long < 20 {
		t.Errorf("solar share %.2f %% by %v, %.2f %% by 10 s", long, planner.LongestStep, short)
	}
}

// TestShadeCosts: a roof behind a wall gets less than one in the open.
func TestShadeCosts(t *testing.T) {
	if testing.Short() {
		t.Skip("long simulations")
	}
	if raced {
		t.Skip("one goroutine, for long")
	}
	shares := map[string]float64{}
	for name, w := range map[string]*site.Wish{
		"open":   starterWith(t),
		"walled": starterWith(t, "#horizon = ", `horizon = "40 ° at 180 °" # `),
		"trees":  starterWith(t, "#shade = ", `shade = "50, 50, 50, 50, 50, 50, 50, 50, 50, 50, 50, 50 %" # `),
	} {
		start := time.Date(2026, time.March, 1, 0, 0, 0, 0, w.House.Zone)
		year, err := planner.ChooseWeather("north-italy", "", w.House, start, 1)
		if err != nil {
			t.Fatal(err)
		}
		sky, err := inTheShade(year.Source, &w.Roof)
		if err != nil {
			t.Fatal(err)
		}
		tr := trial{wish: w, sky: sky, start: start, step: planner.LongestStep, seed: 1, months: 1}
		out, err := tr.run(context.Background(), []option{{tankL: 200, modules: 2, moduleM2: 2, systems: 1}}, io.Discard)
		if err != nil {
			t.Fatal(err)
		}
		shares[name] = out[0].share
	}
	if !(shares["walled"] < 0.8*shares["open"]) || !(shares["trees"] < 0.9*shares["open"]) || !(shares["trees"] > 0) {
		t.Errorf("solar shares: %v", shares)
	}
}

func TestCalledOff(t *testing.T) {
	ended, stop := context.WithCancel(context.Background())
	stop()
	_, err := conduct(ended, starterWith(t), Options{Step: planner.LongestStep}, io.Discard)
	if err == nil || !strings.Contains(err.Error(), "called off before all options were through; nothing was written") {
		t.Errorf("called off: %v", err)
	}
}

func TestWhatCannotBeIsRefused(t *testing.T) {
	for want, o := range map[string]Options{
		"give --option 1 to":       {Step: planner.LongestStep, Option: 99},
		"give --step 1s to 30s":    {Step: time.Minute},
		"there is no weather file": {Step: planner.LongestStep, Weather: "nowhere.csv"},
	} {
		if _, err := conduct(context.Background(), starterWith(t), o, io.Discard); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v; want %q", err, want)
		}
	}
	high := starterWith(t, `#height = "5 m"`, `height = "55 m"`)
	if _, err := conduct(context.Background(), high, Options{Step: planner.LongestStep}, io.Discard); err == nil || !strings.Contains(err.Error(), "leaves no room for expansion") {
		t.Errorf("collectors 55 m above the gauge: %v", err)
	}
}

func TestProgressComesTogether(t *testing.T) {
	var told []float64
	one := together(2, func(done float64) { told = append(told, done) })
	a, b := one(0), one(1)
	a(0.5)
	b(1)
	a(1)
	if len(told) != 3 || told[0] != 0.25 || told[1] != 0.75 || told[2] != 1 {
		t.Errorf("told %v", told)
	}
	if together(2, nil)(0) != nil {
		t.Error("a progress that nobody sees is told all the same")
	}
}
