package weather

import (
	"fmt"
	"math"
	"time"

	"sunstoker/physics"
	"sunstoker/sim/noise"
)

// Seeds are the seeds of the generated weather, one for each subject, so that
// changing the clouds leaves the temperatures alone.
type Seeds struct{ Days, Clouds, Air, Wind uint64 }

// SeedsFrom derives the four seeds from one.
func SeedsFrom(seed uint64) Seeds {
	return Seeds{
		Days:   noise.Derive(seed, "days"),
		Clouds: noise.Derive(seed, "clouds"),
		Air:    noise.Derive(seed, "air"),
		Wind:   noise.Derive(seed, "wind"),
	}
}

// Generated is seeded weather: a Markov chain of clear, part and overcast days,
// clouds that pass within minutes, and air that follows season, day and
// weather. After its span of days it begins again.
type Generated struct {
	place   Place
	climate Climate
	seeds   Seeds
	first   int64 // solar day number of the first day
	days    []dayWeather
	// Temperatures below pivotC are stretched by stretch to meet the coldest
	// night asked for.
	pivotC, stretch float64
}

type dayWeather struct {
	class    dayClass
	anomalyK float64
}

type dayClass int

const (
	dayClear dayClass = iota
	dayPart
	dayOvercast
	dayClasses
)

// MaxGeneratedDays bounds the span of generated weather.
const MaxGeneratedDays = 4000

// Generate makes weather for the given number of days (1 to MaxGeneratedDays)
// from the date of start on; only its date at the place counts.
func Generate(place Place, climate Climate, seeds Seeds, start time.Time, days int) (*Generated, error) {
	if err := place.Validate(); err != nil {
		return nil, err
	}
	if err := climate.Validate(); err != nil {
		return nil, err
	}
	if days < 1 || days > MaxGeneratedDays {
		return nil, fmt.Errorf("weather: %d days; give 1 to %d", days, MaxGeneratedDays)
	}
	w := &Generated{place: place, climate: climate, seeds: seeds, first: solarDay(start.UTC(), place.LongitudeDeg), stretch: 1}
	lots := w.drawDays(days)
	better, err := w.meetYearLight(lots)
	if err != nil {
		return nil, err
	}
	for i := range w.days {
		w.days[i].class = w.classOf(lots[i], i, better)
	}
	if err := w.meetColdestNight(); err != nil {
		return nil, err
	}
	return w, nil
}

// drawDays draws every day's temperature, and its lot: 0 for the best weather
// there is in that season, 1 for the worst. A day has the last one's lot with the
// probability of persistence, else a fresh one, so that the shares of the climate
// are also those in the long run.
func (w *Generated) drawDays(n int) (lots []float64) {
	chance, air := noise.NewStream(w.seeds.Days), noise.NewStream(w.seeds.Air)
	w.days, lots = make([]dayWeather, n), make([]float64, n)
	lot, anomalyK := chance.Float64(), 0.0
	for i := range lots {
		if i > 0 && chance.Float64() >= w.climate.Persistence {
			lot = chance.Float64()
		}
		lots[i] = lot
		// A first-order chain with a spread of 3 K that forgets in about 3 days.
		anomalyK = 0.7*anomalyK + 3*math.Sqrt(1-0.7*0.7)*air.Normal()
		w.days[i].anomalyK = anomalyK
	}
	return lots
}

// classOf turns a day's lot into its weather. Better is the share of days by
// which all seasons are better than the climate says.
func (w *Generated) classOf(lot float64, day int, better float64) dayClass {
	clear := w.climate.ClearShare + better + w.climate.SummerShare*w.summerWave(w.first+int64(day))
	switch {
	case lot < clear:
		return dayClear
	case lot < clear+w.climate.PartShare:
		return dayPart
	}
	return dayOvercast
}

// summerWave is 1 when the sky is at its clearest, three weeks after the summer
// solstice, and -1 half a year later.
func (w *Generated) summerWave(solarDay int64) float64 {
	clearest := 192.0
	if w.place.LatitudeDeg < 0 {
		clearest -= 182.5
	}
	yearDay := time.Unix(solarDay*86400, 0).UTC().YearDay()
	return math.Cos((float64(yearDay) - clearest) * 2 * math.Pi / 365.25)
}

func solarDay(utc time.Time, longitudeDeg float64) int64 {
	return int64(math.Floor(solarSecond(utc, longitudeDeg) / 86400))
}

// day is the weather of a solar day, wrapped into the span.
func (w *Generated) day(n int64) dayWeather {
	span := int64(len(w.days))
	return w.days[((n-w.first)%span+span)%span]
}

// Place implements Source.
func (w *Generated) Place() Place { return w.place }

// At implements Source.
func (w *Generated) At(utc time.Time) Sample { return w.atSun(utc, w.place.sunAt(utc)) }

func (w *Generated) atSun(utc time.Time, sun physics.SunPosition) Sample {
	second := solarSecond(utc, w.place.LongitudeDeg)
	cover := w.cover(second)
	airC := w.airC(utc, second)
	hours := second / 3600
	wind := w.climate.WindMS * (1 + 0.6*noise.Smooth(w.seeds.Wind, hours/8) + 0.4*noise.Smooth(w.seeds.Wind+1, hours*4))
	return Sample{
		Irradiance: coveredLight(utc, sun, w.place, w.climate.Turbidity, cover, airC),
		AirC:       airC,
		WindMS:     math.Max(0, wind),
		SkyDropK:   clearSkyDropK(airC) * (1 - w.nightCover(second)),
	}
}

// cover is the cloud before the sun at a second of solar time.
func (w *Generated) cover(second float64) float64 {
	return w.coverOf(w.day(int64(math.Floor(second/86400))).class, second)
}

// coverOf is cover on a day of a class.
func (w *Generated) coverOf(class dayClass, second float64) float64 {
	minutes := second / 60
	switch class {
	case dayClear:
		return 0.03 * (1 + noise.Smooth(w.seeds.Clouds, minutes/120))
	case dayOvercast:
		return 0.96 + 0.04*noise.Smooth(w.seeds.Clouds, minutes/45)
	}
	// Passing clouds: a curve with waves of a quarter hour and of minutes, cut
	// at a level. A cloud's edge passes in about a minute.
	height := 0.65*noise.Smooth(w.seeds.Clouds, minutes/14) + 0.35*noise.Smooth(w.seeds.Clouds+1, minutes/4)
	edge := math.Min(math.Max((height+0.05)/0.12, 0), 1)
	return 0.92 * edge * edge * (3 - 2*edge)
}

// nightCover is the share of sky hidden by cloud, without the passing of single
// clouds.
func (w *Generated) nightCover(second float64) float64 {
	return [...]float64{dayClear: 0.05, dayPart: 0.5, dayOvercast: 0.97}[w.day(int64(math.Floor(second/86400))).class]
}

// airC is the air temperature: the season's mean, the day's anomaly and a swing
// that is coldest at 5 and warmest at 15 h or so, wider on clear days.
func (w *Generated) airC(utc time.Time, second float64) float64 {
	c := w.rawAirC(utc, second)
	if c < w.pivotC {
		c = w.pivotC + (c-w.pivotC)*w.stretch
	}
	return c
}

func (w *Generated) rawAirC(utc time.Time, second float64) float64 {
	// Anomaly and swing move in straight lines from noon to noon.
	fromNoon := second/86400 - 0.5
	day := int64(math.Floor(fromNoon))
	into := fromNoon - math.Floor(fromNoon)
	a, b := w.day(day), w.day(day+1)
	anomaly := a.anomalyK + into*(b.anomalyK-a.anomalyK)
	swing := w.swingK(a.class) + into*(w.swingK(b.class)-w.swingK(a.class))
	hour := math.Mod(second/3600, 24)
	return w.seasonC(float64(utc.YearDay())) + anomaly + swing/2*math.Cos((hour-15)*math.Pi/12)
}

func (w *Generated) swingK(class dayClass) float64 {
	return w.climate.DaySwingK * [...]float64{dayClear: 1, dayPart: 0.8, dayOvercast: 0.4}[class]
}

// seasonC is the mean of the season, warmest five weeks after the solstice.
func (w *Generated) seasonC(yearDay float64) float64 {
	warmest := 205.0
	if w.place.LatitudeDeg < 0 {
		warmest -= 182.5
	}
	return w.climate.MeanAirC + w.climate.SeasonSwingK/2*math.Cos((yearDay-warmest)*2*math.Pi/365.25)
}

// meetColdestNight stretches the cold half of all temperatures so that the
// coldest one is the one asked for.
func (w *Generated) meetColdestNight() error {
	if math.IsNaN(w.climate.ColdestNightC) {
		return nil
	}
	coldest, sum, n := math.Inf(1), 0.0, 0
	start := time.Unix(w.first*86400-int64(w.place.LongitudeDeg*240), 0).UTC()
	for range len(w.days) * 48 {
		c := w.rawAirC(start, solarSecond(start, w.place.LongitudeDeg))
		coldest = math.Min(coldest, c)
		sum += c
		n++
		start = start.Add(30 * time.Minute)
	}
	w.pivotC = sum / float64(n)
	asked := w.climate.ColdestNightC
	if !(asked >= -70 && asked < w.pivotC-1) {
		return fmt.Errorf("weather: the coldest night asked for is %g degC; give a value from -70 up to 1 K below the mean of the span, %.1f degC", asked, w.pivotC)
	}
	w.stretch = (w.pivotC - asked) / (w.pivotC - coldest)
	return nil
}
