package rivals

import (
	"context"
	"math"
	"time"

	"sunstoker/control"
	"sunstoker/planner"
	"sunstoker/sim"
	"sunstoker/sim/plant"
)

const slotLength = 10 * time.Minute

// eager is the loop pump at its most eager: no other rule for it brings more.
func eager(s *control.Settings) {
	s.StartDifferenceK, s.StopDifferenceK = 2, 0.5
	s.MinimumRun, s.MinimumRest, s.ExerciseAfter, s.PumpSavingPercent = 0, 0, 0, 0
}

// unheated never heats.
func unheated(s *control.Settings) {
	plain(s)
	eager(s)
	s.HeaterWindows, s.HygieneInterval = nil, 0
}

// newBound runs the case without a heater and lays out the year for the bound.
func (g *ground) newBound(ctx context.Context) (*Bound, error) {
	r, house, err := g.build(unheated)
	if err != nil {
		return nil, err
	}
	b := &Bound{houseTank: tankOf(house), slots: make([]slot, 0, g.days()*int(24*time.Hour/slotLength))}
	begin := warmUpDays * 24 * time.Hour
	last := countersOf(r.House)
	for end := slotLength; end <= begin+time.Duration(g.days())*24*time.Hour; end += slotLength {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		for r.House.Elapsed() < end {
			r.Step()
		}
		now := countersOf(r.House)
		if end > begin {
			b.add(&last, &now, r.House)
		}
		last = now
	}
	return b, nil
}

// add writes down a slot.
func (b *Bound) add(from, to *counters, h *sim.House) {
	s := slot{
		drawKWh:  (to.usage.AskedJ - from.usage.AskedJ) / joulesPerKWh,
		sunKWh:   pumpAllowance * max(0, to.sunJ-from.sunJ) / joulesPerKWh,
		leastKWh: b.startKWh + to.storedJ/joulesPerKWh,
	}
	if s.drawKWh > 0 {
		litres := to.usage.Litres - from.usage.Litres
		coldestC := b.roomC
		for i := range h.Systems() {
			coldestC = min(coldestC, h.TankC(i, 0), h.ColdC())
		}
		s.warmingShare = litres * plant.WaterJKgK / joulesPerKWh * (h.ColdC() - coldestC) / s.drawKWh
	}
	b.slots = append(b.slots, s)
	b.askedKWh += s.drawKWh
}

// pumpAllowance is for what a still better rule for the pump might bring (a
// pump that starts and stops a few kelvin earlier changes the yield by less,
// TestEagerPumpBringsTheMost), and for the plant's layers, which change at other
// moments in a heated house (TestUnheatedTankIsTheColdest).
const pumpAllowance = 1.005

// houseTank are all tanks of a house taken as one, and their heaters.
type houseTank struct {
	keep      float64 // share of the excess over the room that is left after a slot
	roomC     float64
	roomKWh   float64 // heat at room temperature, above 0 degC
	startKWh  float64 // as the run begins
	mostKWh   float64
	heaterKWh float64 // in a slot
}

func tankOf(house *sim.Config) houseTank {
	t := houseTank{roomC: house.RoomC}
	var lossWK, kWhPerK float64
	for i := range house.Systems {
		p := &house.Systems[i].Plant
		perK := p.TankLitres * plant.WaterJKgK / joulesPerKWh
		kWhPerK += perK
		lossWK += p.TankUAWK
		t.startKWh += perK * p.StartC
		t.mostKWh += perK * p.ReliefC
		t.heaterKWh += p.HeaterW * slotLength.Hours() / 1000
	}
	t.roomKWh = kWhPerK * house.RoomC
	t.keep = math.Exp(-lossWK * slotLength.Seconds() / (kWhPerK * joulesPerKWh))
	return t
}

// build makes a run of the case.
func (g *ground) build(set func(*control.Settings)) (*planner.Run, *sim.Config, error) {
	s, err := g.site()
	if err != nil {
		return nil, nil, err
	}
	for i := range s.Plan.Systems {
		set(&s.Plan.Systems[i].Settings)
	}
	house, err := g.house(s, g.weather, g.step)
	if err != nil {
		return nil, nil, err
	}
	r, err := planner.RunIn(s, house)
	return r, &house, err
}
