package plant

const (
	// reliefGapK is how much the top must cool before the valve closes.
	reliefGapK = 5
	// reliefLitresPerS is what an open valve lets out.
	reliefLitresPerS = 0.2
	// tankBoilingC is where water boils at about 4 bar absolute, a usual mains
	// pressure (IAPWS-IF97): the last bound of a tank without relief valve.
	tankBoilingC = 143.6
)

// stepRelief lets hot water out of a tank that has become too hot. A tank
// whose valve is missing or blocked boils in the end; the heat that would go
// into steam is then taken out, and the truth says so (see Hazards).
func (p *Plant) stepRelief(s *Surroundings, stepS float64) {
	topC := p.tank.topC()
	if topC < 60 {
		p.releasing = false
		return
	}
	limitC := p.config.ReliefC
	if limitC > 0 && !p.Damage.ReliefValveBlocked {
		if topC >= limitC {
			p.releasing = true
		} else if topC < limitC-reliefGapK {
			p.releasing = false
		}
		if p.releasing && p.Damage.InletStopped {
			// What leaves as steam is not made up; how far the water sinks is not
			// followed.
			p.book.ReliefJ += p.tank.boilOff(limitC)
		} else if p.releasing {
			p.book.ReliefJ += p.tank.release(reliefLitresPerS*stepS, s.ColdC)
		}
		return
	}
	p.releasing = false
	p.book.ReliefJ += p.tank.boilOff(p.boilsAtC)
}

// release lets water out of the top and returns the heat it took, in J above
// the cold water that replaced it.
func (t *tank) release(litres, coldC float64) float64 {
	all := Draw{Litres: litres, TapC: tankBoilingC * 2, UsefulC: coldC}
	_, takenJ := t.tap(all, coldC, tankBoilingC*2)
	return takenJ
}

// boilOff cools every cell to the boiling point and returns the heat taken.
func (t *tank) boilOff(boilingC float64) (takenJ float64) {
	for k := range t.tempC {
		if excess := t.tempC[k] - boilingC; excess > 0 {
			takenJ += excess * t.share(k) * t.layerJK
			t.tempC[k] = boilingC
		}
	}
	return takenJ
}
