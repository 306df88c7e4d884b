package plant

import "math"

// Outputs is what is wrong between the board and what it drives. The zero value
// is sound.
type Outputs struct {
	PowerCut      bool // no mains: neither pump nor heater runs, welded or not
	PowerDips     bool // half a minute without mains, every ten minutes
	Held          bool // the last levels stay, whatever is asked (a board that hangs)
	Inverted      bool // on means off
	On            bool // both on, whatever is asked
	Fought        bool // a second program drives them too, every other ten seconds
	PumpRelayOpen bool // its contact does not close
	PumpChatters  bool // the pump's relay drops every other five seconds
}

const (
	dipEveryS, dipS = 600, 30
	foughtS         = 10
	chatterS        = 5
)

// inFirstHalf tells whether a time lies in the first of two equal spans.
func inFirstHalf(atS, spanS float64) bool { return math.Mod(atS, 2*spanS) < spanS }

// Powered tells whether there is mains power.
func (p *Plant) Powered() bool {
	o := &p.Damage.Outputs
	return !o.PowerCut && !(o.PowerDips && p.inDip())
}

func (p *Plant) inDip() bool { return math.Mod(p.elapsedS, dipEveryS) < dipS }

// driven is the level that comes out of the board for the level asked.
func (p *Plant) driven(level float64) float64 {
	o := &p.Damage.Outputs
	if o.Inverted {
		level = 1 - level
	}
	if o.On {
		level = 1
	}
	if o.Fought && inFirstHalf(p.elapsedS, foughtS) {
		level = 1 - math.Round(level)
	}
	return level
}

// pumpLevel is the level at which the pump really turns.
func (p *Plant) pumpLevel() float64 {
	d := &p.Damage
	if d.Outputs == (Outputs{}) && !d.PumpDead && !d.PumpWelded {
		return p.level
	}
	return p.brokenPumpLevel()
}

func (p *Plant) brokenPumpLevel() float64 {
	d := &p.Damage
	switch {
	case d.PumpDead || !p.Powered() || p.config.PumpW == 0:
		return 0
	case d.PumpWelded:
		return 1
	case d.Outputs.PumpRelayOpen || d.Outputs.PumpChatters && inFirstHalf(p.elapsedS, chatterS):
		return 0
	}
	return p.driven(p.level)
}

// heaterDriven tells whether the heater's contactor gives it current.
func (p *Plant) heaterDriven() bool {
	d, on := &p.Damage, p.heaterOn
	if d.Outputs != (Outputs{}) {
		on = p.heaterTold()
	}
	return (on || d.HeaterWelded) && !d.ContactorOpen && p.Powered()
}

// heaterTold is what comes out of a board that is not sound.
func (p *Plant) heaterTold() bool {
	level := 0.0
	if p.heaterOn {
		level = 1
	}
	return p.driven(level) > 0.5
}
