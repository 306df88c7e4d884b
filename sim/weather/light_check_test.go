package weather

import (
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"sunstoker/physics"
)

// Times that are local instead of UTC put the light where the sun is not. The
// file is refused, and the error says by how much the times are off.
func TestLocalTimesAreRefused(t *testing.T) {
	for _, c := range []struct {
		hours int // the rows are printed so much too late
		want  string
	}{
		{1, "read 1 h earlier; time_utc is UTC: are these local times?"},
		{2, "read 2 h earlier"},
		{-5, "read 5 h later"},
		{10, "read 10 h earlier"},
	} {
		text := corrupt(t, func(l []string) []string {
			for i, r := range moved(rowsOf(t, northItalyFile), c.hours) {
				l[i+1] = csvLine(i, r)
			}
			return l
		})
		_, err := ReadCSV(strings.NewReader(text), "local.csv", torino, NorthItaly().stamps)
		if err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), "weather: local.csv: ") {
			t.Errorf("%d h off: want %q, got %v", c.hours, c.want, err)
		}
	}
	rows := rowsOf(t, greensboroFile)
	if _, err := ReadEPW(strings.NewReader(strings.Join(epwText(moved(rows, -5), greensboro, 5), "\n")), "zone.epw"); err == nil ||
		!strings.Contains(err.Error(), "read 10 h later; is the time zone in the LOCATION line that of the rows?") {
		t.Errorf("a zone of the wrong sign: %v", err)
	}
}

// Half an hour off is no reason to refuse a file, but it is said.
func TestHalfAnHourOffIsRemarked(t *testing.T) {
	for name, f := range map[string]struct {
		packed []byte
		year   *Hourly
	}{"north Italy": {northItalyFile, NorthItaly()}, "Greensboro": {greensboroFile, Greensboro()}} {
		if got := f.year.Remark(); got != "" {
			t.Errorf("%s: %s", name, got)
		}
		stamps := f.year.stamps
		stamps.HourStart += 30 * time.Minute
		w, err := NewHourly(f.year.place, stamps, rowsOf(t, f.packed))
		if err != nil {
			t.Fatal(err)
		}
		if want := "read 0.5 h earlier"; !strings.Contains(w.Remark(), want) {
			t.Errorf("%s: want %q in %q", name, want, w.Remark())
		}
	}
}

func TestStampsOf(t *testing.T) {
	rows := rowsOf(t, greensboroFile) // printed at the start of their hour
	for meaning, printed := range map[string]time.Duration{"start": 0, "middle": 30 * time.Minute, "end": time.Hour} {
		stamps, err := StampsOf(meaning)
		if err != nil {
			t.Fatal(err)
		}
		stamps.HourStart += printed // what the stamp says must undo how it was printed
		w, err := NewHourly(greensboro, stamps, rows)
		if err != nil || w.Remark() != "" {
			t.Errorf("%s: %v, %s", meaning, err, w.Remark())
		}
	}
	if _, err := StampsOf("late"); err == nil || !strings.Contains(err.Error(), `"start", "middle" or "end"`) {
		t.Errorf("a part of the hour that is none: %v", err)
	}
}

func TestImpossibleLightIsRefused(t *testing.T) {
	for name, c := range map[string]struct {
		change func(r *Row)
		want   string
	}{
		"dark":          {func(r *Row) { r.GlobalHorizontalWM2, r.BeamNormalWM2, r.DiffuseHorizontalWM2 = 0, 0, 0 }, "the whole year has 0 kWh/m2 of light, 0 %"},
		"kilowatts":     {func(r *Row) { r.GlobalHorizontalWM2 /= 1000 }, "the whole year has 1 kWh/m2"},
		"kilojoules":    {func(r *Row) { r.GlobalHorizontalWM2 = math.Min(1600, 3.6*r.GlobalHorizontalWM2) }, "brighter than the sun outside the air"},
		"no parts":      {func(r *Row) { r.BeamNormalWM2, r.DiffuseHorizontalWM2 = 0, 0 }, "the global irradiance is 100 % off"},
		"beam on level": {func(r *Row) { r.BeamNormalWM2 = r.GlobalHorizontalWM2 - r.DiffuseHorizontalWM2 }, "are all three columns of one source?"},
		"lamp at night": {func(r *Row) { r.GlobalHorizontalWM2 += 5; r.DiffuseHorizontalWM2 += 5 }, "% of the light comes with the sun down"},
	} {
		rows := rowsOf(t, northItalyFile)
		for i := range rows {
			c.change(&rows[i])
		}
		if _, err := NewHourly(torino, NorthItaly().stamps, rows); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: want %q, got %v", name, c.want, err)
		}
	}
}

// A file that just passes must not show a plane more than the sun has: each
// hour's diffuse is taken out, which makes of all its global a beam.
func TestLowSunDoesNotExplode(t *testing.T) {
	rows := rowsOf(t, northItalyFile)
	stamps := NorthItaly().stamps
	suns := sunHours(torino, time.Date(nominalYear, 1, 1, 0, 0, 0, 0, time.UTC).Add(stamps.HourStart), time.Hour)
	for i := range rows {
		if sine := suns[i].meanSine; sine > 0 && sine < 0.1 {
			rows[i].GlobalHorizontalWM2, rows[i].DiffuseHorizontalWM2 = 300, 0
		}
	}
	w := &Hourly{place: torino, stamps: stamps, hours: make([]hour, len(rows))}
	for i, r := range rows { // as NewHourly, which would refuse these rows
		w.hours[i] = prepareHour(r, torino, suns[i])
	}
	brightest := 0.0
	for at := time.Date(2023, 1, 1, 0, 2, 30, 0, time.UTC); at.Year() == 2023; at = at.Add(5 * time.Minute) {
		sun := torino.sunAt(at)
		s := w.At(at)
		outside := physics.ExtraterrestrialNormalWM2(float64(at.YearDay()))
		if s.GlobalHorizontalWM2 > 1.15*outside*math.Max(0, math.Sin(sun.ElevationDeg*math.Pi/180))+0.02*outside {
			t.Fatalf("%v: %+v with the sun at %.2f degrees", at, s, sun.ElevationDeg)
		}
		// A plane that faces the low sun.
		facing := Field{Plane: physics.Plane{TiltDeg: 90, AzimuthDeg: sun.AzimuthDeg}, Collector: southRoof.Collector}
		if on := facing.On(s.Irradiance, sun, at.YearDay()).IrradianceWM2; sun.ElevationDeg < 4 {
			brightest = math.Max(brightest, on)
		}
	}
	// Clear air lets a beam of some 400 to 500 W/m2 through at 4 degrees (Ineichen
	// and Perez with a turbidity of 2); what was a beam of all the sun is now that
	// and a bright sky.
	if brightest > 900 {
		t.Errorf("%.0f W/m2 on a plane that faces a sun below 4 degrees", brightest)
	}
	t.Logf("at most %.0f W/m2 on a plane that faces a sun below 4 degrees", brightest)
}

// csvLine writes a row as the file does.
func csvLine(hour int, r Row) string {
	at := time.Date(2001, 1, 1, hour, 0, 0, 0, time.UTC).Format(time.RFC3339)
	return strings.Join([]string{at, number(r.GlobalHorizontalWM2), number(r.BeamNormalWM2), number(r.DiffuseHorizontalWM2),
		number(r.AirC), number(r.WindMS)}, ",")
}

func number(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
