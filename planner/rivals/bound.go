package rivals

import (
	"cmp"
	"math"
	"slices"
)

// Bound is what no way of heating can go below, in one case: the least
// electricity, with all weather and all draws known ahead, of a tank that is
// better than the simulated one in every respect.
//
// # Why it is a bound
//
// Only the heat E in the tank above 0 degC is followed, in slots of ten
// minutes:
//
//	E' = Er + (E - D + missed - Er) exp(-k) + sun + heater - let go
//
// Each line can only lower the electricity:
//
//   - The tank is ideal: whatever heat it holds serves any draw, lukewarm or hot,
//     below the heater or above it. In truth water colder than the tap serves
//     none.
//   - The loss k(E - Er), Er being the tank at room temperature, is exact for the
//     simulated tank, whose loss is spread evenly. Within a slot the draws D come
//     first and heat comes last, so that none of it is lost.
//   - A draw that comes warm takes exactly the heat asked for, D, however hot the
//     tank is, since the tap mixes. One that comes too cold takes nothing at all
//     here. (It may even warm a tank that is colder than the cold water; missed
//     heat counts the more for it.)
//   - The heater gives its power or any part of it, at any time, switches freely,
//     and is never limited by temperatures.
//   - The sun brings at most, and the tank holds at least, what they do in the
//     same house without any heat from the heater; what is not wanted is let go.
//   - E is at most that of a tank at its relief valve.
//   - The year begins with as much heat as the fullest of all runs of the case
//     had, and may end with none that a heater made.
//
// # Why an unheated house has the most of the sun and the coldest tank
//
// Take two houses with the same weather, draws and pump at every moment, one of
// them heated. Nothing in the plant turns heat around: conduction, coil,
// collector, pipes and the rise of warm water (a sorting, with equal water
// stirred) all make a place warmer, or leave it, when another place is warmer. A
// draw takes less out of a hotter tank, since more cold is mixed in, and lets
// less cold in. So the heated house is at no place and at no time colder; its
// loop loses at least as much and brings no more up to any time. (What it brings
// later, out of its warmer pipes, has lost more there than in the tank, where the
// bound has it at once.)
//
// The pump does not run the same in both. The unheated house here has the most
// eager one, and an allowance beyond (TestEagerPumpBringsTheMost). A lazier pump
// leaves less in an unheated tank than an eager one does, by some heat L. For
// whoever heats under the lazy pump, E + L keeps to all lines above with the sun
// of the eager one, with the same heater: so the bound holds for him too.
// TestUnheatedTankIsTheColdest watches both claims.
//
// The allowed missed heat is priced: for every price p of a missed
// kilowatt-hour, least of (heater + p missed) - p allowed is a lower bound of the
// heater (weak duality); the best of some prices is taken. The least is found
// exactly, by dynamic programming backwards through the year, the cost being a
// convex line of straight pieces in E.
//
// # How tight it is
//
// Heat is made here in the very minutes in which it is drawn, of water that is
// just as hot as the tap. In truth the heater warms all water above it before
// any comes out hot; that must be done hours ahead, loses heat, and stands in the
// sun's way. Row.Foresight shows how much: that knows everything too, on the true
// plant. The bound lies 35 to 75 % below that, the further the better the sun is.
type Bound struct {
	houseTank
	slots    []slot
	askedKWh float64 // in the counted year
}

// slot is what a span of slotLength brings.
type slot struct {
	drawKWh      float64
	sunKWh       float64 // at most
	leastKWh     float64 // that the tanks hold at least at its end
	warmingShare float64 // how much more heat is spared by missing a draw, see missed
}

// prices of missed heat that are tried, in kWh of electricity a kWh.
var prices = []float64{0.9, 1, 1.05, 1.1, 1.2, 1.35, 1.6, 2, 3}

// At is the bound in kWh at a share of heat missed, for tanks that hold startKWh
// above 0 degC as the year begins.
func (b *Bound) At(missed, startKWh float64) float64 {
	best := 0.0
	for _, price := range prices {
		cost := b.cost(price)
		best = max(best, cost.at(max(cost.fromKWh, startKWh))-price*missed*b.askedKWh)
	}
	return best
}

// cost is the least cost of the year by the heat in the tank as it begins.
func (b *Bound) cost(price float64) *pieces {
	last := &b.slots[len(b.slots)-1]
	p := &pieces{fromKWh: last.leastKWh, list: []piece{{0, b.mostKWh - last.leastKWh}}}
	for i := len(b.slots) - 1; i >= 0; i-- {
		s := &b.slots[i]
		p.within(s.leastKWh, b.mostKWh)
		// The heater: a kWh costs a kWh.
		p.offer(-1, b.heaterKWh)
		p.shift(-s.sunKWh)
		p.stretch(b.keep, b.roomKWh)
		// What is missed is spared before the loss.
		worth := 1 + s.warmingShare
		p.offer(-price/worth, worth*s.drawKWh)
		p.shift(s.drawKWh)
	}
	return p
}

// pieces is a convex, falling line of straight pieces: a cost by heat, in kWh.
// Left of fromKWh there is none; right of the last piece it stays level.
type pieces struct {
	fromKWh, atFrom float64
	list            []piece // by slope, the steepest first
}

type piece struct{ slope, lengthKWh float64 }

// at is the cost at a heat, +Inf where there is none.
func (p *pieces) at(kWh float64) float64 {
	if kWh < p.fromKWh {
		return math.Inf(1)
	}
	cost, left := p.atFrom, kWh-p.fromKWh
	for _, q := range p.list {
		part := min(left, q.lengthKWh)
		cost += part * q.slope
		left -= part
	}
	return cost
}

// shift moves the whole line to more heat.
func (p *pieces) shift(kWh float64) { p.fromKWh += kWh }

// offer lets up to an amount of heat be had, each kWh for -slope: the cost at E
// becomes the least of (cost at E + x) - slope x over x. That is the line with
// one more piece, in its place by slope, that begins so much further left.
func (p *pieces) offer(slope, amountKWh float64) {
	if amountKWh <= 0 {
		return
	}
	p.fromKWh -= amountKWh
	p.atFrom -= slope * amountKWh
	// The pieces that are steeper than the offer come before it and are reached
	// with the offer taken in full.
	i, found := slices.BinarySearchFunc(p.list, slope, func(q piece, s float64) int { return cmp.Compare(q.slope, s) })
	if found {
		p.list[i].lengthKWh += amountKWh
		return
	}
	p.list = slices.Insert(p.list, i, piece{slope, amountKWh})
}

// stretch is the way back through a slot's loss: the cost at E becomes the cost
// at room + keep (E - room).
func (p *pieces) stretch(keep, roomKWh float64) {
	p.fromKWh = roomKWh + (p.fromKWh-roomKWh)/keep
	for i := range p.list {
		p.list[i].slope *= keep
		p.list[i].lengthKWh /= keep
	}
}

// within cuts the line to what a tank can hold: nothing below least, and level
// above most, since what is too much is let go.
func (p *pieces) within(leastKWh, mostKWh float64) {
	for len(p.list) > 0 && p.fromKWh < leastKWh {
		q := &p.list[0]
		cut := min(q.lengthKWh, leastKWh-p.fromKWh)
		p.fromKWh += cut
		p.atFrom += cut * q.slope
		if q.lengthKWh -= cut; q.lengthKWh > 0 {
			break
		}
		p.list = p.list[1:]
	}
	p.fromKWh = max(p.fromKWh, leastKWh)
	reach := p.fromKWh
	for i := range p.list {
		q := &p.list[i]
		if reach+q.lengthKWh >= mostKWh {
			q.lengthKWh = max(0, mostKWh-reach)
			p.list = p.list[:i+1]
			break
		}
		reach += q.lengthKWh
	}
}
