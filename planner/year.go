package planner

import (
	"context"
	"math"
	"time"

	"sunstoker/sim"
)

const joulesPerKWh = 3.6e6

// Month is what came of a month, of all systems together. Heat is in kWh.
type Month struct {
	Start time.Time // first instant, house time

	SunOnCollectorsKWh float64 // light on the collectors' planes
	FromSunKWh         float64 // brought into the tanks by the loops, net of what they lost at night
	FromMeterKWh       float64 // electricity of the backup heaters
	PumpKWh            float64 // electricity of the pumps
	TankLossKWh        float64
	LoopLossKWh        float64 // of pipes; the collectors' is part of their efficiency
	DrawnKWh           float64 // above the cold water
	AskedKWh           float64 // what the household wanted above the cold water
	ShortKWh           float64 // of it what did not come warm enough

	Draws, ShortDraws        int
	PumpHours, HeaterHours   float64
	PumpStarts, HeaterStarts int
	StagnationHours          float64 // collectors above the fluid's boiling point
	MeanTankTopC             float64
}

// SolarShare is the part of the heat brought into the tanks that came from the
// sun, 0 to 1; 0 when none came at all.
func (m *Month) SolarShare() float64 {
	if sun := max(0, m.FromSunKWh); sun > 0 {
		return sun / (sun + m.FromMeterKWh)
	}
	return 0
}

// Year is what came of a run, month by month.
type Year struct {
	Months            []Month
	ImbalanceKWh      float64 // what the energy book fails to explain
	HottestTankC      float64 // of any tank's top
	HottestCollectorC float64
	ColdestCollectorC float64
}

// Total adds the months up.
func (y *Year) Total() Month {
	var t Month
	for i := range y.Months {
		m := &y.Months[i]
		if i == 0 {
			t.Start = m.Start
		}
		t.SunOnCollectorsKWh += m.SunOnCollectorsKWh
		t.FromSunKWh += m.FromSunKWh
		t.FromMeterKWh += m.FromMeterKWh
		t.PumpKWh += m.PumpKWh
		t.TankLossKWh += m.TankLossKWh
		t.LoopLossKWh += m.LoopLossKWh
		t.DrawnKWh += m.DrawnKWh
		t.AskedKWh += m.AskedKWh
		t.ShortKWh += m.ShortKWh
		t.Draws += m.Draws
		t.ShortDraws += m.ShortDraws
		t.PumpHours += m.PumpHours
		t.HeaterHours += m.HeaterHours
		t.PumpStarts += m.PumpStarts
		t.HeaterStarts += m.HeaterStarts
		t.StagnationHours += m.StagnationHours
		t.MeanTankTopC += m.MeanTankTopC / float64(len(y.Months))
	}
	return t
}

// LossKWh is the heat lost on the way to the tap: by tanks and by pipes.
func (m *Month) LossKWh() float64 { return m.TankLossKWh + m.LoopLossKWh }

// topEvery is how often the tank's top is looked at for its mean.
const topEvery = time.Minute

// RunYear runs through the months of a run, in the site's civil time, or until
// ctx ends. Progress, which may be nil, is called once a simulated day with the
// part done, 0 to 1. Every observer, which may be none, sees the run after each
// step.
func RunYear(ctx context.Context, r *Run, progress func(done float64), observers ...func(*Run)) (*Year, error) {
	y := &Year{}
	begin := r.House.Elapsed()
	start := r.House.Now().In(r.site.Zone)
	until := func(t time.Time) time.Duration { return begin + t.Sub(start) }
	end := until(start.AddDate(0, r.months, 0))
	month, last := Month{Start: start}, r.takeStock()
	monthEnds := min(end, until(nextMonth(start)))
	var top mean
	nextLook, nextTop := begin, begin
	sunW := 0.0 // on the collectors, summed up over the month's steps
	for now := begin; now < end; {
		if now >= nextLook {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			if progress != nil {
				progress(float64(now-begin) / float64(end-begin))
			}
			nextLook += 24 * time.Hour
		}
		r.Step()
		for i, areaM2 := range r.areasM2 {
			sunW += r.House.Light(i).IrradianceWM2 * areaM2
		}
		for _, see := range observers {
			see(r)
		}
		now = r.House.Elapsed()
		if now >= nextTop {
			for _, topC := range r.topsC {
				top.add(topC())
			}
			nextTop += topEvery
		}
		if now >= monthEnds {
			stock := r.takeStock()
			stock.since(&last, &month)
			month.MeanTankTopC = top.value()
			month.SunOnCollectorsKWh = sunW * r.step.Hours() / 1000
			y.Months = append(y.Months, month)
			last, top, sunW = stock, mean{}, 0
			month = Month{Start: nextMonth(month.Start)}
			monthEnds = min(end, until(nextMonth(month.Start)))
		}
	}
	r.closeBook(y)
	return y, nil
}

// mean adds values up.
type mean struct {
	sum float64
	n   int
}

func (m *mean) add(x float64) { m.sum += x; m.n++ }

// value is the mean, 0 of nothing.
func (m *mean) value() float64 { return m.sum / float64(max(1, m.n)) }

func nextMonth(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month()+1, 1, 0, 0, 0, 0, t.Location())
}

// stock is every counter of a house at an instant.
type stock struct {
	usage                              sim.Usage
	sunJ, meterJ, pumpJ, tankJ, pipesJ float64
	drawnJ                             float64
	pumpS, heaterS, steamingS          float64
	pumpStarts, heaterStarts           int
}

func (r *Run) takeStock() (s stock) {
	s.usage = r.House.Usage()
	for i := range r.House.Systems() {
		b, t := r.House.Book(i), r.House.Tally(i)
		s.sunJ += b.LoopToTankJ
		s.meterJ += b.HeaterJ
		s.pumpJ += b.PumpJ
		s.tankJ += b.TankLossJ
		s.pipesJ += b.PipeLossJ
		s.drawnJ += b.DrawnJ
		s.pumpS += t.PumpS
		s.heaterS += t.HeaterS
		s.steamingS += t.SteamingS
		s.pumpStarts += t.PumpStarts
		s.heaterStarts += t.HeaterStarts
	}
	return s
}

// since writes what has happened after an earlier stock into a month.
func (s *stock) since(e *stock, m *Month) {
	kWh := func(now, then float64) float64 { return (now - then) / joulesPerKWh }
	m.FromSunKWh = kWh(s.sunJ, e.sunJ)
	m.FromMeterKWh = kWh(s.meterJ, e.meterJ)
	m.PumpKWh = kWh(s.pumpJ, e.pumpJ)
	m.TankLossKWh = kWh(s.tankJ, e.tankJ)
	m.LoopLossKWh = kWh(s.pipesJ, e.pipesJ)
	m.DrawnKWh = kWh(s.drawnJ, e.drawnJ)
	m.AskedKWh = kWh(s.usage.AskedJ, e.usage.AskedJ)
	m.ShortKWh = m.AskedKWh - kWh(s.usage.AtTemperatureJ, e.usage.AtTemperatureJ)
	m.Draws = s.usage.Draws - e.usage.Draws
	m.ShortDraws = s.usage.ShortDraws - e.usage.ShortDraws
	m.PumpHours = (s.pumpS - e.pumpS) / 3600
	m.HeaterHours = (s.heaterS - e.heaterS) / 3600
	m.PumpStarts = s.pumpStarts - e.pumpStarts
	m.HeaterStarts = s.heaterStarts - e.heaterStarts
	m.StagnationHours = (s.steamingS - e.steamingS) / 3600
}

func (r *Run) closeBook(y *Year) {
	y.ColdestCollectorC = math.Inf(1)
	for i := range r.House.Systems() {
		t := r.House.Tally(i)
		y.ImbalanceKWh += r.House.Book(i).ImbalanceJ() / joulesPerKWh
		y.HottestTankC = max(y.HottestTankC, t.HottestTankC)
		y.HottestCollectorC = max(y.HottestCollectorC, t.HottestCollectorC)
		y.ColdestCollectorC = min(y.ColdestCollectorC, t.ColdestCollectorC)
	}
}
