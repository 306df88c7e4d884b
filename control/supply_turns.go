package control

import "time"

// The order in which heaters get a supply that not all can have. Common practice,
// no source.
const (
	// supplyBandK is by how much nearer to its target another tank must be before
	// it takes the supply over from the one that is being heated.
	supplyBandK = 5
	// usualTankL stands for a tank whose volume is not known.
	usualTankL = 200
	// supplyPatience is how long a heater waits for others, all waits together,
	// before it has a turn; heating takes supplyRepays times as much off that
	// account, so that a turn lasts an hour.
	supplyPatience = 2 * time.Hour
	supplyRepays   = 2
)

// effortS is for how many seconds a tank must be heated to its target. The least
// comes first: that tank is the fuller one, or the cheaper one to heat, and the
// house waits least for hot water from one tank at least. The tank that is being
// heated is taken for fuller than it is, so that a draw does not turn the order.
func (s *system) effortS(rank Rank, hasSupply bool) float64 {
	targetC := s.set.HeaterStopC
	switch rank {
	case Protect:
		targetC = tankFrostEndC
	case Hygiene:
		targetC = s.set.HygieneC
	case Economy:
		targetC = s.set.OffPeakStopC
	}
	missingK := targetC - s.tankTop.Value
	if hasSupply {
		missingK -= supplyBandK
	}
	litres := s.plan.TankL
	if litres <= 0 {
		litres = usualTankL
	}
	return missingK * litres * waterJLK / s.plan.HeaterW
}

// nextClaim is the open claim that comes first.
func (c *Controller) nextClaim() (best *heaterClaim) {
	for i := range c.claims {
		h := &c.claims[i]
		if h.open && (best == nil || h.before(best)) {
			best = h
		}
	}
	return best
}

// before orders two claims: by the rank of what asks, so that a hygiene heat-up
// that is due goes before comfort; at equal rank who has waited for long, and
// then the least effort. Comfort that has waited for long ranks as hygiene does,
// since a heat-up that never comes to its end must not leave a house cold.
func (h *heaterClaim) before(other *heaterClaim) bool {
	a, b := h.system.mem, other.system.mem
	switch {
	case h.standing() != other.standing():
		return h.standing() > other.standing()
	case a.SupplyTurn != b.SupplyTurn:
		return a.SupplyTurn
	case !a.SupplyTurn:
		return h.effortS < other.effortS
	case a.HasSupply != b.HasSupply:
		return a.HasSupply // a turn is carried through
	}
	return a.SupplyWait > b.SupplyWait
}

// standing is the rank of a claim, raised by a long wait.
func (h *heaterClaim) standing() Rank {
	if h.rank == Comfort && h.system.mem.SupplyTurn {
		return Hygiene
	}
	return h.rank
}

// countTurn keeps the account of how long a heater has waited. Who wants nothing
// has none.
func (h *heaterClaim) countTurn(elapsed time.Duration, all []heaterClaim) {
	m := h.system.mem
	switch {
	case !h.asks:
		m.SupplyWait = 0
	case m.HasSupply:
		m.SupplyWait = max(0, m.SupplyWait-supplyRepays*elapsed)
	default:
		m.SupplyWait += elapsed
	}
	patience := h.patience(all)
	m.SupplyWait = min(m.SupplyWait, patience) // so that a turn ends
	m.SupplyTurn = m.SupplyWait > 0 && m.SupplyTurn || m.SupplyWait >= patience
}

// patience is how long a heater waits for its turn: longer by the hold of another
// tank's hygiene heat-up that is under way, which would have to begin anew. Where the sun
// is waited for, one that the sun has begun counts as well.
func (h *heaterClaim) patience(all []heaterClaim) time.Duration {
	hold := time.Duration(0)
	for i := range all {
		if s := all[i].system; s != h.system && s.mem.HygieneHold > 0 && s.mem.HygieneSince >= s.set.HygieneInterval-s.heatUpEarly() {
			hold = max(hold, s.set.HygieneHold)
		}
	}
	return supplyPatience + hold
}
