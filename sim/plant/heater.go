package plant

// heater is the electric element with its own two thermostats. Neither listens
// to the program: the thermostat opens and closes by itself, the cut-out opens
// once and waits for a person.
type heater struct {
	low, high      float64 // span it heats directly, in layers above the bottom
	element        spot    // its middle
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
		element:     spot{height: (low + 0.5) / n},
		thermostatC: c.ThermostatC, cutOutC: c.CutOutC,
	}
}

// set moves the thermostat's setting and trips the cut-out where the damage says
// so.
func (h *heater) set(thermostatC float64, d *Damage) {
	h.thermostatC = thermostatC
	if d.ThermostatSetC > 0 {
		h.thermostatC = d.ThermostatSetC
	}
	if d.CutOutTripped && h.cutOutC > 0 {
		h.cutOutOpen = true
	}
}

// feel lets both thermostats feel the water beside the element, whether the
// heater is on or not: a tank that the sun has overheated opens the cut-out too.
func (h *heater) feel(t *tank, cutOutBridged bool) {
	// Nothing is hotter than the top, so a cool top settles it.
	topC := t.topC()
	if !h.thermostatOpen && (h.thermostatC == 0 || topC < h.thermostatC) && (h.cutOutC == 0 || topC < h.cutOutC) {
		return
	}
	atElementC := h.element.tempC(t)
	if h.cutOutC > 0 && atElementC >= h.cutOutC && !cutOutBridged {
		h.cutOutOpen = true
	}
	if h.thermostatC > 0 {
		if atElementC >= h.thermostatC {
			h.thermostatOpen = true
		} else if atElementC <= h.thermostatC-thermostatGapK {
			h.thermostatOpen = false
		}
	}
}

// closed tells whether current can flow.
func (h *heater) closed(cutOutBridged, thermostatWelded bool) bool {
	return (cutOutBridged || !h.cutOutOpen) && (thermostatWelded || !h.thermostatOpen)
}

// bareBurnsS is how long an element lasts under current without water (common
// practice, no source: seconds to a few minutes).
const bareBurnsS = 60

// bare tells whether the element has no water around it.
func (p *Plant) bare() bool {
	return p.Damage.ElementBare || p.storeLevel < p.config.HeaterHeight && p.config.Store.fitted()
}

// heatBare is current through an element without water. Its heat goes past the
// water into the room until it has burnt out; from then on it takes no current
// as long as it is bare. Whoever fills the tank again is taken to fit a new one.
func (p *Plant) heatBare(stepS float64) {
	if p.bareS >= bareBurnsS {
		return
	}
	p.bareS += stepS
	p.tally.BareS += stepS
	if p.bareS >= bareBurnsS {
		p.tally.ElementsBurnt++
	}
	p.heating = true
	energyJ := p.heater.watt * stepS
	p.book.HeaterJ += energyJ
	p.book.TankLossJ += energyJ
}
