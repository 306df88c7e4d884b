package planner

// A book that is out by more than this is a fault of the simulation.
const unexplainedShare = 0.001 // of all heat absorbed, bought and drawn

// balance says where the heat went and how well the book closes.
func (p *page) balance() string {
	t := p.year.Total()
	out := text("Into the tanks went %s kWh from the sun and %.0f kWh from the meter. Of that %.0f kWh were drawn, %.0f kWh lost by the tanks",
		fixed(t.FromSunKWh, 0), t.FromMeterKWh, t.DrawnKWh, t.TankLossKWh)
	if t.LineLossKWh > 0 {
		out += text(", %.0f kWh by the hot-water line", t.LineLossKWh)
	}
	if t.LetOutKWh > 0 {
		out += text(", %.0f kWh let out by the relief valve or as steam", t.LetOutKWh)
	}
	out += text("; %s. Of the heat that the collectors took up, their pipes lost %s kWh before it reached the tanks. ", storedWords(t.MoreInTanksKWh), fixed(t.LoopLossKWh, 0))
	if t.DumpedKWh > 0 {
		out += text("The heat dump gave away %.0f kWh. ", t.DumpedKWh)
	}
	return out + p.closing(&t)
}

func storedWords(moreKWh float64) string {
	if moreKWh < 0 {
		return text("%s kWh less are stored at the end than at the beginning", fixed(-moreKWh, 0))
	}
	return text("%s kWh more are stored at the end than at the beginning", fixed(moreKWh, 0))
}

func (p *page) closing(t *Month) string {
	const smallKWh = 0.001
	turned := t.AbsorbedKWh + t.FromMeterKWh + t.DrawnKWh
	switch out := p.year.UnexplainedKWh; {
	case out < smallKWh:
		return text("The energy book closes within %g kWh: all heat is accounted for, month by month.", smallKWh)
	case out <= unexplainedShare*turned:
		return text("The energy book closes within %.3f kWh, all months' differences added up.", out)
	default:
		return text("The energy book is out by %.3f kWh. That is a fault of the simulation; do not trust this run, and report it.", out)
	}
}
