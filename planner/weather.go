package planner

import (
	"bufio"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"strings"
	"time"

	"sunstoker/sim/weather"
	"sunstoker/site"
)

// text is fmt.Sprintf, for sentences.
func text(format string, args ...any) string { return fmt.Sprintf(format, args...) }

// YearOfWeather is weather with the sentences that must be said about it.
type YearOfWeather struct {
	Source weather.Source
	Words  string // what it is
	Remark string // what speaks against it for this site; may be empty
}

// ChooseWeather takes one of the built-in years by its name, reads a file, or,
// for an empty name, makes weather up for the site's place. Stamp is what the
// times of a CSV file mean, see weather.StampsOf; empty for the start of the
// hour.
func ChooseWeather(name, stamp string, s *site.Site, start time.Time, seed uint64) (YearOfWeather, error) {
	var w YearOfWeather
	switch name {
	case "":
		return generatedYear(s, start, seed)
	case "north-italy":
		w.Source, w.Words = weather.NorthItaly(), "the built-in typical year of northern Italy, 45 N 8 E (PVGIS © European Union, 2001-2025)"
	case "greensboro":
		w.Source, w.Words = weather.Greensboro(), "the built-in typical year of Greensboro, North Carolina (TMY3, station 723170)"
	default:
		var err error
		if w, err = readWeather(name, stamp, placeOf(s)); err != nil {
			return w, err
		}
	}
	w.Remark = strings.TrimSpace(w.Remark + " " + distanceRemark(w.Source.Place(), placeOf(s)))
	return w, nil
}

func placeOf(s *site.Site) weather.Place {
	return weather.Place{LatitudeDeg: s.LatitudeDeg, LongitudeDeg: s.LongitudeDeg, AltitudeM: s.AltitudeM}
}

// leastColdK is how far the coldest night of a year lies below its mean at least:
// half of a clear day's swing does that alone. Common practice, no source.
const leastColdK = 5

// generatedYear makes weather up whose coldest night is the one that the site
// file expects, unless that can't be, which the remark says, and whose light is what the site file says of it.
func generatedYear(s *site.Site, start time.Time, seed uint64) (YearOfWeather, error) {
	place := placeOf(s)
	climate := weather.UsualClimate(place)
	remark := "Nobody has measured this weather. For a real answer give --weather a file of hourly weather from near the site."
	if s.ColdestC <= climate.MeanAirC-leastColdK {
		climate.ColdestNightC = s.ColdestC
	} else {
		remark += text(" The site file's coldest night of %g °C is not used for it: it lies less than %g K below the place's usual mean of %.0f °C, and no year is that even.",
			s.ColdestC, float64(leastColdK), climate.MeanAirC)
	}
	words := text("a generated year for the site's latitude and altitude (seed %d)", seed)
	if s.YearLightKWhM2 > 0 {
		climate.YearLightKWhM2 = s.YearLightKWhM2
		words = text("a generated year with %.0f kWh/m² on level ground, as the site file says (seed %d)", s.YearLightKWhM2, seed)
	}
	const days = 368 // a leap year and the hours that the zone is off
	made, err := weather.Generate(place, climate, weather.SeedsFrom(seed), start.AddDate(0, 0, -1), days)
	if err != nil && s.YearLightKWhM2 > 0 {
		err = fmt.Errorf("with sunshine = \"%g kWh/m²\" in the site file: %w", s.YearLightKWhM2, err)
	}
	return YearOfWeather{
		Source: made,
		Words:  words,
		Remark: remark,
	}, err
}

// readWeather reads an EPW file or one in our own columns, told apart by the
// ending of the name or by the first line.
func readWeather(path, stamp string, place weather.Place) (YearOfWeather, error) {
	var none YearOfWeather
	isEPW, err := looksLikeEPW(path)
	if err != nil {
		if errors.Is(err, fs.ErrNotExist) {
			return none, fmt.Errorf(`there is no weather file %q; give --weather a CSV or EPW file, "north-italy" or "greensboro", or leave it out`, path)
		}
		return none, fmt.Errorf("weather file: %w", err)
	}
	if isEPW {
		w, err := weather.ReadEPWFile(path)
		if err != nil {
			return none, err
		}
		return YearOfWeather{w, "the hourly weather of " + path, w.Remark()}, nil
	}
	stamps := weather.Stamps{}
	if stamp != "" {
		if stamps, err = weather.StampsOf(stamp); err != nil {
			return none, err
		}
	}
	w, err := weather.ReadCSVFile(path, place, stamps)
	if err != nil {
		return none, err
	}
	remark := w.Remark()
	if remark != "" {
		remark += " Tell simulate by --stamp start, middle or end."
	}
	return YearOfWeather{w, "the hourly weather of " + path + ", taken for the site's place", remark}, nil
}

func looksLikeEPW(path string) (bool, error) {
	f, err := os.Open(path)
	if err != nil {
		return false, err
	}
	defer f.Close()
	name := strings.ToLower(path)
	if strings.HasSuffix(name, ".epw") || strings.HasSuffix(name, ".epw.gz") {
		return true, nil
	}
	var r io.Reader = f
	if strings.HasSuffix(name, ".gz") {
		if r, err = gzip.NewReader(f); err != nil {
			return false, fmt.Errorf("%s is not a gzip file: %w", path, err)
		}
	}
	const mark, word = "\ufeff", "LOCATION,"
	begin, _ := bufio.NewReader(r).Peek(len(mark + word))
	text := strings.TrimPrefix(string(begin), mark)
	return len(text) >= len(word) && strings.EqualFold(text[:len(word)], word), nil
}

// Distances from which on weather is no longer that of the site.
const (
	farKm      = 100
	farAltM    = 300
	earthKm    = 6371
	hoursApart = 1
)

// distanceRemark warns of weather from elsewhere.
func distanceRemark(from, at weather.Place) string {
	const rad = math.Pi / 180
	sinLat, cosLat := math.Sincos(from.LatitudeDeg * rad)
	sinAt, cosAt := math.Sincos(at.LatitudeDeg * rad)
	cosine := sinLat*sinAt + cosLat*cosAt*math.Cos((from.LongitudeDeg-at.LongitudeDeg)*rad)
	km := earthKm * math.Acos(math.Min(1, math.Max(-1, cosine)))
	above := at.AltitudeM - from.AltitudeM
	if km < farKm && math.Abs(above) < farAltM {
		return ""
	}
	remark := text("This weather, and the sun with it, is from %.0f km away and from %.0f m above the sea; the site is at %.0f m.", km, from.AltitudeM, at.AltitudeM)
	if hours := math.Mod(at.LongitudeDeg-from.LongitudeDeg+540, 360) - 180; math.Abs(hours/15) >= hoursApart {
		remark += text(" By the household's clock that sun is %.1f hours %s.", math.Abs(hours/15), map[bool]string{true: "late", false: "early"}[hours > 0])
	}
	return remark
}
