package sizing

import (
	"fmt"
	"math"
	"strings"

	"sunstoker/control"
	"sunstoker/physics"
	"sunstoker/sim/plant"
	"sunstoker/site"
)

// row is a line of the fitting sheet: what, how much, and where that comes from.
type row struct{ what, value, how string }

// Words for where a figure comes from.
const (
	practice = "common practice, no source"
	memory   = "from memory"
)

func say(format string, args ...any) string { return fmt.Sprintf(format, args...) }

// rows is the fitting sheet of one system; all systems of an option are alike.
func (s *study) rows() []row {
	f := s.chosen.fitting
	rows := []row{f.frostRow(s.wish.House.ColdestC), f.fluidRow(s.wish)}
	if f.sealed {
		rows = append(rows, f.pressureRows(s.wish.House.AltitudeM)...)
	} else {
		rows = append(rows, f.openRows()...)
	}
	rows = append(rows, f.loopRows(s.wish)...)
	return append(rows, f.heaterRows(s.wish)...)
}

func (f *fitting) frostRow(coldestC float64) row {
	if f.antifreezePercent == 0 {
		return row{"Antifreeze", "none: plain water", say("the coldest night of %g °C leaves the %d K that a clear sky cools a collector below the air (%s)", coldestC, site.NightSkyK, practice)}
	}
	below := say("coldest night %g °C less %d K that a clear sky cools a collector below the air (%s) and a margin of %g K", coldestC, site.NightSkyK, practice, usual.FreezeWarningMarginK)
	if f.freezesC > coldestC-site.NightSkyK-usual.FreezeWarningMarginK {
		below = say("coldest night %g °C less a margin of %g K; no mixture goes far enough for a clear sky, which cools a collector below the air", coldestC, usual.FreezeWarningMarginK)
	}
	return row{
		"Antifreeze",
		say("%g %% by volume of propylene glycol with inhibitors; begins to freeze at %.0f °C", f.antifreezePercent, f.freezesC),
		below + say(", by the freezing points of the ASHRAE Handbook and of Melinder (2010), both read second hand, and one percent more; at least 25 %% for the inhibitors (%s). The maker's sheet comes first", practice),
	}
}

func (f *fitting) fluidRow(w *site.Wish) row {
	total := f.contentL() + f.storeL
	if f.sealed {
		total += physics.SolarVesselReserveLitre
	}
	value := say("%.0f l in all", math.Ceil(total))
	if f.antifreezePercent > 0 {
		value += say(", %.1f l of it glycol", total*f.antifreezePercent/100)
	}
	parts := []string{say("collectors %d x %g l (the wish)", f.modules, w.Collector.ContentL)}
	if f.sealed {
		parts = append(parts, say("coil %.1f l (%g l for each of %.2g m², %s)", f.coilL, coilLPerM2, f.coilM2, practice))
	}
	if f.natural() {
		parts = append(parts, say("short pipes %g l (%s)", f.pipesL, practice))
	} else {
		parts = append(parts, say("pipes %.1f l (π/4 d² L, both ways)", f.pipesL))
	}
	if f.sealed {
		parts = append(parts, say("reserve %d l (a maker's planning guide, read second hand)", physics.SolarVesselReserveLitre))
	} else {
		parts = append(parts, say("store %g l", f.storeL))
	}
	return row{"Fluid", value, strings.Join(parts, " + ")}
}

func (f *fitting) pressureRows(altitudeM float64) []row {
	return []row{
		{"Coil", say("at least %.2g m²", f.coilM2), say("%g m² for each m² of collector (%s)", coilM2PerM2, practice)},
		{"Fill pressure, cold", say("%.1f bar at the gauge", f.fillBar),
			say("1.3 bar + 0.1 bar for each of %g m (a public manual, read), or more until water at the top boils no sooner than %g K above the restart ceiling of %g °C in the air of %g m; it boils at %.0f °C (IAPWS-IF97, standard atmosphere)",
				f.heightM, float64(ceilingMarginK), usual.RestartCeilingC, altitudeM, f.boilsC)},
		{"Expansion vessel", say("%g l, its gas at %.1f bar before filling", f.vesselL, f.prechargeBar),
			say("(V e + Vr + Vs) (pe + 1)/(pe - p0) by the form of EN 12828, and Boyle's law from the filling on, the larger, next size up; V = %.1f l, e = %d %%, Vr = %d l, steam Vs = %.1f l (collectors and a fifth of the pipes, %s), pe = %.1f bar; e, Vr and pe from a maker's planning guide (read second hand); p0 half a bar below the filling (a public manual, read)",
				f.contentL(), int(100*physics.SolarVesselGrowth), physics.SolarVesselReserveLitre, f.steamL, practice, f.endBar)},
		{"Relief valve of the loop", say("%g bar, nothing to shut before it", f.reliefBar), practice + "; no part of the loop may bear less"},
		{"Relief valve of the tank", "by temperature and pressure, at the top", say("some 95 °C, and no more than the tank may bear (%s; EN 1490, %s); its pipe full bore, falling, open", practice, memory)},
	}
}

func (f *fitting) openRows() []row {
	value := "a few litres"
	if fluid, err := f.fluid(); err == nil {
		if share, err := fluid.ExpansionFraction(max(f.freezesC, planningColdC), hottestStoreC); err == nil {
			value = say("%.0f l of room above the cold fluid", math.Ceil(share*(f.contentL()+f.storeL)))
		}
	}
	return []row{{"Drinking-water coil", say("some %.2g m²", tapCoilM2), say("as in the simulated store, with %g W/(m² K) (%s): a smaller one leaves the taps colder", float64(tapCoilWM2K), practice)}, {"Room to expand", value, say("the store is open to the air and needs no vessel; densities of the fluid from %d to %d °C (Melinder 2010, read second hand); never shut its vent", planningColdC, hottestStoreC)}}
}

// The coil of a simulated store of loop fluid.
const tapCoilWM2K = 350

var tapCoilM2 = plant.TypicalStore().Store.TapCoilUAWK / tapCoilWM2K

// hottestStoreC is for the room that a store's fluid wants.
const hottestStoreC = 95

func (f *fitting) loopRows(w *site.Wish) []row {
	hottest := w.Collector.Curve()
	hottest.AreaM2 = f.areaM2()
	rows := []row{
		{"Heat near the collectors", say("up to %.0f °C", hottest.StagnationC(1000, 30)), say("stagnation in 1000 W/m² at 30 °C (ISO 9806, %s), by the collector's curve: pipes, insulation, cables and fittings there must bear it", memory)},
	}
	if f.natural() {
		return append(rows, row{"Pipes", "22 mm or wider, short, rising all the way", say("as in the simulated plant (%s); the tank above the collectors", practice)})
	}
	return append(rows,
		row{"Flow", say("%.2g l/min", f.flowLMin), say("%g l/min for each m² of collector (%s)", flowLMinPerM2, practice)},
		row{"Pipe", say("copper %g x 1 mm or the next, bore %g mm, insulated", f.pipe.outerMM, 1000*f.pipe.boreM), say("the smallest with at most %g m/s: here %.2f m/s, flow by section (%s; sizes EN 1057, %s)", mostPipeMS, physics.PipeSpeedMS(f.flowLMin, f.pipe.boreM), practice, memory)},
		row{"Pump", say("%.2g l/min against %.1f m (%.0f kPa)", f.flowLMin, f.headPa/(1000*physics.GravityMS2), f.headPa/1000),
			say("Darcy-Weisbach with Hagen-Poiseuille or Blasius in %g m of pipe at %d °C, times %g for fittings, and %.0f kPa for coil, collectors and check valve (%s)", 2*w.Roof.PipeM, pumpedAtC, fittingsFactor, coilAndFieldPa/1000, practice)},
		row{"Check valve", "one, in the cold pipe", say("else the tank warms the roof at night (%s)", practice)})
}

func (f *fitting) heaterRows(w *site.Wish) []row {
	tripping := ""
	if f.cutOutC < usualCutOutC {
		tripping = say("; %g K below boiling in the air of this height", float64(underBoilingK))
	}
	return []row{
		{"Backup heater", say("%g kW", f.heaterW/1000), say("m c ΔT/t: %.0f l (the tank above a heater at 60 %% of its height) from %d to %d °C in %s want %.1f kW, next size up", f.heatedL, planningColdC, heaterStopC, control.Second.Format(w.Choices.Recovery.Seconds()), f.needW/1000)},
		{"Heater's cut-out", say("%g °C, with manual reset", f.cutOutC), say("above the tank limit of %g °C (%s)%s; and a thermostat of its own below it", f.tankLimitC, practice, tripping)},
		{"Tempering valve", say("%d °C", temperingC), "limits at the tap: see the cautions and your code"},
	}
}

// wiring lists what is wired, those of all systems together.
func (s *study) wiring() []row {
	f := s.chosen.fitting
	each := ""
	if f.systems > 1 {
		each = say("%d x, one in each system: ", f.systems)
	}
	lines := func(of []string) string { return strings.Join(of[:f.systems], ", ") }
	var spi []string
	for i := range f.systems {
		spi = append(spi, say("/dev/spidev0.%d", i))
	}
	rows := []row{
		{"Collector probe", each + "Pt1000, three wires, converter on " + strings.Join(spi, ", "), "at the collectors' hot end, with a cable that bears its heat"},
		{"Tank top probe", each + "one-wire, DS18B20", "in a pocket at the draw-off, above the heater"},
		{"Tank bottom probe", each + "one-wire, DS18B20", "in a pocket beside the coil"},
		{"Outdoor air probe", "one-wire, DS18B20", "in the shade, away from warm walls and vents"},
	}
	if !f.natural() {
		rows = append(rows, row{"Loop pump", each + "relay on gpiochip0, " + lines(pumpLines[:]), "normally open; an arc suppressor across the pump"})
	}
	return append(rows, row{"Backup heater", each + "relay on gpiochip0, " + lines(heaterLines[:]),
		"the relay drives the coil of a contactor that breaks all live poles, with thermostat and cut-out in series; by a licensed electrician, with breaker and residual-current device"})
}
