package sim

import (
	"fmt"
	"math"
	"time"

	"sunstoker/physics"
	"sunstoker/sim/household"
	"sunstoker/sim/plant"
	"sunstoker/sim/weather"
)

// System is one collector field with its tank, as part of a House.
type System struct {
	Name  string // of your choosing, unique in the house
	Plant plant.Config
	// Plane is where the collector field looks.
	Plane physics.Plane
	// DrawShare is the part of all hot water drawn from this system. The shares
	// of all systems add up to 1; all zero means equal parts.
	DrawShare float64
}

// Config describes a house.
type Config struct {
	Weather weather.Source
	// Start is the instant of elapsed time zero.
	Start time.Time
	// Zone is that of the household's clocks; nil for UTC.
	Zone *time.Location
	// Household draws the water; nil for an empty house.
	Household household.Source
	// Mains is the yearly wave of the cold water; zero to take it from the
	// weather's air.
	Mains   physics.MainsWater
	Systems []System
	// DrawsInSeries lets all hot water pass through the systems one after the
	// other, in the order of Systems: the first takes the cold water, the last
	// feeds the taps. The draw shares must then be zero.
	DrawsInSeries bool
	// RoomC is the temperature around the tanks in degC, -10 to 45.
	RoomC float64
	// Albedo is the reflectance of the ground before the collectors, 0 to 1.
	Albedo float64
	// SkySlot is how long a value of the sky is kept; it must divide a day. Zero
	// means 5 minutes for hourly weather and 1 minute for other weather.
	SkySlot time.Duration
	// StepSize is the step of Advance, 100 ms to 60 s; zero means 10 s.
	StepSize time.Duration
	// Probes are the probes of the house; more can be added later.
	Probes []ProbeConfig
	// Faults is what breaks, and when. More can be added later.
	Faults []Fault
}

// Longest and shortest steps of a house.
const (
	MinStep = 100 * time.Millisecond
	MaxStep = time.Minute
)

// withDefaults fills in what was left zero and returns an error that names the
// first thing that cannot be.
func (c Config) withDefaults() (Config, error) {
	if c.Weather == nil {
		return c, fmt.Errorf("sim: the house has no weather")
	}
	if c.Start.IsZero() {
		return c, fmt.Errorf("sim: the house has no start time")
	}
	if c.SkySlot == 0 {
		c.SkySlot = time.Minute
		if _, hourly := c.Weather.(*weather.Hourly); hourly {
			c.SkySlot = 5 * time.Minute
		}
	}
	if c.SkySlot < time.Second || (24*time.Hour)%c.SkySlot != 0 {
		return c, fmt.Errorf("sim: a sky slot of %v does not divide a day; take 1m or 5m", c.SkySlot)
	}
	if c.StepSize == 0 {
		c.StepSize = 10 * time.Second
	}
	if c.StepSize < MinStep || c.StepSize > MaxStep {
		return c, fmt.Errorf("sim: a step of %v; give %v to %v", c.StepSize, MinStep, MaxStep)
	}
	if !(c.RoomC >= -10 && c.RoomC <= 45) {
		return c, fmt.Errorf("sim: a room of %g degC; give -10 to 45", c.RoomC)
	}
	if !(c.Albedo >= 0 && c.Albedo <= 1) {
		return c, fmt.Errorf("sim: an albedo of %g; give 0 to 1", c.Albedo)
	}
	if c.Mains == (physics.MainsWater{}) {
		c.Mains = mainsFromAir(c.Weather, c.Start.UTC().Year())
	}
	if err := c.Mains.Validate(); err != nil {
		return c, fmt.Errorf("sim: cold water: %w", err)
	}
	return c, c.checkSystems()
}

// checkSystems also turns shares that are all zero into equal ones.
func (c *Config) checkSystems() error {
	if len(c.Systems) == 0 {
		return fmt.Errorf("sim: the house has no system")
	}
	c.Systems = append([]System(nil), c.Systems...)
	sum := 0.0
	names := map[string]bool{}
	for _, s := range c.Systems {
		if s.Name == "" || names[s.Name] {
			return fmt.Errorf("sim: the system name %q is empty or used twice", s.Name)
		}
		names[s.Name] = true
		if err := s.Plane.Validate(); err != nil {
			return fmt.Errorf("sim: system %q: %w", s.Name, err)
		}
		if !(s.DrawShare >= 0 && s.DrawShare <= 1) {
			return fmt.Errorf("sim: system %q: a draw share of %g; give 0 to 1", s.Name, s.DrawShare)
		}
		sum += s.DrawShare
	}
	if c.DrawsInSeries && sum > 0 {
		return fmt.Errorf("sim: draws pass through all systems in series; leave the draw shares at zero")
	}
	if sum == 0 {
		for i := range c.Systems {
			c.Systems[i].DrawShare = 1 / float64(len(c.Systems))
		}
		return nil
	}
	if math.Abs(sum-1) > 1e-6 {
		return fmt.Errorf("sim: the draw shares of all systems add up to %g; they must add up to 1", sum)
	}
	return nil
}

// mainsFromAir takes mean and swing of the air from the weather of a year.
func mainsFromAir(w weather.Source, year int) physics.MainsWater {
	var monthC [12]float64
	var readings [12]float64
	for at := time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC); at.Year() == year; at = at.Add(3 * time.Hour) {
		monthC[at.Month()-1] += w.At(at).AirC
		readings[at.Month()-1]++
	}
	mean, coldest, warmest := 0.0, math.Inf(1), math.Inf(-1)
	for i := range monthC {
		m := monthC[i] / readings[i]
		mean += m / 12
		coldest, warmest = math.Min(coldest, m), math.Max(warmest, m)
	}
	return physics.MainsWater{
		MeanAirC:  math.Min(math.Max(mean, -5), 30),
		AirSwingK: math.Min(warmest-coldest, 60),
		Southern:  w.Place().LatitudeDeg < 0,
	}
}
