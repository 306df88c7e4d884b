package planner

import (
	"math"
	"time"

	"sunstoker/control"
	"sunstoker/site"
)

// page is all that is told of a simulated year.
type page struct {
	site      *site.Site
	run       *Run
	weather   YearOfWeather
	year      *Year
	standouts []string
	faults    []string // that were switched on, in words
	start     time.Time
	tracers   []*tracer
	maps      []*tankMap
}

func newPage(r *Run, w YearOfWeather) (*page, error) {
	p := &page{site: r.site, run: r, weather: w, start: r.House.Now().In(r.site.Zone)}
	days := int(p.start.AddDate(0, r.months, 0).Sub(p.start).Hours() / 24)
	weeks := chooseWeeks(w.Source, p.start, days, r.site.Zone)
	for i := range r.site.Systems {
		t, err := newTracer(r, i, weeks)
		if err != nil {
			return nil, err
		}
		p.tracers = append(p.tracers, t)
		p.maps = append(p.maps, &tankMap{system: i})
	}
	return p, nil
}

// observers are those that the report needs.
func (p *page) observers(wanted bool) []func(*Run) {
	if !wanted {
		return nil
	}
	var out []func(*Run)
	for i := range p.tracers {
		out = append(out, p.tracers[i].see, p.maps[i].see)
	}
	return out
}

// figure is a number with its words.
type figure struct{ Value, Unit, Words string }

// systemView is a system on the page.
type systemView struct {
	Name  string
	Weeks []picture
	Tank  picture
	Facts []figure
}

func (p *page) systemView(i int) (systemView, error) {
	s := &p.site.Systems[i]
	v := systemView{Name: s.Name, Facts: p.facts(s)}
	hasPump, hasHeater := false, false
	for _, o := range p.site.Plan.Outputs {
		if o.System == i {
			hasPump = hasPump || o.Actuator == control.LoopPump
			hasHeater = hasHeater || o.Actuator == control.BackupHeater
		}
	}
	for k := range p.tracers[i].weeks {
		v.Weeks = append(v.Weeks, weekPicture(&p.tracers[i].weeks[k], p.site.Zone, hasPump, hasHeater))
	}
	var err error
	v.Tank, err = tankPicture(p.maps[i], p.start)
	if len(p.site.Systems) > 1 {
		v.Tank.Title = text("The tank of “%s” over the year", s.Name)
	}
	return v, err
}

// figures are the ones in large type.
func (p *page) figures() []figure {
	t := p.year.Total()
	warm := figure{fixed(float64(t.ShortDraws), 0), "of " + fixed(float64(t.Draws), 0), "draws were not warm enough"}
	return []figure{
		{shareCell(&t), "%", "of the heat came from the sun"},
		{fixed(t.FromSunKWh, 0), "kWh", "heat from the sun"},
		{fixed(t.FromMeterKWh, 0), "kWh", "heat from the meter"},
		warm,
		{fixed(t.StagnationHours, 0), "h", "collectors above the boiling point"},
	}
}

// tableCells is the table by month; the last row is the total.
func (p *page) tableCells() (head []figure, rows [][]string) {
	for _, c := range columns {
		if !c.csvOnly {
			first := c.head[0] + " "
			if cut := len(c.head[0]) - 1; c.head[0][cut] == '-' {
				first = c.head[0][:cut]
			}
			head = append(head, figure{Words: first + c.head[1], Unit: c.head[2]})
		}
	}
	for i := range p.year.Months {
		rows = append(rows, tableRow(p.year.Months[i].Start.Format("January"), &p.year.Months[i], columns))
	}
	total := p.year.Total()
	return head, append(rows, tableRow("together", &total, columns))
}

// facts are a system's main figures out of the site file.
func (p *page) facts(s *site.System) []figure {
	c, set := &s.Collector, &s.Settings
	fluid := "water"
	if s.Glycol {
		fluid = text("propylene glycol, %g %% by volume, begins to freeze at %.0f °C", s.AntifreezePercent, s.FreezingPointC)
	}
	loop := "natural circulation"
	if s.Loop == control.Pumped {
		loop = text("pumped, %g l/min at %g bar", s.LoopFlowLPerMin, s.LoopPressureBar)
	}
	heater := "none"
	if s.Heater.PowerW > 0 {
		heater = text("%g kW, cut-out %s; %s, from %g to %g °C, and below %g °C at any time",
			s.Heater.PowerW/1000, orNone(s.Heater.CutOutC), set.HeaterWindows, set.HeaterStartC, set.HeaterStopC, set.HeaterFloorC)
	}
	return []figure{
		{Words: "Collectors", Value: text("%g m², tilt %g°, looking to %g°; %g %%, %g W/(m² K), %g W/(m² K²)", c.AreaM2, c.TiltDeg, c.DirectionDeg, c.OpticalEfficiencyPercent, c.LossWM2K, c.LossGrowthWM2K2)},
		{Words: "Tank", Value: text("%g l of %s, standing loss %g W/K, limit %g °C, tempering valve %s", s.Tank.VolumeL, s.Store, s.Tank.LossWK, set.TankLimitC, orNone(s.Tank.TemperingC))},
		{Words: "Loop", Value: loop},
		{Words: "Fluid", Value: fluid},
		{Words: "Loop pump", Value: text("starts at %g K, stops at %g K between collector and tank", set.StartDifferenceK, set.StopDifferenceK)},
		{Words: "Backup heater", Value: heater},
	}
}

func placeWords(s *site.Site) string {
	north, east := "north", "east"
	if s.LatitudeDeg < 0 {
		north = "south"
	}
	if s.LongitudeDeg < 0 {
		east = "west"
	}
	return text("%g° %s, %g° %s, %g m above the sea, clocks of %s", math.Abs(s.LatitudeDeg), north, math.Abs(s.LongitudeDeg), east, s.AltitudeM, s.TimeZone)
}

func orNone(tempC float64) string {
	if tempC == 0 {
		return "none named"
	}
	return text("%g °C", tempC)
}

// modelLimits is what a reader of the report must know of the models.
var modelLimits = []string{
	"A typical or generated year is no forecast. Real years differ by a tenth or so in sun, and households by far more.",
	"Figures that a site file does not hold are of the usual size: heat capacity and angle behaviour of the collector, coil, pipes (2.5 l and 2.5 W/K each way), a tank room of 18 °C, pump power of 25 W. Common practice, no source.",
	"The collector follows the steady curve of its test report with one heat capacity. Wind, snow, dirt, shade of trees and neighbours are left out.",
	"The tank is a plug of layers that conduct and mix when inverted. A poor cold inlet mixes more, and then heat from the sun and comfort are less.",
	"Steam pushes fluid into the expansion vessel, but it stays in the collectors: pipes full of steam are left out.",
	"Probes lag and scatter a little, as usual ones do. Nothing fails but the faults named at the top; a cut-out that has opened stays open, since nobody is there to reset it.",
	"Cold water follows a formula for mains in the ground by air temperature; single networks differ by several kelvin.",
	"Against a published monthly correlation the yearly solar share of plain systems agrees within 5 percentage points.",
}

// Cautions are those that nobody who plans may miss. Not to be changed.
var Cautions = []string{
	"This is an estimate to plan with, not a proof of safety, yield or hygiene. Local codes and the word of a licensed plumber, electrician or roofer come first.",
	"Scalding: the sun heats the tank far above what skin bears. A tempering valve is needed wherever the tank can pass what the tap may have.",
	"Steam and pressure: collectors in the sun without flow boil. Relief valves, an expansion vessel sized for stagnation and pipes that bear steam must be there without any program.",
	"Legionella: the hygiene heat-up reaches the top of the tank only, and not pipes and taps. How the water is kept safe is for somebody to decide who answers for it under your code.",
	"Mains voltage: the heater needs its own thermostat, a cut-out with manual reset, a residual-current device and a qualified electrician.",
	"Roofs: a fall can kill. Work with fall protection, in dry and calm weather, not alone.",
}
