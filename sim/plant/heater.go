package plant

// heater is the electric element with its own two thermostats. Neither listens
// to the program: the thermostat opens and closes by itself, the cut-out opens
// once and waits for a person.
type heater struct {
	low, high      float64 // span it heats directly, in layers above the bottom
	watt           float64
	thermostatC    float64 // 0: not fitted
	cutOutC        float64 // 0: not fitted
	thermostatOpen bool
	cutOutOpen     bool
}

const thermostatGapK = 5

// newHeater spreads the element over the height of one layer, so that its heat
// never meets less water than a layer holds.
func newHeater(c Config) heater {
	n := float64(c.Layers)
	low := clamp(c.HeaterHeight*n-0.5, 0, n-1)
	return heater{
		low: low, high: low + 1, watt: c.HeaterW,
		thermostatC: c.ThermostatC, cutOutC: c.CutOutC,
	}
}

// gate reads both thermostats at the element and tells whether current can
// flow.
func (h *heater) gate(t *tank, cutOutBridged, thermostatWelded bool) bool {
	middle := (h.low + h.high) / 2 / float64(t.layers)
	atElementC := t.atHeightC(middle)
	if h.cutOutC > 0 && atElementC >= h.cutOutC {
		h.cutOutOpen = true
	}
	if h.thermostatC > 0 {
		if atElementC >= h.thermostatC {
			h.thermostatOpen = true
		} else if atElementC <= h.thermostatC-thermostatGapK {
			h.thermostatOpen = false
		}
	}
	return (cutOutBridged || !h.cutOutOpen) && (thermostatWelded || !h.thermostatOpen)
}
