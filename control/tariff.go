package control

import (
	"fmt"
	"math"
)

// Price is what electricity costs in some hours of the day.
type Price struct {
	Windows Windows // local civil time
	PerKWh  float64 // in the currency of [Plan.PricePerKWh]
}

// tariff is what a kWh costs through the day, in spans that cover it: from midnight
// on, each to the next one's begin. It is empty where all hours cost the same.
type tariff []tariffSpan

type tariffSpan struct {
	from   int // minute of the day
	perKWh float64
}

// tariffOf puts a plan's prices in their order; hours that none of them names cost
// what electricity usually does.
func tariffOf(p *Plan) (t tariff) {
	for minute := range dayMinutes {
		perKWh := p.PricePerKWh
		for i := range p.Prices {
			if p.Prices[i].Windows.Contain(minute) {
				perKWh = p.Prices[i].PerKWh
			}
		}
		if len(t) == 0 || t[len(t)-1].perKWh != perKWh {
			t = append(t, tariffSpan{minute, perKWh})
		}
	}
	if len(t) == 1 {
		return nil
	}
	return t
}

// at is the span that a minute of the day lies in.
func (t tariff) at(minute float64) (span int) {
	for span+1 < len(t) && float64(t[span+1].from) <= minute {
		span++
	}
	return span
}

// mean is what a kWh costs in the mean from a minute after midnight on, which may
// lie in a later day; of no time at all, then.
func (t tariff) mean(minute, minutes float64) (perKWh float64) {
	minute = math.Mod(minute, dayMinutes)
	span := t.at(minute)
	if minutes <= 0 {
		return t[span].perKWh
	}
	for left := minutes; left > 0; {
		end := float64(dayMinutes)
		if span+1 < len(t) {
			end = float64(t[span+1].from)
		}
		part := min(left, end-minute)
		perKWh += t[span].perKWh * part / minutes
		left, minute, span = left-part, math.Mod(end, dayMinutes), (span+1)%len(t)
	}
	return perKWh
}

// dearer is the part by which power at a minute of the day costs less than so many
// minutes later, 0 to 1; 0 where it costs as much or more.
func (t tariff) dearer(minute, later int) float64 {
	if len(t) == 0 {
		return 0
	}
	now, then := t.mean(float64(minute), 0), t.mean(float64(minute+later), 0)
	if then <= now {
		return 0
	}
	return 1 - now/then
}

// heating is heat that the heater must have brought in time.
type heating struct {
	latest float64 // start, s from now
	heatJ  float64
	lasts  float64 // s
	lossW  float64 // that the tank loses more for holding it
}

// shiftPays is the part of what a heating costs from which another start is worth
// it.
const shiftPays = 0.02

// cheapest is the start of a heating, s from now, that likely costs least. What is
// heated early must be held, and heats without knowing what more the sun brings than
// is sure. Between two changes of the price nothing speaks for one start but to be
// late, so that only those are tried that begin or end with a change, and the latest.
func (c *Controller) cheapest(h *heating, o *outlook) float64 {
	if len(c.tariff) == 0 ||
		h.latest <= 0 {
		return h.latest
	}
	best := h.latest
	least := (1 - shiftPays) * c.cost(h, o, h.latest)
	for _, span := range c.tariff {
		until := float64((span.from-c.minute+dayMinutes)%dayMinutes) * 60
		for ; until-h.lasts < h.latest; until += dayMinutes * 60 {
			for _, start := range [2]float64{until, max(0, until-h.lasts)} {
				if start >= h.latest {
					continue
				}
				if cost := c.cost(h, o, start); cost < least || cost == least && start > best {
					best, least = start, cost
				}
			}
		}
	}
	return best
}

// cost is what a heating likely costs when it starts so many s from now.
func (c *Controller) cost(h *heating, o *outlook, start float64) float64 {
	moreJ := 0.0 // that the sun likely brings by then, beyond what is sure
	for i := 0; i < outlookFar && float64(i)*seconds(outlookStep) < start; i++ {
		moreJ += (o.sunKWh[i] - o.sureKWh[i]) * jPerKWh
	}
	heatJ := max(0, h.heatJ-moreJ) + h.lossW*(h.latest-start)
	return heatJ / jPerKWh * c.tariff.mean(float64(c.minute)+start/60, h.lasts/60)
}

// checkPrices refuses prices that can't be reckoned with.
func (p *Plan) checkPrices() (errs []error) {
	wrong := func(v float64) bool { return !(v >= 0 && v <= mostPricePerKWh) }
	if wrong(p.PricePerKWh) {
		errs = append(errs, fmt.Errorf("control: a price of %g is not within 0 and %g", p.PricePerKWh, float64(mostPricePerKWh)))
	}
	for i := range p.Prices {
		if wrong(p.Prices[i].PerKWh) {
			errs = append(errs, fmt.Errorf("control: a price of %g in %q is not within 0 and %g", p.Prices[i].PerKWh, p.Prices[i].Windows, float64(mostPricePerKWh)))
		}
	}
	return errs
}

// mostPricePerKWh leaves room for currencies of which a kWh costs thousands.
const mostPricePerKWh = 1_000_000
