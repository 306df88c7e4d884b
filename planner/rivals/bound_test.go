package rivals

import (
	"math"
	"math/rand/v2"
	"testing"
)

// tinyBound is a year of a few slots: a tank of 4 kWh above nothing that loses
// nothing, and a heater of 1 kWh a slot.
func tinyBound(slots ...slot) *Bound {
	b := &Bound{houseTank: houseTank{keep: 1, mostKWh: 4, heaterKWh: 1}, slots: slots}
	for _, s := range slots {
		b.askedKWh += s.drawKWh
	}
	return b
}

// TestBoundByHand: years of a few slots whose answer is plain.
func TestBoundByHand(t *testing.T) {
	losing := tinyBound(slot{}, slot{leastKWh: 0.25})
	losing.keep, losing.roomKWh = 0.5, -2
	for _, c := range []struct {
		name           string
		bound          *Bound
		missed, starts float64
		want           float64
	}{
		{"nothing is drawn", tinyBound(slot{}, slot{}), 0, 0, 0},
		{"the heater makes what is drawn", tinyBound(slot{}, slot{drawKWh: 2}), 0, 0, 2},
		{"the tank begins with a part of it", tinyBound(slot{}, slot{drawKWh: 2}), 0, 0.5, 1.5},
		{"the sun brings a part of it", tinyBound(slot{sunKWh: 1.5}, slot{drawKWh: 2}), 0, 0, 0.5},
		{"the sun comes too late", tinyBound(slot{}, slot{drawKWh: 2}, slot{sunKWh: 5}), 0, 0, 2},
		{"more sun than the tank holds", tinyBound(slot{sunKWh: 9}, slot{drawKWh: 3}, slot{drawKWh: 3}), 0, 0, 2},
		{"the tank must stay full", tinyBound(slot{leastKWh: 3}, slot{drawKWh: 2, leastKWh: 2}), 0, 3, 1},
		{"half may be missed", tinyBound(slot{}, slot{drawKWh: 2}), 0.5, 0, 1},
		{"all may be missed", tinyBound(slot{}, slot{drawKWh: 2}), 1, 0, 0},
		// 2 kWh are 4 above the room, of which half is lost in each slot: to 0, then
		// to -1. To end with 0.25 takes 1 at the end and 0.5 before, half of it lost.
		{"the room takes its share", losing, 0, 2, 1.5},
	} {
		if got := c.bound.At(c.missed, c.starts); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %g kWh, want %g", c.name, got, c.want)
		}
	}
}

// TestBoundAgainstTryingEverything: years of a few slots in whole kilowatt-hours
// and without loss, in which the best is found among whole numbers too.
func TestBoundAgainstTryingEverything(t *testing.T) {
	const price = 2
	random := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		slots := make([]slot, 1+random.IntN(6))
		for i := range slots {
			slots[i] = slot{drawKWh: float64(random.IntN(4)), sunKWh: float64(random.IntN(3)), leastKWh: float64(random.IntN(2))}
		}
		b := tinyBound(slots...)
		starts := random.IntN(5)
		if got, want := b.cost(price).at(float64(starts)), tryEverything(b, 0, starts, price); math.Abs(got-want) > 1e-9 {
			t.Fatalf("%+v from %d kWh: %g, want %g", slots, starts, got, want)
		}
	}
}

// tryEverything is the least cost from a slot on, among whole kilowatt-hours.
func tryEverything(b *Bound, i, kWh int, price float64) float64 {
	if i == len(b.slots) {
		return 0
	}
	s, best := &b.slots[i], math.Inf(1)
	for missed := range int(s.drawKWh) + 1 {
		for heat := range int(b.heaterKWh) + 1 {
			end := min(kWh-int(s.drawKWh)+missed+heat+int(s.sunKWh), int(b.mostKWh))
			if end >= int(s.leastKWh) {
				best = min(best, float64(heat)+price*float64(missed)+tryEverything(b, i+1, end, price))
			}
		}
	}
	return best
}
