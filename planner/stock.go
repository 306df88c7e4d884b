package planner

import (
	"sunstoker/sim"
	"sunstoker/sim/plant"
)

const joulesPerKWh = 3.6e6

// stock is every counter of a house at an instant.
type stock struct {
	usage   sim.Usage
	books   []plant.Book
	tallies []plant.Tally
}

func (r *Run) takeStock() stock {
	s := stock{usage: r.House.Usage()}
	for i := range r.House.Systems() {
		s.books = append(s.books, r.House.Book(i))
		s.tallies = append(s.tallies, r.House.Tally(i))
	}
	return s
}

// since writes what has happened after an earlier stock into a month, and
// returns what the books of single systems fail to explain, added up without
// sign, so that no system hides another.
func (s *stock) since(e *stock, m *Month) (unexplainedKWh float64) {
	for i := range s.books {
		one := between(&e.books[i], &s.books[i])
		one.count(&e.tallies[i], &s.tallies[i])
		unexplainedKWh += one.unexplainedKWh()
		m.add(&one)
	}
	now, then := &s.usage, &e.usage
	m.AskedKWh = (now.AskedJ - then.AskedJ) / joulesPerKWh
	m.ShortKWh = m.AskedKWh - (now.AtTemperatureJ-then.AtTemperatureJ)/joulesPerKWh
	m.Draws = now.Draws - then.Draws
	m.ShortDraws = now.ShortDraws - then.ShortDraws
	return unexplainedKWh
}

// between is the heat of one system between two states of its book.
func between(then, now *plant.Book) Month {
	kWh := func(now, then float64) float64 { return (now - then) / joulesPerKWh }
	return Month{
		AbsorbedKWh:        kWh(now.SunJ, then.SunJ),
		CollectorLossKWh:   kWh(now.CollectorLossJ, then.CollectorLossJ),
		LoopLossKWh:        kWh(now.PipeLossJ, then.PipeLossJ),
		MoreInLoopsKWh:     kWh(now.StoredJ-now.TankStoredJ, then.StoredJ-then.TankStoredJ),
		FromSunKWh:         kWh(now.LoopToTankJ, then.LoopToTankJ),
		FromMeterKWh:       kWh(now.HeaterJ, then.HeaterJ),
		DrawnKWh:           kWh(now.DrawnJ, then.DrawnJ),
		TankLossKWh:        kWh(now.TankLossJ, then.TankLossJ),
		LineLossKWh:        kWh(now.CirculationLossJ, then.CirculationLossJ),
		DumpedKWh:          kWh(now.DumpJ, then.DumpJ),
		LetOutKWh:          kWh(now.ReliefJ, then.ReliefJ),
		MoreInTanksKWh:     kWh(now.TankStoredJ, then.TankStoredJ),
		PumpKWh:            kWh(now.PumpJ, then.PumpJ),
		CirculationPumpKWh: kWh(now.CirculationPumpJ, then.CirculationPumpJ),
	}
}

// count adds what one system went through between two tallies.
func (m *Month) count(then, now *plant.Tally) {
	hours := func(now, then float64) float64 { return (now - then) / 3600 }
	m.PumpHours = hours(now.PumpS, then.PumpS)
	m.HeaterHours = hours(now.HeaterS, then.HeaterS)
	m.PumpStarts = now.PumpStarts - then.PumpStarts
	m.HeaterStarts = now.HeaterStarts - then.HeaterStarts
	m.CirculationHours = hours(now.CirculationS, then.CirculationS)
	m.StagnationHours = hours(now.SteamingS, then.SteamingS)
	m.CutOutHours = hours(now.CutOutS, then.CutOutS)
}
