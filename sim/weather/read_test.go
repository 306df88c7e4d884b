package weather

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

var torino = Place{LatitudeDeg: 45, LongitudeDeg: 8, AltitudeM: 250}

// corrupt returns the lines of the built-in year with one change.
func corrupt(t *testing.T, change func(lines []string) []string) string {
	t.Helper()
	lines := strings.Split(strings.TrimRight(string(unpack(t, northItalyFile)), "\n"), "\n")
	return strings.Join(change(lines), "\n") + "\n"
}

// field replaces one field (counted from 1) of a line (counted from 1).
func field(line, column int, text string) func([]string) []string {
	return func(lines []string) []string {
		fields := strings.Split(lines[line-1], ",")
		fields[column-1] = text
		lines[line-1] = strings.Join(fields, ",")
		return lines
	}
}

func TestBadCSVNamesFileLineAndColumn(t *testing.T) {
	for name, c := range map[string]struct {
		change func([]string) []string
		want   string
	}{
		"truncated":       {func(l []string) []string { return l[:5000] }, "year.csv, line 5001: the file ends after 4999 hours"},
		"empty":           {func(l []string) []string { return nil }, "line 1: the first line"},
		"header":          {func(l []string) []string { l[0] = "time,ghi"; return l }, "line 1: the first line"},
		"negative":        {field(100, 2, "-4"), "line 100, column 2: global horizontal irradiance is -4"},
		"not a number":    {field(101, 3, "NaN"), `line 101, column 3: beam normal irradiance is "NaN"`},
		"infinite":        {field(102, 4, "+Inf"), "line 102, column 4: diffuse"},
		"words":           {field(103, 5, "warm"), "line 103, column 5: air temperature"},
		"far too cold":    {field(104, 5, "-273"), "line 104, column 5: air temperature is -273"},
		"gale":            {field(105, 6, "500"), "line 105, column 6: wind speed"},
		"missing column":  {func(l []string) []string { l[199] = "2001-01-09T07:00:00Z,0,0,0,1"; return l }, "line 200: 5 columns, want 6"},
		"extra column":    {func(l []string) []string { l[200] += ",7"; return l }, "line 201: 7 columns, want 6"},
		"garbled time":    {field(300, 1, "yesterday"), "line 300, column 1: time is"},
		"hour left out":   {func(l []string) []string { return append(l[:400], l[401:]...) }, "line 401, column 1: time is"},
		"late beginning":  {func(l []string) []string { return append(l[:1], l[2:]...) }, "line 2, column 1: the file begins"},
		"binary garbage":  {func(l []string) []string { l[10] = "\x00\xff\xfe"; return l }, "line 11: 1 columns"},
		"another year":    {func(l []string) []string { return append(l, "2002-01-01T00:00:00Z,0,0,0,1,1") }, "line 8762, column 1: more than 8760 hours"},
		"blank line":      {func(l []string) []string { l[20] = ""; return l }, "line 21: this line is empty and others follow"},
		"one endless row": {func(l []string) []string { l[30] = strings.Repeat("9", 70000); return l }, "line 31: cannot read on: this line has more than 65536"},
	} {
		_, err := ReadCSV(strings.NewReader(corrupt(t, c.change)), "year.csv", torino, Stamps{})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: want %q, got %v", name, c.want, err)
		}
	}
}

func TestLeapYearFileIsRefused(t *testing.T) {
	var b strings.Builder
	b.WriteString(csvHeader + "\n")
	for at := time.Date(2024, 1, 1, 0, 0, 0, 0, time.UTC); at.Year() == 2024; at = at.Add(time.Hour) {
		fmt.Fprintf(&b, "%s,0,0,0,5,1\n", at.Format(time.RFC3339))
	}
	_, err := ReadCSV(strings.NewReader(b.String()), "leap.csv", torino, Stamps{})
	if want := "leap.csv, line 1418, column 1: 29 February"; err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("want %q, got %v", want, err)
	}
}

func TestReadCSVFilePackedAndPlain(t *testing.T) {
	folder := t.TempDir()
	for name, content := range map[string][]byte{"y.csv.gz": northItalyFile, "y.csv": unpack(t, northItalyFile)} {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, content, 0o600); err != nil {
			t.Fatal(err)
		}
		if _, err := ReadCSVFile(path, torino, Stamps{}); err != nil {
			t.Error(err)
		}
	}
	broken := filepath.Join(folder, "cut.csv.gz")
	if err := os.WriteFile(broken, northItalyFile[:2000], 0o600); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{broken, filepath.Join(folder, "absent.csv")} {
		if _, err := ReadCSVFile(path, torino, Stamps{}); err == nil || !strings.Contains(err.Error(), filepath.Base(path)) {
			t.Errorf("want an error that names %s, got %v", path, err)
		}
	}
}

// A file of a real leap year passes once 29 February is out.
func TestLeapYearWithoutItsLeapDayIsRead(t *testing.T) {
	text := corrupt(t, func(l []string) []string {
		for i := range l {
			l[i] = strings.Replace(l[i], "2001-", "2024-", 1)
		}
		return l
	})
	w, err := ReadCSV(strings.NewReader(text), "leap.csv", torino, NorthItaly().stamps)
	if err != nil {
		t.Fatal(err)
	}
	if at := time.Date(2024, 3, 1, 12, 0, 0, 0, time.UTC); w.At(at) != NorthItaly().At(at) {
		t.Error("1 March is shifted")
	}
}

// What other programs leave in a file makes no difference.
func TestFilesOfOtherProgramsMeanTheSame(t *testing.T) {
	plain := string(unpack(t, northItalyFile))
	quoted := strings.Split(strings.TrimSpace(plain), "\n")
	for i := range quoted {
		quoted[i] = `"` + strings.ReplaceAll(quoted[i], ",", `","`) + `"`
	}
	at := time.Date(2023, 6, 3, 9, 10, 0, 0, time.UTC)
	want := NorthItaly().At(at)
	for name, text := range map[string]string{
		"byte order mark":     byteOrderMark + plain,
		"windows line ends":   strings.ReplaceAll(plain, "\n", "\r\n"),
		"no last line end":    strings.TrimRight(plain, "\n"),
		"blank lines at last": plain + "\r\n  \n\n",
		"quoted fields":       strings.Join(quoted, "\n"),
	} {
		w, err := ReadCSV(strings.NewReader(text), "year.csv", torino, NorthItaly().stamps)
		if err != nil {
			t.Errorf("%s: %v", name, err)
		} else if w.At(at) != want {
			t.Errorf("%s: other weather", name)
		}
	}
	lines := epwText(rowsOf(t, greensboroFile), greensboro, 0)
	lines[0] = strings.Replace(lines[0], "Somewhere", `"Some, ""where"""`, 1)
	lines[5] = `COMMENTS 1,6" below "ground,"`
	if _, err := ReadEPW(strings.NewReader(byteOrderMark+strings.Join(lines, "\r\n")+"\r\n\r\n"), "year.epw"); err != nil {
		t.Errorf("EPW with mark, quotes and blank lines: %v", err)
	}
}

func TestSplitFields(t *testing.T) {
	for text, want := range map[string][]string{
		"a,b,":            {"a", "b", ""},
		`"a,b",c`:         {"a,b", "c"},
		`"a ""x""",`:      {`a "x"`, ""},
		`a 6" pipe,b`:     {`a 6" pipe`, "b"},
		`"never closed,b`: {`"never closed`, "b"},
		`"x"y,z`:          {`"x"y`, "z"},
		`""`:              {""},
	} {
		if got := splitFields(text); !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q", text, got, want)
		}
	}
}

// epwText writes rows as an EPW file of a place in a time zone.
func epwText(rows []Row, place Place, zoneHours float64) []string {
	lines := []string{
		fmt.Sprintf("LOCATION,Somewhere,-,-,test,0,%g,%g,%g,%g", place.LatitudeDeg, place.LongitudeDeg, zoneHours, place.AltitudeM),
		"DESIGN CONDITIONS,0", "TYPICAL/EXTREME PERIODS,0", "GROUND TEMPERATURES,0",
		"HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0", "COMMENTS 1,", "COMMENTS 2,",
		"DATA PERIODS,1,1,Data,Monday,1/1,12/31",
	}
	for i, r := range rows {
		at := time.Date(2001, 1, 1, i, 0, 0, 0, time.UTC)
		lines = append(lines, fmt.Sprintf("1999,%d,%d,%d,60,?9?9,%g,2,80,99000,9999,9999,%g,%g,%g,%g,0,0,0,0,180,%g,5,5,9999",
			int(at.Month()), at.Day(), at.Hour()+1, r.AirC, 300.0, r.GlobalHorizontalWM2, r.BeamNormalWM2, r.DiffuseHorizontalWM2, r.WindMS))
	}
	return lines
}

var greensboro = Greensboro().Place()

// moved returns the rows so that the first one is that of a number of hours
// before the turn of the year.
func moved(rows []Row, hours int) []Row {
	cut := ((-hours)%len(rows) + len(rows)) % len(rows)
	return slices.Concat(rows[cut:], rows[:cut])
}

// The same rows through both formats give the same weather, whatever the zone.
func TestEPWMeansTheSameAsCSV(t *testing.T) {
	for _, zone := range []float64{0, 1, -5, 5.5} {
		// Row 0 of a local file is the hour that begins at 00:00 local, which is
		// -zone in UTC.
		rows := moved(rowsOf(t, greensboroFile), int(zone))
		w, err := ReadEPW(strings.NewReader(strings.Join(epwText(rows, greensboro, zone), "\r\n")), "year.epw")
		if err != nil {
			t.Fatal(err)
		}
		shift := time.Duration(-zone * float64(time.Hour))
		plain, err := NewHourly(greensboro, Stamps{HourStart: shift, AirAt: shift + time.Hour}, rows)
		if err != nil {
			t.Fatal(err)
		}
		for at := time.Date(2023, 1, 1, 0, 10, 0, 0, time.UTC); at.Year() == 2023; at = at.Add(11 * time.Hour) {
			a, b := w.At(at), plain.At(at)
			if a.Irradiance != b.Irradiance || a.AirC != b.AirC {
				t.Fatalf("zone %g at %v: %+v and %+v", zone, at, a, b)
			}
			wantSky := math.Max(0, a.AirC-(math.Pow(300/stefanBoltzmannWM2K4, 0.25)-273.15))
			near(t, "sky under a given infrared", a.SkyDropK, wantSky, 1.5)
		}
	}
}

func TestBadEPWNamesFileLineAndColumn(t *testing.T) {
	rows := rowsOf(t, northItalyFile)
	for name, c := range map[string]struct {
		change func([]string) []string
		want   string
	}{
		"no location":    {func(l []string) []string { return l[1:] }, `a.epw, line 1: want the header line "LOCATION"`},
		"short location": {func(l []string) []string { l[0] = "LOCATION,x"; return l }, "line 1: 2 columns"},
		"latitude":       {field(1, 7, "100"), "line 1, column 7: latitude"},
		"half hours":     {field(8, 3, "2"), "line 8, column 3: want 1 as the number of rows an hour"},
		"two periods":    {field(8, 2, "2"), "line 8, column 2: want 1 as the number of data periods"},
		"missing air":    {field(9, 7, "99.9"), "line 9, column 7: air temperature is marked missing"},
		"missing light":  {field(10, 14, "9999"), "line 10, column 14: global horizontal irradiance is marked missing"},
		"negative":       {field(11, 16, "-1"), "line 11, column 16: diffuse"},
		"garbled":        {field(12, 15, "x"), "line 12, column 15: beam"},
		"wrong hour":     {field(13, 4, "9"), `line 13, column 4: hour is "9", want 5`},
		"few columns":    {func(l []string) []string { l[19] = "2001,1,1,12"; return l }, "line 20: 4 columns"},
		"truncated":      {func(l []string) []string { return l[:100] }, "line 101: the file ends after 92 hours"},
		"366 days":       {func(l []string) []string { return append(l, l[8:32]...) }, "line 8769: more than 8760 hours"},
	} {
		text := strings.Join(c.change(epwText(rows, torino, 1)), "\n")
		_, err := ReadEPW(strings.NewReader(text), "a.epw")
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: want %q, got %v", name, c.want, err)
		}
	}
	leap := epwText(rows, torino, 1)
	leap = append(leap[:8+59*24:8+59*24], append([]string{"2000,2,29,1" + strings.Repeat(",0", 30)}, leap[8+59*24:]...)...)
	_, err := ReadEPW(strings.NewReader(strings.Join(leap, "\n")), "a.epw")
	if want := `line 1425, column 2: 29 February; a typical year has 365 days`; err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("29 February: want %q, got %v", want, err)
	}
}

func TestMissingWindAndInfraredAreCalmAndHalfCovered(t *testing.T) {
	rows := rowsOf(t, northItalyFile)
	lines := epwText(rows, torino, 0)
	for i := 8; i < len(lines); i++ {
		lines = field(i+1, 22, "999")(field(i+1, 13, "9999")(lines))
	}
	w, err := ReadEPW(strings.NewReader(strings.Join(lines, "\n")), "a.epw")
	if err != nil {
		t.Fatal(err)
	}
	s := w.At(time.Date(2023, 5, 5, 1, 0, 0, 0, time.UTC))
	near(t, "wind", s.WindMS, 0, 0)
	near(t, "sky", s.SkyDropK, clearSkyDropK(s.AirC)/2, 0.2)
}

func FuzzReadCSV(f *testing.F) {
	f.Add([]byte(csvHeader + "\n2001-01-01T00:00:00Z,0,0,0,2,1\n"))
	f.Add([]byte("LOCATION,a,b,c,d,e,45,8,1,250\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		if _, err := ReadCSV(bytes.NewReader(text), "fuzz", torino, Stamps{}); err == nil && len(text) < 8760*20 {
			t.Error("a year out of too little text")
		}
		if _, err := ReadEPW(bytes.NewReader(text), "fuzz"); err == nil && len(text) < 8760*20 {
			t.Error("a year out of too little text")
		}
	})
}
