package site

import (
	"fmt"
	"math"

	"sunstoker/control"
	"sunstoker/physics"
)

// NightSkyK is how much a collector may be colder than the air under a clear
// night sky. Common practice, no source.
const NightSkyK = 5

// checkFluid works out the freezing point and holds it against the coldest
// night.
func (c *systemCheck) checkFluid() {
	if !c.solid("fluid") {
		return
	}
	at, written := c.positions[c.path+".antifreeze"]
	switch {
	case c.Glycol && !written:
		c.missing("antifreeze", "with propylene glycol")
	case c.Glycol && c.solid("antifreeze"):
		c.checkAntifreeze(at)
	case !c.Glycol && written:
		c.wrong("system.antifreeze", at, "there is no antifreeze in plain water", `take the key out, or write fluid = "propylene glycol"`)
	case !c.Glycol && c.solid("loop") && c.sound["place.coldest"]:
		c.checkWater()
	}
}

func (c *systemCheck) checkAntifreeze(at position) {
	fluid, err := c.LoopFluid()
	if err != nil {
		c.wrong("system.antifreeze", at, err.Error(), "write another share") // the schema's limits lie inside those of the formulas
		return
	}
	c.FreezingPointC = fluid.FreezingPointC()
	if !c.sound["place.coldest"] || !c.solidSettings("freeze_warning_margin") {
		return
	}
	coldest, margin := c.site.ColdestC, c.Settings.FreezeWarningMarginK
	mixture := fmt.Sprintf("%g %% of propylene glycol begins to freeze at %.0f °C", c.AntifreezePercent, c.FreezingPointC)
	if c.FreezingPointC > coldest {
		c.wrong("system.antifreeze", at, mixture+fmt.Sprintf(", and the coldest night is %g °C: the collector could burst", coldest), stronger(coldest, margin))
	} else if c.FreezingPointC > coldest-margin {
		c.advise("system.antifreeze", at, mixture+fmt.Sprintf(", %.0f K from the coldest night of %g °C", coldest-c.FreezingPointC, coldest), stronger(coldest, margin))
	}
}

// stronger says which mixture keeps the margin, or at least the night.
func stronger(coldestC, marginK float64) string {
	for _, wantedC := range []float64{coldestC - marginK, coldestC} {
		if percent, err := mixtureFor(wantedC); err == nil {
			return fmt.Sprintf("fill in %.0f %% or more, by the maker's sheet", percent)
		}
	}
	return "ask the fluid's maker for a mixture for such nights"
}

// mixtureFor is the share of propylene glycol, percent by volume, that does not
// begin to freeze at a temperature by either of two published tables, which differ
// by about one percent; that is added.
func mixtureFor(wantedC float64) (percent float64, err error) {
	percent, err = physics.GlycolVolumePercentForFreezing(math.Min(wantedC, 0))
	if err != nil {
		return 0, err
	}
	most := schema.table("system").key("antifreeze").max
	for percent = math.Ceil(percent) + 1; percent <= most; percent++ {
		fluid, err := (&System{Glycol: true, AntifreezePercent: percent}).LoopFluid()
		if err != nil || fluid.FreezingPointC() <= wantedC {
			return percent, err
		}
	}
	return 0, fmt.Errorf("no more than %g %% of propylene glycol can be filled in, and %.0f °C want more", most, wantedC)
}

func (c *systemCheck) checkWater() {
	coldest := c.site.ColdestC
	key, at := c.spot("fluid")
	switch {
	case c.Loop == control.Natural && coldest < 0:
		c.wrong(key, at, fmt.Sprintf("plain water freezes at 0 °C, the coldest night is %g °C, and there is no pump to keep it moving: the collector can burst", coldest),
			`fill in antifreeze and write fluid = "propylene glycol"`)
	case c.Loop == control.Natural && coldest < NightSkyK:
		c.advise(key, at, fmt.Sprintf("under a clear sky a collector can be %d K colder than the air, which is %g °C in the coldest night: plain water may freeze", NightSkyK, coldest),
			"fill in antifreeze, or drain the collector before such nights")
	case c.Loop == control.Pumped && coldest < NightSkyK:
		c.advise(key, at, fmt.Sprintf("with plain water and nights of %g °C only the running pump keeps the collector from freezing, and not in a power cut", coldest),
			"fill in antifreeze where nights can freeze")
		if c.probeAt(control.House, control.OutdoorAir) == nil {
			c.advise(key, at, "frost protection has the collector's probe alone to go by", "add an outdoor air probe, [probe.outdoor_air], as a second witness")
		}
	}
}
