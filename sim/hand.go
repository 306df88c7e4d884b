package sim

import (
	"fmt"
	"time"

	"sunstoker/sim/household"
	"sunstoker/sim/weather"
)

// What a person at a bench does to a house while it runs.

// SetWeather lets other weather come, from the next step on.
func (h *House) SetWeather(source weather.Source) {
	h.table = weather.NewTable(source, h.fields, h.config.SkySlot)
	h.skyEnds = h.elapsed // the sky is looked up anew
}

// Limits of a draw by hand.
const (
	mostDrawLMin = 60
	mostDrawTime = 24 * time.Hour
)

// OpenTap lets somebody draw water from now on; its At means nothing. An error
// names what cannot be.
func (h *House) OpenTap(d household.Draw) error {
	switch {
	case !(d.FlowLMin > 0 && d.FlowLMin <= mostDrawLMin):
		return fmt.Errorf("a tap of %g l/min; give more than 0, up to %d", d.FlowLMin, mostDrawLMin)
	case d.For <= 0 || d.For > mostDrawTime:
		return fmt.Errorf("a tap that runs for %v; give more than 0s, up to %v", d.For, mostDrawTime)
	case !(d.TapC > 0 && d.TapC <= 95):
		return fmt.Errorf("water of %g degC at the tap; give more than 0, up to 95", d.TapC)
	}
	if h.taps == nil {
		var err error
		if h.taps, err = household.NewTaps(household.Nobody{}, h.config.Start, h.config.Zone); err != nil {
			return err
		}
	}
	h.taps.Open(d, h.elapsed)
	return nil
}

// EndFaults repairs what is broken by faults of a name, now and to come, and says
// how many there were. What only a person could mend stays so, see [House].
func (h *House) EndFaults(name string) int {
	kept := h.faults.all[:0]
	ended := 0
	for _, f := range h.faults.all {
		if f.Name == name {
			ended++
			continue
		}
		kept = append(kept, f)
	}
	h.faults.all = kept
	h.applyFaults()
	return ended
}
