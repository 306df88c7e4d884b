package control

import "time"

// heaterClaim is one backup heater as the supply limit sees it.
type heaterClaim struct {
	system  *system
	output  int
	watts   float64 // that it would draw
	rank    Rank    // of what asks for it
	effortS float64 // seconds of heating that its tank lacks; less for the one that has the supply
	open    bool    // it asks, and nothing is decided yet
	asks    bool    // it asks, or rests on its way to it
}

// supplyRule lets the backup heaters together draw no more than the supply may
// give. It comes after all other rules of the heaters, and looks at what they
// have made of each other. A heater inside its minimum run time keeps what it
// has; the others come in the order of supply_turns.go, as long as there is
// enough left, and who comes too late waits.
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
			break
		}
		best.open = false
		if best.watts <= left {
			left, used = left-best.watts, best
			best.system.mem.HasSupply = true
		} else {
			c.refuse(best, used)
		}
	}
	for i := range c.claims {
		c.claims[i].countTurn(elapsed, c.claims)
	}
}

// claim works out what one heater asks for, and gives what it draws whatever is
// decided: it is on, and inside its minimum run time.
func (c *Controller) claim(h *heaterClaim, elapsed time.Duration) (keepsW float64) {
	m, mem, lim := h.system.mem, c.st.Outputs[h.output], &c.limits[h.output]
	mem.InState += elapsed // as it will be when the votes are counted
	w := c.ballots[h.output].winner()
	level := lim.level(w.Level)
	running, waits := mem.Level > 0, held(w, &mem, lim.minRun, lim.minRest) > 0
	h.open, h.asks = false, level > 0
	switch {
	case running && level == 0 && waits:
		return mem.Level * h.system.plan.HeaterW
	case level == 0, !running && waits:
		m.HasSupply = false
		return 0
	case level <= mem.Level && mem.InState < lim.minRun:
		return level * h.system.plan.HeaterW
	}
	h.open, h.rank, h.watts = true, w.Rank, level*h.system.plan.HeaterW
	h.effortS = h.system.effortS(w.Rank, m.HasSupply)
	return 0
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
