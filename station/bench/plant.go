package bench

import (
	"errors"
	"math"
	"sync"
	"time"

	"sunstoker/control"
	"sunstoker/physics"
	"sunstoker/sim"
	"sunstoker/sim/household"
	"sunstoker/sim/weather"
	"sunstoker/site"
	"sunstoker/site/twin"
)

// Options are what a site file does not say about its bench.
type Options struct {
	Start   time.Time        // civil time of instant 0
	Weather weather.Source   // nil: a sky that stays as it is, see Sky
	Sky     Sky              // when there is no other weather
	TankC   float64          // of all tanks at the start; 0: as plants usually begin
	People  household.Source // who draws water; nil: those of the file
	Seed    uint64           // of people and probe noise
}

// Sky is weather that stays: the sun moves over it as on the real day.
type Sky struct {
	Cover float64 // share of cloud before the sun, 0 to 1
	AirC  float64
}

func (s Sky) source(place weather.Place) (weather.Source, error) {
	return weather.NewScripted(place, []weather.Moment{{Cover: s.Cover, AirC: s.AirC, WindMS: 1}})
}

// Plant is the simulated house of a site with what is read and driven of it. All
// methods may be called from any goroutine.
type Plant struct {
	site  *site.Site
	place weather.Place

	mu      sync.Mutex
	house   *sim.House
	sky     Sky
	probes  []*sim.Probe
	read    time.Duration // instant of the newest readings
	values  []Value
	levels  []float64
	pressed time.Duration // until when the hot-water button is held down
	hung    time.Duration // since when the bus of the probes hangs; -1: it does not

	storageFails bool
	guardBack    time.Duration // until when the board has no guard
}

// Value is what a probe gives, in the unit of its place.
type Value struct {
	Value float64
	OK    bool // it gives one
}

// New makes the bench of a site: what its twin is, in the given weather. Its probes
// are first read when it is advanced, so that orders before that are as old as the
// house.
func New(s *site.Site, o Options) (*Plant, error) {
	place := weather.Place{LatitudeDeg: s.LatitudeDeg, LongitudeDeg: s.LongitudeDeg, AltitudeM: s.AltitudeM}
	source := o.Weather
	if source == nil {
		var err error
		if source, err = o.Sky.source(place); err != nil {
			return nil, err
		}
	}
	config, err := twin.Config(s, twin.Options{Weather: source, Start: o.Start, Seed: o.Seed})
	if err != nil {
		return nil, err
	}
	// The cold water is that of the place, whatever sky somebody has ordered.
	climate := weather.UsualClimate(place)
	config.Mains = physics.MainsWater{
		MeanAirC: min(max(climate.MeanAirC, -5), 30), AirSwingK: climate.SeasonSwingK, Southern: s.LatitudeDeg < 0,
	}
	if o.People != nil {
		config.Household = o.People
	}
	for i := range config.Systems {
		if o.TankC != 0 {
			config.Systems[i].Plant.StartC = o.TankC
		}
	}
	house, err := sim.New(config)
	if err != nil {
		return nil, err
	}
	p := &Plant{
		site: s, place: place, house: house, sky: o.Sky, hung: -1,
		values: make([]Value, len(s.Probes)), levels: make([]float64, len(s.Outputs)),
	}
	for _, c := range config.Probes {
		probe, err := house.Probe(c.Name)
		if err != nil {
			return nil, err
		}
		p.probes = append(p.probes, probe)
	}
	return p, nil
}

// pressFor is how long a person holds the hot-water button down.
const pressFor = 5 * time.Second

// Advance moves the house on to an instant and reads its probes. While the bus of
// the probes hangs, what was read stays.
func (p *Plant) Advance(now time.Duration) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.house.Advance(now)
	if p.hung >= 0 {
		return
	}
	p.read = now
	for i, probe := range p.probes {
		v := &p.values[i]
		v.Value, v.OK = probe.Read(now)
		if p.site.Probes[i].Place == control.CirculationButton && now < p.pressed {
			v.Value = 1
		}
	}
}

// Value is what a probe of the site gave last, and when.
func (p *Plant) Value(reading int) (v Value, at time.Duration) {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.values[reading], p.read
}

// Hangs tells since when the bus of the probes hangs, if it does.
func (p *Plant) Hangs() (since time.Duration, hangs bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	return max(0, p.hung), p.hung >= 0
}

// Drive sets an output of the site to a level, 0 to 1.
func (p *Plant) Drive(output int, level float64) {
	if math.IsNaN(level) {
		level = 0
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.drive(output, level)
}

func (p *Plant) drive(output int, level float64) {
	p.levels[output] = level
	twin.Drive(p.house, p.site.Outputs[output].Output, level)
}

// Level is what an output was driven to last.
func (p *Plant) Level(output int) float64 {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.levels[output]
}

// Clock is the wall clock of the board that the daemon runs on, as far as faults
// of the house touch it.
func (p *Plant) Clock() control.Wall {
	p.mu.Lock()
	defer p.mu.Unlock()
	wall, trusted := p.house.Clock()
	return control.Wall{Time: wall, Trusted: trusted}
}

// Look calls do with the house while nothing moves in it.
func (p *Plant) Look(do func(*sim.House)) {
	p.mu.Lock()
	defer p.mu.Unlock()
	do(p.house)
}

var errNoValue = errors.New("the simulated probe gives no value")
