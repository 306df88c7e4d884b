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
	w.days = drawDays(climate, seeds, days)
	if err := w.meetColdestNight(); err != nil {
		return nil, err
	}
	return w, nil
}

// drawDays runs the chain. A day is like the last one with the probability of
// persistence, else it is drawn by the shares, which are thereby also the
// shares in the long run.
func drawDays(c Climate, seeds Seeds, n int) []dayWeather {
	classes, air := noise.NewStream(seeds.Days), noise.NewStream(seeds.Air)
	days := make([]dayWeather, n)
	class, anomalyK := drawClass(c, &classes), 0.0
	for i := range days {
		if i > 0 && classes.Float64() >= c.Persistence {
			class = drawClass(c, &classes)
		}
		// A first-order chain with a spread of 3 K that forgets in about 3 days.
		anomalyK = 0.7*anomalyK + 3*math.Sqrt(1-0.7*0.7)*air.Normal()
		days[i] = dayWeather{class, anomalyK}
	}
	return days
}

func drawClass(c Climate, s *noise.Stream) dayClass {
	switch x := s.Float64(); {
	case x < c.ClearShare:
		return dayClear
	case x < c.ClearShare+c.PartShare:
		return dayPart
	}
	return dayOvercast
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
	minutes := second / 60
	switch w.day(int64(math.Floor(second / 86400))).class {
	case dayClear:
		return 0.03 * (1 + noise.Smooth(w.seeds.Clouds, minutes/120))
	case dayOvercast:
		return 0.93 + 0.07*noise.Smooth(w.seeds.Clouds, minutes/45)
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
