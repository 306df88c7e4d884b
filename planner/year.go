package planner

import (
	"context"
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
	Months       []Month
	ImbalanceKWh float64 // what the energy book fails to explain
	HottestC     float64 // of any tank's top
	CollectorC   [2]float64
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

// RunYear runs until the end of the twelfth month after the run's start, or
// until ctx ends. Progress, which may be nil, is called about once a simulated
// day with the part done, 0 to 1. Every observer, which may be none, sees each
// step's run after it was made.
func RunYear(ctx context.Context, r *Run, progress func(done float64), observers ...func(*Run)) (*Year, error) {
	y := &Year{}
	start := r.House.Now()
	end := start.AddDate(1, 0, 0)
	last := r.takeStock()
	month := Month{Start: start}
	var monthEnds = nextMonth(start)
	var top, topSeconds float64
	nextLook := start
	for now := start; now.Before(end); now = r.House.Now() {
		if !now.Before(nextLook) {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			if progress != nil {
				progress(now.Sub(start).Hours() / end.Sub(start).Hours())
			}
			nextLook = now.Add(24 * time.Hour)
		}
		r.Step()
		seconds := r.step.Seconds()
		for i := range r.House.Systems() {
			top += r.House.TankC(i, 1) * seconds
			topSeconds += seconds
			month.SunOnCollectorsKWh += r.House.Light(i).IrradianceWM2 * r.areasM2[i] * seconds / joulesPerKWh
		}
		for _, see := range observers {
			see(r)
		}
		if now = r.House.Now(); !now.Before(monthEnds) || !now.Before(end) {
			stock := r.takeStock()
			stock.since(&last, &month)
			month.MeanTankTopC = top / topSeconds
			y.Months = append(y.Months, month)
			last, top, topSeconds = stock, 0, 0
			month = Month{Start: monthEnds}
			monthEnds = nextMonth(monthEnds)
		}
	}
	r.closeBook(y)
	return y, nil
}

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
	for i := range r.House.Systems() {
		t := r.House.Tally(i)
		y.ImbalanceKWh += r.House.Book(i).ImbalanceJ() / joulesPerKWh
		y.HottestC = max(y.HottestC, t.HottestTankC)
		y.CollectorC[1] = max(y.CollectorC[1], t.HottestCollectorC)
		y.CollectorC[0] = min(y.CollectorC[0], t.ColdestCollectorC)
	}
}
