package planner

import (
	"context"
	"fmt"
	"io"
	"slices"
	"time"

	"sunstoker/control"
	"sunstoker/sim/weather"
	"sunstoker/site"
)

// pumpPlace is where a loop pump is tried.
type pumpPlace struct {
	name           string
	place          weather.Place
	zone           string
	tilt, facing   float64               // of the collector, degrees
	yearLightKWhM2 float64               // on the level, of made-up weather; round figures, from memory of solar maps
	measured       func() weather.Source // nil: made-up weather
}

// pumpPlaces are both open typical years and made-up ones of six climates.
var pumpPlaces = []pumpPlace{
	{"north Italy", weather.Place{LatitudeDeg: 45, LongitudeDeg: 8, AltitudeM: 250}, "Europe/Rome", 45, 180, 0, func() weather.Source { return weather.NorthItaly() }},
	{"Greensboro", weather.Place{LatitudeDeg: 36.1, LongitudeDeg: -79.95, AltitudeM: 273}, "America/New_York", 40, 180, 0, func() weather.Source { return weather.Greensboro() }},
	{"equatorial highland", weather.Place{LatitudeDeg: -0.5, LongitudeDeg: 36.5, AltitudeM: 1900}, "Africa/Nairobi", 12, 0, 1850, nil},
	{"Mediterranean", weather.Place{LatitudeDeg: 37.5, LongitudeDeg: 23.5, AltitudeM: 60}, "Europe/Athens", 40, 180, 1730, nil},
	{"continental", weather.Place{LatitudeDeg: 50, LongitudeDeg: 20, AltitudeM: 300}, "Europe/Warsaw", 45, 180, 1100, nil},
	{"maritime", weather.Place{LatitudeDeg: 53, LongitudeDeg: -7, AltitudeM: 70}, "Europe/Dublin", 45, 180, 980, nil},
	{"desert", weather.Place{LatitudeDeg: 26, LongitudeDeg: 31.7, AltitudeM: 80}, "Africa/Cairo", 30, 180, 2150, nil},
	{"high latitude", weather.Place{LatitudeDeg: 60.5, LongitudeDeg: 24, AltitudeM: 60}, "Europe/Helsinki", 55, 180, 960, nil},
}

// weather gives the place's year.
func (p *pumpPlace) weather() (weather.Source, error) {
	if p.measured != nil {
		return p.measured(), nil
	}
	climate := weather.UsualClimate(p.place)
	climate.YearLightKWhM2 = p.yearLightKWhM2
	return weather.Generate(p.place, climate, weather.SeedsFrom(1), time.Date(2025, time.December, 31, 0, 0, 0, 0, time.UTC), 368)
}

// pumpLoop is a kind of loop whose pump is tried.
type pumpLoop struct {
	name                     string
	areaM2, litres, flowLMin float64
	system                   string // the store, in the words of a site file
	pump                     string // and the pump's output
	more                     string // and the rest
}

const (
	relayPump = "kind = \"relay\"\nchip = \"gpiochip0\"\nline = \"GPIO17\""
	setPump   = "kind = \"level file\"\nfile = \"/sys/class/leds/loop-pump/brightness\"\nleast = \"30 %\""
	coilTank  = "store = \"drinking water\"\nloop_pressure = \"2.0 bar\""
	fluidTank = "store = \"loop fluid\"\nloop_pressure = \"0.3 bar\""
	fluidMore = "[system.loop_fluid_store]\ntap_coil_area = \"5 m²\"\nfeed_by_layers = true\n[system.settings]\nrestart_ceiling = \"95 °C\""
)

// pumpLoops are invented plants for four people.
var pumpLoops = []pumpLoop{
	{"coil, pump on or off", 4.6, 300, 4, coilTank, relayPump, ""},
	{"coil, pump of set speed", 4.6, 300, 4, coilTank, setPump, ""},
	{"loop fluid, pump on or off", 6.9, 500, 5, fluidTank, relayPump, fluidMore},
}

// pumpSite is the house of a loop in a place. A thermostat minds its heater all
// day, so that the pump alone makes the difference.
func pumpSite(p *pumpPlace, l *pumpLoop) (*site.Site, error) {
	const text = `
name = "House of the trial of pumps"
[place]
latitude = "%g °"
longitude = "%g °"
altitude = "%g m"
time_zone = "%s"
coldest = "-20 °C"
[daemon]
guard = "/run/sunstoker/guard"
[settings]
heater_windows = "always"
[household]
people = 4
litres_per_person = "40 l"
[[system]]
name = "roof"
loop = "pumped"
%s
fluid = "propylene glycol"
antifreeze = "45 %%"
loop_flow = "%g l/min"
pump_power = "25 W"
[system.collector]
area = "%g m²"
tilt = "%g °"
direction = "%g °"
optical_efficiency = "78 %%"
loss = "3.8 W/(m² K)"
loss_growth = "0.012 W/(m² K²)"
[system.tank]
volume = "%g l"
loss = "2.2 W/K"
tempering_valve = "50 °C"
[system.heater]
power = "2 kW"
cut_out = "90 °C"
[system.probe.collector]
kind = "one-wire"
identity = "28-000000000001"
[system.probe.tank_top]
kind = "one-wire"
identity = "28-000000000002"
[system.probe.tank_bottom]
kind = "one-wire"
identity = "28-000000000003"
[system.output.loop_pump]
%s
[system.output.backup_heater]
kind = "relay"
chip = "gpiochip0"
line = "GPIO27"
%s
`
	return site.Parse("house of the trial of pumps", fmt.Appendf(nil, text, p.place.LatitudeDeg, p.place.LongitudeDeg, p.place.AltitudeM, p.zone,
		l.system, l.flowLMin, l.areaM2, p.tilt, p.facing, l.litres, l.pump, l.more))
}

// pumpCase is one loop in one place: the year of a pump that is only switched on
// and off by its two differences, and that of one which the controller spares.
// The weather, the draws and the probes, which lag and scatter, are the same.
type pumpCase struct {
	loop, place   string
	plain, spared Year
}

// tryPumps runs all loops in all places: spared by the settings that spare makes, and
// with a plain pump, once for loops that differ in their pump alone.
func tryPumps(ctx context.Context, loops []pumpLoop, places []pumpPlace, from time.Month, months int, spare func(*control.Settings)) ([]pumpCase, error) {
	var cases []pumpCase
	var jobs []Job
	var of [][2]int // the jobs of each case
	for i := range places {
		sky, err := places[i].weather()
		if err != nil {
			return nil, err
		}
		add := func(l pumpLoop, set func(*control.Settings)) (job int, err error) {
			s, err := pumpSite(&places[i], &l)
			if err != nil {
				return 0, err
			}
			set(&s.Plan.Systems[0].Settings)
			start := time.Date(2026, from, 1, 0, 0, 0, 0, s.Zone)
			jobs = append(jobs, Job{Site: s, Options: RunOptions{Weather: sky, Start: start, Months: months, Seed: 1}})
			return len(jobs) - 1, nil
		}
		plainOf := map[pumpLoop]int{}
		for _, l := range loops {
			switched := l
			switched.name, switched.pump = "", relayPump
			plain, known := plainOf[switched]
			if !known {
				if plain, err = add(switched, unspared); err != nil {
					return nil, err
				}
				plainOf[switched] = plain
			}
			spared, err := add(l, spare)
			if err != nil {
				return nil, err
			}
			cases, of = append(cases, pumpCase{loop: l.name, place: places[i].name}), append(of, [2]int{plain, spared})
		}
	}
	results := Sweep(ctx, jobs, 0)
	for i := range cases {
		for k, into := range []*Year{&cases[i].plain, &cases[i].spared} {
			r := results[of[i][k]]
			if r.Err != nil {
				return nil, r.Err
			}
			*into = *r.Year
		}
	}
	return cases, nil
}

// unspared lets the two differences alone switch the pump.
func unspared(s *control.Settings) { s.PumpSavingPercent = 0 }

// fully spares every kind of loop, also one that is not spared by itself.
func fully(s *control.Settings) { s.PumpSavingPercent = 100 }

// startsADay is how often the pump starts in a day of these months.
func startsADay(months ...Month) float64 {
	starts, days := 0, 0.0
	for i := range months {
		starts += months[i].PumpStarts
		days += nextMonth(months[i].Start).Sub(months[i].Start).Hours() / 24
	}
	return float64(starts) / days
}

// worstStarts is that of the month with the most of them.
func worstStarts(y *Year) float64 {
	return startsADay(*extreme(y, func(m *Month) float64 { return startsADay(*m) }))
}

// shares are what a spared pump takes and brings, as shares of what a switched
// one does.
func (c *pumpCase) shares() (pump, sun float64) {
	plain, spared := c.plain.Total(), c.spared.Total()
	return spared.PumpKWh / plain.PumpKWh, spared.FromSunKWh / plain.FromSunKWh
}

func writePumpTable(w io.Writer, cases []pumpCase) {
	fmt.Fprintln(w, "Loop pumps: spared at pump_saving = 100 %, against on and off by two differences alone")
	fmt.Fprintf(w, "%-27s %-20s %15s %15s %6s %6s %12s %12s\n", "", "", "starts a day", "in the worst", "pump", "heat of", "pump", "heater")
	fmt.Fprintf(w, "%-27s %-20s %15s %15s %6s %6s %12s %12s\n", "loop", "place", "before, now", "month", "share", "the sun", "kWh a year", "kWh a year")
	var starts, pumps, suns []float64
	for i := range cases {
		c := &cases[i]
		plain, spared := c.plain.Total(), c.spared.Total()
		pump, sun := c.shares()
		before, now := startsADay(c.plain.Months...), startsADay(c.spared.Months...)
		starts, pumps, suns = append(starts, now), append(pumps, pump), append(suns, sun)
		fmt.Fprintf(w, "%-27s %-20s %7.1f %7.1f %7.1f %7.1f %6.3f %7.3f %+12.1f %+12.1f\n", c.loop, c.place, before, now, worstStarts(&c.plain), worstStarts(&c.spared),
			pump, sun, spared.PumpKWh-plain.PumpKWh, spared.FromMeterKWh-plain.FromMeterKWh)
	}
	fmt.Fprintf(w, "%-48s %15.1f %15s %6.3f %7.3f\n", "median", median(starts), "", median(pumps), median(suns))
}

// median is the middle of values, of two in the middle their mean.
func median(values []float64) float64 {
	values = slices.Sorted(slices.Values(values))
	n := len(values)
	return (values[(n-1)/2] + values[n/2]) / 2
}
