package control

import "time"

// supplyBandK is by how much nearer to its target another tank must be before
// it takes the supply over from the one that is being heated.
const supplyBandK = 5

// heaterClaim is one backup heater as the supply limit sees it.
type heaterClaim struct {
	system  *system
	output  int
	watts   float64 // that it would draw
	rank    Rank    // of what asks for it
	missing float64 // K that the tank top lacks; less for the one that has the supply
	open    bool    // it asks, and nothing is decided yet
}

// supplyRule lets the backup heaters together draw no more than the supply may
// give. It comes after all other rules of the heaters, and looks at what they
// have made of each other. A heater inside its minimum run time keeps what it
// has; then the strongest rank comes first, so that a hygiene heat-up that is
// due goes before comfort, and at equal rank the tank that is nearest to its
// target, which is done soonest. The others wait.
func (c *Controller) supplyRule(elapsed time.Duration) {
	if c.plan.SupplyW == 0 {
		return
	}
	left := c.plan.SupplyW
	var used *heaterClaim
	for i := range c.claims {
		claim := &c.claims[i]
		if w := c.claim(claim, elapsed); w > 0 {
			if w <= left {
				left, used = left-w, claim
			} else {
				claim.watts = w
				c.refuse(claim, used) // the limit is another one than it was before
			}
		}
	}
	for {
		best := c.nextClaim()
		if best == nil {
			return
		}
		best.open = false
		if best.watts <= left {
			left, used = left-best.watts, best
			best.system.mem.HasSupply = true
		} else {
			c.refuse(best, used)
		}
	}
}

// claim works out what one heater asks for, and gives what it draws whatever is
// decided: it is on, and inside its minimum run time.
func (c *Controller) claim(h *heaterClaim, elapsed time.Duration) (keepsW float64) {
	m, mem, lim := h.system.mem, c.st.Outputs[h.output], &c.limits[h.output]
	mem.InState += elapsed // as it will be when the votes are counted
	w := c.ballots[h.output].winner()
	level := lim.level(w.Level)
	running := mem.Level > 0
	h.open = false
	switch {
	case running && mem.InState < lim.minRun && level == 0 && held(w, &mem, lim.minRun, lim.minRest) > 0:
		return mem.Level * h.system.plan.HeaterW
	case running && mem.InState < lim.minRun && level > 0 && level <= mem.Level:
		return level * h.system.plan.HeaterW
	case level == 0, !running && held(w, &mem, lim.minRun, lim.minRest) > 0:
		m.HasSupply = false
		return 0
	}
	h.open, h.rank, h.watts = true, w.Rank, level*h.system.plan.HeaterW
	h.missing = h.system.set.HeaterStopC - h.system.tankTop.Value
	if w.Rank == Hygiene {
		h.missing = h.system.set.HygieneC - h.system.tankTop.Value
	}
	if m.HasSupply {
		h.missing -= supplyBandK
	}
	return 0
}

// nextClaim is the open claim that comes first.
func (c *Controller) nextClaim() (best *heaterClaim) {
	for i := range c.claims {
		h := &c.claims[i]
		if h.open && (best == nil || h.rank > best.rank || h.rank == best.rank && h.missing < best.missing) {
			best = h
		}
	}
	return best
}

// refuse lets a heater wait for another one's end.
func (c *Controller) refuse(h, used *heaterClaim) {
	h.system.mem.HasSupply = false
	why := because(SaysSupplyTooSmall, c.plan.SupplyW, h.watts)
	if used != nil {
		why = because(SaysSupplyUsed, c.plan.SupplyW, float64(used.system.index+1))
	}
	c.ballots[h.output].cast(0, Protect, why)
}

// claimsOf lists the heaters of a house that share a supply.
func (c *Controller) claimsOf() (claims []heaterClaim) {
	for i := range c.systems {
		if s := &c.systems[i]; s.heater != none {
			claims = append(claims, heaterClaim{system: s, output: s.heater})
		}
	}
	return claims
}
