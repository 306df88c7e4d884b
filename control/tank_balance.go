package control

import "time"

// TankBalance is the memory of a tank's own heat balance: what its two probes
// say is stored, against what is known to have come and gone.
type TankBalance struct {
	Known   bool          `json:"known"`
	StoredJ float64       `json:"stored_j"` // above 0 °C, at the last look
	OpenJ   float64       `json:"open_j"`   // found, and not yet booked
	CreditJ float64       `json:"credit_j"` // risen with the loop at rest: taken off the next draw
	HeaterJ float64       `json:"heater_j"` // heated since the last look
	LoopJ   float64       `json:"loop_j"`   // metered in the loop since the last look
	RingJ   float64       `json:"ring_j"`   // lost by the hot-water circulation since the last look
	LoopRan time.Duration `json:"loop_ran_ns"`
	ColdC   float64       `json:"cold"` // of the cold water: the coldest tank bottom of late; 0 is not known
}

// balanceBandK is how far the tank's mean must move before it is booked, so
// that the flicker of its probes is not counted as heat that comes and goes: a
// DS18B20 flickers by 1/16 K.
const balanceBandK = 0.2

// The tank stands in a room of about roomC; common practice, no source.
const roomC = 20

// Cold water is between these; what a tank bottom was coldest at forgets itself
// by coldDriftK for a tankful of water drawn tankfulK warmer, about what a family
// uses in a day, so that it follows the seasons. It does not while nobody draws:
// a tank that is left alone tells nothing of the water in the street.
const (
	leastColdC, mostColdC = 2, 25
	coldDriftK, tankfulK  = 0.5, 30
)

// balanceTank looks what the tank has won or lost since the last look. What its
// heater, its room and its hot-water circulation don't explain is the sun's when the loop runs and brings
// heat, and drawn water's when it falls. A rise with the loop at rest is only
// layers that settle past a probe, and comes off the next draw. A draw while
// the sun heats hides as much of both.
func (c *Controller) balanceTank(s *system, span time.Duration) {
	b, e := &s.mem.Balance, &s.mem.Energy
	heaterJ, loopJ, ringJ, ran := b.HeaterJ, b.LoopJ, b.RingJ, b.LoopRan
	b.HeaterJ, b.LoopJ, b.RingJ, b.LoopRan = 0, 0, 0, 0
	if s.plan.TankL <= 0 || !s.tankTop.OK() || !s.tankBottom.OK() {
		b.Known = false
		return
	}
	s.learnColdWater()
	meanC := (s.tankTop.Value + s.tankBottom.Value) / 2
	capacityJK := s.plan.TankL * waterJLK
	storedJ := capacityJK * meanC
	if !b.Known {
		*b = TankBalance{Known: true, StoredJ: storedJ, ColdC: b.ColdC}
		return
	}
	lossJ := max(0, s.plan.TankLossWK*(meanC-roomC)*seconds(span))
	e.TankLossJ += lossJ
	metered := s.loopFlow.OK() && s.coilReturn.OK() && s.collector.OK()
	b.OpenJ += storedJ - b.StoredJ + lossJ + ringJ - heaterJ
	b.StoredJ = storedJ
	if metered {
		b.OpenJ -= loopJ
	}
	bandJ := balanceBandK * capacityJK
	loopGives, loopTakes := s.loopMoves(ran, span)
	switch {
	case b.OpenJ > bandJ:
		if loopGives && !metered {
			e.SunJ += b.OpenJ - bandJ
		} else {
			b.CreditJ += b.OpenJ - bandJ
		}
		b.OpenJ = bandJ
	case b.OpenJ < -bandJ:
		s.forgetColdWater(e.bookFall(b, -bandJ-b.OpenJ, loopTakes && !metered, s.drawFlow.OK()))
		b.OpenJ = -bandJ
	}
}

// bookFall books heat that has left the tank, and tells how much of it was drawn,
// J; what a flow meter counts is told there.
func (e *Energy) bookFall(b *TankBalance, heatJ float64, byLoop, drawMetered bool) (drawnJ float64) {
	if byLoop {
		e.LoopLossJ += heatJ
		return 0
	}
	settled := min(b.CreditJ, heatJ)
	b.CreditJ -= settled
	if drawMetered {
		return 0
	}
	e.DrawnJ += heatJ - settled
	return heatJ - settled
}

// loopMoves tells whether the loop has brought heat or taken it for most of a
// span: by its pump, or in natural circulation by the collector being hotter.
func (s *system) loopMoves(ran, span time.Duration) (gives, takes bool) {
	moves := ran > span/2
	if !s.collector.OK() {
		return moves, false
	}
	hotter := s.collector.Value > s.tankBottom.Value
	if s.plan.Loop == Natural {
		return hotter, false
	}
	return moves && hotter, moves && !hotter
}

// learnColdWater follows the coldest that the tank bottom gets.
func (s *system) learnColdWater() {
	b := &s.mem.Balance
	if b.ColdC == 0 {
		b.ColdC = mostColdC
	}
	b.ColdC = max(leastColdC, min(b.ColdC, s.tankBottom.Value))
}

// forgetColdWater lets cold water that was known be warmer by as much as drawn
// heat (J) allows.
func (s *system) forgetColdWater(drawnJ float64) {
	if b := &s.mem.Balance; s.plan.TankL > 0 && b.ColdC != 0 {
		b.ColdC = min(mostColdC, b.ColdC+coldDriftK*drawnJ/(s.plan.TankL*waterJLK*tankfulK))
	}
}

// coldWaterC is the temperature of the cold water, °C, as far as it is known.
func (s *system) coldWaterC() float64 {
	if s.mem.Balance.ColdC == 0 {
		return usualColdC
	}
	return s.mem.Balance.ColdC
}

// usualColdC is the cold water of the European load profiles, °C (EU 814/2013,
// read second hand).
const usualColdC = 10
