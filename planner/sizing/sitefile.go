package sizing

import (
	"fmt"
	"math"
	"strings"

	"sunstoker/physics"
	"sunstoker/site"
)

// draft is a site file in the making.
type draft struct{ strings.Builder }

func (d *draft) table(header string) { fmt.Fprintf(d, "\n%s\n", header) }

func (d *draft) text(key, format string, args ...any) {
	fmt.Fprintf(d, "%s = \"%s\"\n", key, fmt.Sprintf(format, args...))
}

func (d *draft) plain(key string, value any) { fmt.Fprintf(d, "%s = %v\n", key, value) }

func (d *draft) remark(text string) {
	for _, line := range strings.Split(text, "\n") {
		fmt.Fprintf(d, "# %s\n", line)
	}
}

// siteText is the site file of an option with its fitting; it is what is simulated
// and what an installer starts from. The promised heat of each system, January to
// December, may be left out.
func siteText(w *site.Wish, f *fitting, promisedKWh []float64) string {
	d := &draft{}
	d.remark("The site file of " + f.words() + ", as it was sized.\n" +
		"Put in what was really fitted: identities of probes (the command \"sunstoker probe\" shows\n" +
		"them), lines of relays, figures of collector and tank from their papers, the pressure\n" +
		"that the gauge shows, the settings of valve and cut-out. Then check it.")
	d.WriteString("\n")
	d.text("name", "%s", w.House.Name)
	placePart(d, w.House)
	householdPart(d, w.House)
	d.table("[daemon]")
	d.text("guard", "/run/sunstoker/guard")
	d.table("[electricity]")
	d.text("price", "%s", w.House.Electricity)
	d.table("[probe.outdoor_air]")
	probe(d, 0, 1)
	settingsPart(d, f)
	for i := range f.systems {
		systemPart(d, w, f, i, promisedKWh)
	}
	return d.String()
}

// settingsPart lets the heater help at any time, so that all options give the same
// comfort and differ in what that takes.
func settingsPart(d *draft, f *fitting) {
	d.table("[settings]")
	d.text("heater_windows", "always")
	d.text("heater_start", "%d °C", heaterStartC)
	d.text("heater_stop", "%d °C", heaterStopC)
	if f.tankLimitC != usualTankLimitC {
		d.text("tank_limit", "%g °C", f.tankLimitC)
	}
}

func placePart(d *draft, s *site.Site) {
	d.table("[place]")
	d.text("latitude", "%g °", s.LatitudeDeg)
	d.text("longitude", "%g °", s.LongitudeDeg)
	d.text("altitude", "%g m", s.AltitudeM)
	d.text("time_zone", "%s", s.TimeZone)
	if s.BatteryClock {
		d.plain("battery_clock", true)
	}
	d.text("coldest", "%g °C", s.ColdestC)
	if s.YearLightKWhM2 > 0 {
		d.text("sunshine", "%g kWh/m²", s.YearLightKWhM2)
	}
	d.table("[surroundings]")
	d.text("room", "%g °C", s.Surroundings.RoomC)
	d.text("ground_reflection", "%g %%", s.Surroundings.GroundReflectionPercent)
}

func householdPart(d *draft, s *site.Site) {
	h := &s.Household
	d.table("[household]")
	if h.Profile != "" {
		d.text("profile", "%s", h.Profile)
	} else {
		d.plain("people", h.People)
		d.text("litres_per_person", "%g l", h.LitresPerPerson)
	}
	var away, guests []string
	for _, days := range h.Holidays {
		away = append(away, daysText(days))
	}
	for _, g := range h.Guests {
		guests = append(guests, fmt.Sprintf("%d from %s", g.People, daysText(g.Days)))
	}
	if len(away) > 0 {
		d.text("holidays", "%s", strings.Join(away, ", "))
	}
	if len(guests) > 0 {
		d.text("guests", "%s", strings.Join(guests, ", "))
	}
	if h.DrawsInSeries {
		d.plain("draws_in_series", true)
	}
}

func daysText(days site.Days) string {
	return fmt.Sprintf("%d %v to %d %v", days.First.Day, days.First.Month, days.Last.Day, days.Last.Month)
}

// systemNames are those of the systems of a house; one alone has a name of its own.
var systemNames = [...]string{"first", "second", "third", "fourth"}

func (f *fitting) systemName(i int) string {
	if f.systems == 1 {
		return "roof"
	}
	return systemNames[i]
}

func systemPart(d *draft, w *site.Wish, f *fitting, i int, promisedKWh []float64) {
	d.table("[[system]]")
	d.text("name", "%s", f.systemName(i))
	d.text("loop", "%s", f.loopWords())
	d.text("store", "%s", w.Choices.Store)
	if f.antifreezePercent > 0 {
		d.text("fluid", "propylene glycol")
		d.text("antifreeze", "%g %%", f.antifreezePercent)
	} else {
		d.text("fluid", "water")
	}
	if f.sealed {
		d.text("loop_pressure", "%.2f bar", f.atCollectorBar)
	}
	if !f.natural() {
		d.text("loop_flow", "%g l/min", f.flowLMin)
	}
	if promisedKWh != nil {
		d.text("promised_heat", "%s kWh", listed(promisedKWh))
	}
	collectorPart(d, w, f)
	d.table("[system.tank]")
	d.text("volume", "%g l", f.tankL)
	d.text("loss", "%.2f W/K", f.tankLossWK)
	d.text("tempering_valve", "%d °C", temperingC)
	d.table("[system.heater]")
	d.text("power", "%g W", f.heaterW)
	d.text("cut_out", "%g °C", f.cutOutC)
	plumbingPart(d, w, f)
	wiringPart(d, f, i)
}

func collectorPart(d *draft, w *site.Wish, f *fitting) {
	c := &w.Collector
	d.table("[system.collector]")
	d.text("area", "%g m²", f.areaM2())
	d.text("tilt", "%g °", w.Roof.TiltDeg)
	d.text("direction", "%g °", w.Roof.DirectionDeg)
	d.text("optical_efficiency", "%g %%", c.OpticalEfficiencyPercent)
	d.text("loss", "%g W/(m² K)", c.LossWM2K)
	d.text("loss_growth", "%g W/(m² K²)", c.LossGrowthWM2K2)
}

func plumbingPart(d *draft, w *site.Wish, f *fitting) {
	if !f.sealed {
		return
	}
	d.table("[system.plumbing]")
	if !f.natural() {
		d.text("pipe_length", "%g m", w.Roof.PipeM)
		d.text("pipe_bore", "%g mm", 1000*f.pipe.boreM)
	}
	d.text("expansion_vessel", "%g l", f.vesselL)
	d.text("relief_valve", "%g bar", f.reliefBar)
}

func listed(figures []float64) string {
	words := make([]string, len(figures))
	for i, x := range figures {
		words[i] = fmt.Sprintf("%.0f", math.Max(0, x))
	}
	return strings.Join(words, ", ")
}

// wiringPart wires a system. Identities and lines are examples.
func wiringPart(d *draft, f *fitting, i int) {
	d.table("[system.probe.collector]")
	d.text("kind", "platinum")
	d.text("spi_device", "/dev/spidev0.%d", i)
	d.text("element", "Pt1000")
	d.text("reference", "4300 Ω")
	d.plain("wires", 3)
	d.table("[system.probe.tank_top]")
	probe(d, i+1, 1)
	d.table("[system.probe.tank_bottom]")
	probe(d, i+1, 2)
	if !f.natural() {
		d.table("[system.output.loop_pump]")
		relay(d, pumpLines[i])
	}
	d.table("[system.output.backup_heater]")
	relay(d, heaterLines[i])
}

// probe is a one-wire probe; its identity tells the system, 0 for the house's, and
// its place.
func probe(d *draft, system, place int) {
	d.text("kind", "one-wire")
	d.text("identity", "28-0000000%02d%03d", system, place)
}

// Lines of the board's pins that rest low (common practice, no source).
var (
	pumpLines   = [...]string{"GPIO17", "GPIO22", "GPIO23", "GPIO24"}
	heaterLines = [...]string{"GPIO27", "GPIO25", "GPIO16", "GPIO26"}
)

func relay(d *draft, line string) {
	d.text("kind", "relay")
	d.text("chip", "gpiochip0")
	d.text("line", "%s", line)
}

// tankLossWK is that of a tank of a usual class.
func tankLossWK(litres float64) (float64, error) {
	watt, err := physics.StandingLossLimitClassCW(litres)
	return physics.LossConductanceWK(watt), err
}
