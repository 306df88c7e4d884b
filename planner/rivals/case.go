package rivals

import (
	"bytes"
	"cmp"
	_ "embed"
	"fmt"
	"math"
	"slices"
	"text/template"
	"time"

	"sunstoker/sim"
	"sunstoker/sim/household"
	"sunstoker/sim/weather"
	"sunstoker/site"
	"sunstoker/site/twin"
)

// Case is a house in a place, with the people of one seed.
type Case struct {
	climate *climate
	home
	Holidays    string // as a site file writes them; may be empty
	PeopleSeed  uint64
	WeatherSeed uint64     // 0: a typical year as published
	From        time.Month // the first month that counts; zero for January
	Days        int        // that count; zero for a year
}

// home is a household with a plant that fits it.
type home struct {
	Profile         string // of the European tapping profiles, the same every day; empty for People
	People          int
	LitresEach      float64 // of hot water at 60 degC a person and day
	Showers         bool    // and no bath
	Systems         int     // each with a tank of its own; they share the draws evenly
	TankL           float64 // of each, and so on
	AreaM2          float64
	HeaterW         float64
	HeaterPercent   float64 // its height in the tank
	TopProbePercent float64 // the probe sits a little above the heater
}

// Invented homes. Small tanks have their heater low, to serve a shower at all.
var (
	couple  = home{People: 2, LitresEach: 25, Showers: true, Systems: 1, TankL: 100, AreaM2: 2, HeaterW: 3000, HeaterPercent: 10, TopProbePercent: 40}
	three   = home{People: 3, LitresEach: 40, Showers: true, Systems: 1, TankL: 200, AreaM2: 3.2, HeaterW: 3000, HeaterPercent: 30, TopProbePercent: 55}
	family  = home{People: 4, LitresEach: 40, Showers: true, Systems: 1, TankL: 300, AreaM2: 4.6, HeaterW: 3000, HeaterPercent: 45, TopProbePercent: 60}
	bathers = home{People: 3, LitresEach: 40, Systems: 1, TankL: 300, AreaM2: 4.6, HeaterW: 3000, HeaterPercent: 40, TopProbePercent: 60}
	six     = home{People: 6, LitresEach: 40, Showers: true, Systems: 1, TankL: 300, AreaM2: 6, HeaterW: 4500, HeaterPercent: 30, TopProbePercent: 55}
	medium  = home{Profile: "M", Systems: 1, TankL: 200, AreaM2: 3.2, HeaterW: 3000, HeaterPercent: 30, TopProbePercent: 55}
	large   = home{Profile: "L", Systems: 1, TankL: 300, AreaM2: 4.6, HeaterW: 3000, HeaterPercent: 40, TopProbePercent: 60}
	eight   = home{People: 8, LitresEach: 38, Systems: 2, TankL: 300, AreaM2: 4.6, HeaterW: 3000, HeaterPercent: 40, TopProbePercent: 60}
)

// Name tells what a case is.
func (c *Case) Name() string {
	tank := fmt.Sprintf("%g l", c.TankL)
	if c.Systems > 1 {
		tank = fmt.Sprintf("%d times %g l", c.Systems, c.TankL)
	}
	who := fmt.Sprintf("%d people", c.People)
	if c.Profile != "" {
		who = "tapping profile " + c.Profile
	}
	return fmt.Sprintf("%s, %s, %s", c.climate.name, tank, who)
}

//go:embed house.toml.tmpl
var houseText string

var houseTemplate = template.Must(template.New("house").Parse(houseText))

// site is the site file of the case.
func (c *Case) site() (*site.Site, error) {
	var text bytes.Buffer
	err := houseTemplate.Execute(&text, map[string]any{
		"Case": c, "Place": c.climate.place, "Zone": c.climate.zone, "ColdestC": c.climate.coldestNightC, "RoomC": c.climate.roomC,
		"Tilt": c.climate.tiltDeg, "Azimuth": c.climate.azimuthDeg,
		"LossWK": math.Round(100*2.1*math.Pow(c.TankL/300, 0.55)) / 100, "FlowLMin": 0.9 * c.AreaM2, "Names": []string{"first", "second"}[:c.Systems],
	})
	if err != nil {
		return nil, err
	}
	s, err := site.Parse("house of the bench", text.Bytes())
	if err != nil {
		return nil, fmt.Errorf("rivals: the site of %s: %w", c.Name(), err)
	}
	return s, nil
}

// warmUpDays come before what counts.
const warmUpDays = 28

const yearDays = 365

func (c *Case) days() int { return cmp.Or(c.Days, yearDays) }

// start is midnight of the first day of the warm-up.
func (c *Case) start(zone *time.Location) time.Time {
	return time.Date(2026, cmp.Or(c.From, time.January), 1, 0, 0, 0, 0, zone).AddDate(0, 0, -warmUpDays)
}

// house is the simulated house of the case.
func (c *Case) house(s *site.Site, w weather.Source, step time.Duration) (sim.Config, error) {
	config, err := twin.Config(s, twin.Options{Weather: w, Start: c.start(s.Zone), Step: step, Seed: c.PeopleSeed})
	if err != nil {
		return config, err
	}
	config.Household = oneTemperature{config.Household, tapC, c.Showers}
	config.SkySlot = 5 * time.Minute
	return config, nil
}

// tapC is what people want at the tap: the default of tap_temperature.
const tapC = 40

// oneTemperature lets people take the same heat at one temperature.
type oneTemperature struct {
	people  household.Source
	tapC    float64
	showers bool // and no bath
}

const (
	planningColdC = 10 // the cold water that people's heat refers to, as in package household
	leastBathL    = 100
	strictK       = 1 // takes away the tolerance that the plant gives at a tap
)

// Day implements household.Source.
func (o oneTemperature) Day(date household.Date, into []household.Draw) []household.Draw {
	first := len(into)
	into = o.people.Day(date, into)
	if o.showers {
		baths := func(d household.Draw) bool { return d.Litres() >= leastBathL }
		into = slices.Delete(into, first+len(slices.DeleteFunc(into[first:], baths)), len(into))
	}
	for i := first; i < len(into); i++ {
		d := &into[i]
		d.For = time.Duration(float64(d.For) * (d.TapC - planningColdC) / (o.tapC - planningColdC))
		d.TapC, d.UsefulC = o.tapC, o.tapC+strictK
	}
	return into
}
