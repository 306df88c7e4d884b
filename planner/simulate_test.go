package planner

import (
	"bytes"
	"context"
	"encoding/csv"
	"flag"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/planner/paper/papertest"
	"sunstoker/sim/weather"
)

var update = flag.Bool("update", false, "write the golden files anew")

const winterSite = "../deploy/sites/house-with-winter.toml"

// golden compares with a file in testdata.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	papertest.Kept(t, filepath.Join("testdata", name), string(got), *update)
}

// inventedYear is two months of round figures, so that the golden files hang on
// neither simulator nor processor.
func inventedYear(zone *time.Location) *Year {
	february := Month{
		Start: time.Date(2026, 2, 1, 0, 0, 0, 0, zone), SunOnCollectorsKWh: 503.5, FromSunKWh: 150, FromMeterKWh: 50,
		PumpKWh: 3.25, TankLossKWh: 40, LoopLossKWh: 15.5, DrawnKWh: 160, AskedKWh: 165, ShortKWh: 5,
		Draws: 800, ShortDraws: 40, PumpHours: 131.94, HeaterHours: 25, PumpStarts: 400, HeaterStarts: 25, MeanTankTopC: 48,
	}
	march := february
	march.Start, march.FromSunKWh, march.FromMeterKWh, march.ShortDraws = nextMonth(february.Start), 1250, -0.0001, 12
	march.StagnationHours, march.TankLossKWh, march.LineLossKWh, march.MoreInTanksKWh = 30, 900, 60, 130
	return &Year{Months: []Month{february, march}, UnexplainedKWh: 1e-9, HottestTankC: 71, HottestCollectorC: 155}
}

func TestTableAndCSV(t *testing.T) {
	r, err := NewRun(exampleSite(t, "house-with-winter"), RunOptions{Weather: weather.NorthItaly(), Start: newYear, Months: 2})
	if err != nil {
		t.Fatal(err)
	}
	p := page{site: r.site, run: r, year: inventedYear(r.site.Zone), weather: YearOfWeather{Words: "invented", Remark: "From nowhere."}}
	p.standouts = standouts(r, p.year)
	var table, months bytes.Buffer
	p.tell(&table)
	golden(t, "two-months.txt", table.Bytes())
	for _, line := range strings.Split(table.String(), "\n") {
		if len(line) > 80 && (strings.HasPrefix(line, "Feb") || strings.Trim(line, "-") == "" || strings.Contains(line, "   ")) {
			t.Errorf("a line of the table is %d columns long: %s", len(line), line)
		}
	}
	if err := writeCSV(&months, p.year); err != nil {
		t.Fatal(err)
	}
	golden(t, "two-months.csv", months.Bytes())
}

// TestBadYearIsNotPraised: a tripped cut-out gives 100 % solar share and cold
// water. The texts say so and praise no such month.
func TestBadYearIsNotPraised(t *testing.T) {
	r, err := NewRun(exampleSite(t, "house-with-winter"), RunOptions{Weather: weather.NorthItaly(), Start: newYear, Months: 2})
	if err != nil {
		t.Fatal(err)
	}
	y := inventedYear(r.site.Zone)
	at := time.Date(2026, 3, 3, 14, 5, 0, 0, r.site.Zone)
	y.Months[1].ShortDraws, y.Months[1].ShortKWh, y.Months[1].CutOutHours = 300, 140, 680
	y.Trips = []Trip{{System: 0, At: at}}
	y.Reported = []Reported{
		{Kind: control.FoundTankTooHot, For: 90 * time.Minute, Times: 1, First: at.Add(-time.Hour)},
		{Kind: control.FoundStagnation, For: 30 * time.Hour, Times: 6, First: at.Add(-2 * time.Hour)},
	}
	p, err := newPage(r, YearOfWeather{Source: weather.NorthItaly(), Words: "invented"})
	if err != nil {
		t.Fatal(err)
	}
	p.year, p.standouts, p.faults = y, standouts(r, y), []string{"heater relay welded, from 1 March 00:00 on"}
	var told bytes.Buffer
	p.tell(&told)
	golden(t, "bad-months.txt", told.Bytes())
	var html bytes.Buffer
	if err := p.writeHTML(&html); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"nobody resets it", "(100)", "The tank is hotter than its limit allows", "heater relay welded", "in brackets"} {
		if !strings.Contains(told.String(), want) || !strings.Contains(html.String(), want) {
			t.Errorf("%q is not told, or not on the page", want)
		}
	}
	for _, unwanted := range []string{"most in March", "nearly all of the work"} {
		if strings.Contains(told.String(), unwanted) {
			t.Errorf("a month of cold water is praised: %q", unwanted)
		}
	}
}

// TestFaultsTellTheirDates: a heater that cannot be stopped opens its cut-out, and
// all of it is told with its time.
func TestFaultsTellTheirDates(t *testing.T) {
	t.Parallel()
	o := SimulateOptions{
		SiteFile: winterSite, Weather: "north-italy", Start: "2026-06-01", Step: LongestStep, Seed: 1, Months: 2,
		Faults: []string{"heater thermostat welded at 10d", "heater relay welded at 10d for 1d12h"},
	}
	var out bytes.Buffer
	if err := Simulate(context.Background(), o, &out, &out); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"Fault: heater thermostat welded at 10d: from 11 June 2026 00:00 on, for good.",
		"Fault: heater relay welded at 10d for 1d12h: from 11 June 2026 00:00 to 12 June 2026 12:00.",
		`The cut-out of the heater of system "roof" opened on 11 June 2026 at `,
		"nobody resets it: the heater was dead for 5",
		"The tank is hotter than its limit allows: once, for",
		"first on 11 June ",
	} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("%q is not told in\n%s", want, out.String())
		}
	}
}

// TestColdestNightIsUsedOrRefusedInWords: silence would leave a reader with a
// year that is not the one of the site file.
func TestColdestNightIsUsedOrRefusedInWords(t *testing.T) {
	s := *exampleSite(t, "highland-house")
	for _, c := range []struct {
		coldestC float64
		used     bool
	}{{-2, true}, {9, true}, {14, false}} {
		s.ColdestC = c.coldestC
		w, err := generatedYear(&s, newYear, 1)
		if err != nil {
			t.Fatal(err)
		}
		coldestC := math.Inf(1)
		for at := range 366 * 48 {
			coldestC = min(coldestC, w.Source.At(newYear.Add(time.Duration(at)*30*time.Minute)).AirC)
		}
		told := strings.Contains(w.Remark, text("coldest night of %g °C is not used", c.coldestC))
		if used := math.Abs(coldestC-c.coldestC) < 0.5; used != c.used || told == c.used {
			t.Errorf("%g °C asked, %.1f °C generated, remark %q", c.coldestC, coldestC, w.Remark)
		}
	}
}

// TestSimulateTells runs two months and looks at all that is told of them.
func TestSimulateTells(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	o := SimulateOptions{
		SiteFile: winterSite, Weather: "north-italy", Start: "2026-02-01", Step: 20 * time.Second, Seed: 1, Months: 2,
		CSV: filepath.Join(folder, "months.csv"), Report: filepath.Join(folder, "year.html"),
	}
	var out, progress bytes.Buffer
	if err := Simulate(context.Background(), o, &out, &progress); err != nil {
		t.Fatal(err)
	}
	if progress.Len() > 0 {
		t.Errorf("progress is drawn where there is no terminal: %q", progress.String())
	}
	for _, want := range []string{"House with a winter", "45 N 8 E", "306 km away", "Feb 2026", "together", "closes within", "What stands out\n- The sun brought", "Advice on the site file"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("%q is not told in\n%s", want, out.String())
		}
	}
	checkCSV(t, o.CSV)
	checkReport(t, o.Report)
	left, err := os.ReadDir(folder)
	if err != nil || len(left) != 2 {
		t.Errorf("%d files are left in the folder, want 2 (error %v)", len(left), err)
	}
}

// checkCSV looks at the shape of a CSV file and at the heat balance in it.
func checkCSV(t *testing.T, path string) {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) != 3 {
		t.Fatalf("%d rows, error %v", len(rows), err)
	}
	heat := map[string]float64{}
	for i, name := range rows[0] {
		if i > 0 {
			if heat[name], err = strconv.ParseFloat(rows[1][i], 64); err != nil {
				t.Error(err)
			}
		}
	}
	// The loop's pipes lose before the heat reaches the tank.
	in := heat["heat_from_sun_kWh"] + heat["heat_from_meter_kWh"]
	out := heat["drawn_kWh"] + heat["lost_by_tank_and_hot_water_line_kWh"] + heat["let_out_by_relief_valve_kWh"] + heat["more_stored_in_tank_and_hot_water_line_kWh"]
	if rows[1][0] != "2026-02" || in <= 0 || heat["drawn_kWh"] > in || math.Abs(in-out) > 0.001*in {
		t.Errorf("the month does not add up: %v", rows[1])
	}
}

// checkReport looks at what a report must have, and must not.
func checkReport(t *testing.T, path string) {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	text := string(data)
	for _, want := range []string{"<svg", "A sunny week", "A cloudy week", "data:image/png", "Cautions", "solar share", "Scalding", "What the models leave out", "45 N 8 E"} {
		if !strings.Contains(text, want) {
			t.Errorf("the report has no %q", want)
		}
	}
	for _, unwanted := range []string{"<script", "http://", "https://", "NaN", "+Inf", "ZgotmplZ", "%!"} {
		if strings.Contains(text, unwanted) {
			t.Errorf("the report holds %q", unwanted)
		}
	}
	if got := strings.Count(text, "<svg"); got != 5 {
		t.Errorf("%d pictures, want the months, the tank and three weeks", got)
	}
	const mostBytes = 1 << 20
	if len(data) > mostBytes {
		t.Errorf("the report has %d bytes", len(data))
	}
}

func TestSimulateSaysWhatToDo(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	write := func(name, content string) string {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	garbage := write("garbage.csv", "\x00\xff not weather\n1,2,3\n")
	short := write("short.csv", "time_utc,ghi_W_m2,dni_W_m2,dhi_W_m2,air_temperature_degC,wind_speed_m_s\n2001-01-01T00:00:00Z,0,0,0,2.8,2.6\n")
	epw := write("broken.epw", "LOCATION,here\n")
	hidden := write("weather.txt", "LOCATION,Somewhere,-,-,-,1,95,0,0,0\n")
	occupied := filepath.Join(folder, "occupied")
	if err := os.MkdirAll(filepath.Join(occupied, "by something"), 0o755); err != nil {
		t.Fatal(err)
	}
	notPacked := write("weather.csv.gz", "plain")
	for _, c := range []struct {
		name   string
		change func(*SimulateOptions)
		says   []string
	}{
		{"missing site", func(o *SimulateOptions) { o.SiteFile = "nowhere.toml" }, []string{"nowhere.toml"}},
		{"missing weather", func(o *SimulateOptions) { o.Weather = "nowhere.csv" }, []string{"nowhere.csv", "north-italy", "leave it out"}},
		{"weather that is a folder", func(o *SimulateOptions) { o.Weather = folder }, []string{folder}},
		{"garbage weather", func(o *SimulateOptions) { o.Weather = garbage }, []string{"line 1", "time_utc,ghi_W_m2"}},
		{"weather of an hour", func(o *SimulateOptions) { o.Weather = short }, []string{"1 hours", "8760"}},
		{"broken EPW", func(o *SimulateOptions) { o.Weather = epw }, []string{"line 1", "LOCATION"}},
		{"EPW under another name", func(o *SimulateOptions) { o.Weather = hidden }, []string{"line 1", "latitude"}},
		{"not packed", func(o *SimulateOptions) { o.Weather = notPacked }, []string{"not a gzip file"}},
		{"step too long", func(o *SimulateOptions) { o.Step = time.Hour }, []string{"1h0m0s", "1s to 30s"}},
		{"step too short", func(o *SimulateOptions) { o.Step = time.Millisecond }, []string{"1ms", "1s to 30s"}},
		{"start inside a month", func(o *SimulateOptions) { o.Start = "2026-01-02" }, []string{"first day of a month", "2026-01-01"}},
		{"start that is no date", func(o *SimulateOptions) { o.Start = "spring" }, []string{"spring", "2026-01-01"}},
		{"report into nowhere", func(o *SimulateOptions) { o.Report = filepath.Join(folder, "no", "year.html") }, []string{"year.html", "folder that exists"}},
		{"report in the place of a folder", func(o *SimulateOptions) { o.Report = occupied }, []string{"can't write " + occupied, "no ordinary file"}},
		{"fault that is none", func(o *SimulateOptions) { o.Faults = []string{"pmp weak"} }, []string{`--fault "pmp weak"`, "loop and collector: pump"}},
		{"fault after the end", func(o *SimulateOptions) { o.Faults = []string{"pump weak at 31d"} }, []string{`--fault "pump weak at 31d"`, "lasts 31 days"}},
		{"one file by two names", func(o *SimulateOptions) { o.Report, o.CSV = filepath.Join(folder, "x"), folder+"//x" }, []string{"two names"}},
		{"months in the place of a device", func(o *SimulateOptions) { o.CSV = os.DevNull }, []string{"can't write " + os.DevNull, "no ordinary file"}},
		{"one name twice", func(o *SimulateOptions) { o.Report = filepath.Join(folder, "x"); o.CSV = o.Report }, []string{"two names"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			o := SimulateOptions{SiteFile: winterSite, Weather: "north-italy", Months: 1, Step: 10 * time.Second}
			c.change(&o)
			var out bytes.Buffer
			err := Simulate(context.Background(), o, &out, &out)
			if err == nil {
				t.Fatal("no error")
			}
			for _, say := range c.says {
				if !strings.Contains(err.Error(), say) {
					t.Errorf("the error %q does not say %q", err, say)
				}
			}
			if strings.Contains(err.Error(), string(filepath.Separator)+".") {
				t.Errorf("the error names a hidden file: %v", err)
			}
			if out.Len() > 0 && c.name != "report in the place of a folder" {
				t.Errorf("output beside an error: %q", out.String())
			}
		})
	}
	left, err := filepath.Glob(filepath.Join(folder, ".*"))
	if err != nil || len(left) > 0 {
		t.Errorf("left behind: %v (error %v)", left, err)
	}
}

// TestSimulateCalledOff leaves no half-written file behind.
func TestSimulateCalledOff(t *testing.T) {
	folder := t.TempDir()
	ended, stop := context.WithCancel(context.Background())
	stop()
	var out bytes.Buffer
	err := Simulate(ended, SimulateOptions{SiteFile: winterSite, Weather: "north-italy", Step: 10 * time.Second, CSV: filepath.Join(folder, "x.csv")}, &out, &out)
	left, _ := os.ReadDir(folder)
	if err == nil || len(left) > 0 {
		t.Errorf("error %v, left behind %v", err, left)
	}
}
