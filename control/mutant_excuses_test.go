//go:build mutants

package control

import (
	"slices"
	"strings"
)

// excuse is a place where a mutant changes nothing that anybody could see: the
// file's name begins with file, its line holds line, and what was done to it
// begins with what.
type excuse struct{ file, line, what, why string }

var excuses = []excuse{
	{"cross_check.go", "s.SuretyPercent > 0 && s.HeaterStopC", "1 instead of 0", "less than 50 % is refused as such"},
	{"rule_hygiene_ahead.go", "for wholeMinutes(shuts) < left", "< to <=", "a window that opens when it is due gives no time"},
	{"controller.go", "= never, never, never", "", "a time long ago is before every clock, whichever it is"},
	{"light_forecast.go", "case clear <= 0", "1 instead of 0", "a watt is less than what warms a collector"},
	{"energy.go", "level > 0 && !(s.heaterCurrent", "> to >=", "at level 0 nothing is added"},
	{"energy.go", "if heat >= 0", ">= to >", "no heat is nothing in either column"},
	{"finding.go", "if len(into) > 1", "> to >=", "sorting one finding changes nothing"},
	{"finding.go", "if len(into) > 1", "half of 1", "sorting one finding changes nothing"},
	{"finding_board.go", "h.Jumps >= manyJumps-0.5", ">= to >", "a count that fades is never exactly there"},
	{"finding_board.go", "if h.LeapS > 0", "1 instead of 0", "a leap is one of more than 90 min"},
	{"finding_board.go", "sees(h.AwayFor > 0)", "1 instead of 0", "what is told of begins at half an hour"},
	{"finding_board.go", "h.Starts >= manyStarts-0.5", ">= to >", "a count that fades is never exactly there"},
	{"finding_signs.go", "len(c.findings.live) > 0", "> to >=", "with nothing found there is nothing to clear"},
	{"finding_signs.go", "!c.probeAccused(i)", "half of", "only saves a look"},
	{"finding_signs.go", "!c.probeAccused(i)", "< to <=", "only saves a look"},
	{"finding_signs.go", "about == AboutProbe && system == pr.System", "&& to ||", "only saves a look"},
	{"finding_signs.go", "overdue := interval > 0", "> to >=", "without an interval nothing is counted"},
	{"finding_signs.go", "overdue := interval > 0", "1 instead of 0", "without an interval nothing is counted"},
	{"finding_signs.go", "s.outdoor.Value < s.collector.Value", "< to <=", "of two equal readings either is the colder"},
	{"finding_cold.go", "if s.pump == none || !s.plan.WaterFilled", "|| to &&", "no frost protection runs there"},
	{"finding_cold.go", "m.FrostH > frostMost.Hours()", "> to >=", "a count that fades is never exactly there"},
	{"finding_cold.go", "m.FrostH > frostMost.Hours()", "< to <=", "a count that fades is never exactly there"},
	{"finding_", "span, longestSpan)", "half", "a bound that no plant comes to"},
	{"finding_", ", mostLearned)", "half of mostLearned", "a bound that no plant comes to"},
	{"finding_", ", mostLearned)", "half as much again as mostLearned", "a bound that no plant comes to"},
	{"finding_flow.go", "flow < m.UsualLMin", "< to <=", "of two equal figures nothing is to learn"},
	{"finding_word.go", "s.mem.HeaterRest = effortPause", "half as much again", "a rest that is long enough, or longer, ends at once"},
	{"finding_heater.go", "s.plan.HeaterW <= 0 ||", "1 instead of 0", "nobody has a heater of 1 W, or a tank of 1 l"},
	{"finding_heater_speed.go", "m.NowKH > speedWell", "> to >=", "a learned figure is never exactly there"},
	{"finding_heater_speed.go", "if riseKH > m.NowKH", "> to >=", "of two equal figures nothing is to learn"},
	{"finding_heater_speed.go", "if planned == 0", "1 instead of 0", "no heater's rise is exactly 1 K/h"},
	{"finding_heater_speed.go", "odd := ", "< to <=", "a learned figure is never exactly there"},
	{"finding_heater_speed.go", "odd := ", "> to >=", "a learned figure is never exactly there"},
	{"finding_loop.go", "saw := m.Swings >=", ">= to >", "a count that fades is never exactly there"},
	{"finding_pocket.go", "m.Signs.Unrest > unrestK", "> to >=", "a learned figure is never exactly there"},
	{"finding_pocket.go", "m.Signs.Unrest > unrestK", "< to <=", "a learned figure is never exactly there"},
	{"finding_pocket.go", "m.Wild.Unrest > wildK", "> to >=", "a learned figure is never exactly there"},
	{"finding_pocket.go", "m.Signs.Unrest) < unrestWellK", "< to <=", "a learned figure is never exactly there"},
	{"finding_pocket.go", "moves := moved > 2*stuckTopK", "> to >=", "no difference of two readings is exactly there"},
	{"finding_pocket.go", "stuck := moved < stuckTopK", "< to <=", "no difference of two readings is exactly there"},
	{"finding_heater_speed.go", "case m.NowKH > m.UsualKH", "> to >=", "of two equal figures nothing is to learn"},
	{"finding_heater_speed.go", "if s.plan.TankL <= 0", "1 instead of 0", "nobody has a tank of 1 l"},
	{"finding_pressure.go", "fallen > fallBar", "> to >=", "a learned figure is never exactly there"},
	{"finding_pressure.go", "fallen > fallBar", "< to <=", "a learned figure is never exactly there"},
	{"finding_slow.go", "pumpRest: restEver", "half", "either is longer than any rest, and lower than any height that is asked for"},
	{"night.go", "ElevationDeg < darkDeg", "< to <=", "the sun is never exactly there"},
	{"night.go", "sun.HourAngleDeg) >= 180-midnightDeg", ">= to >", "the sun is never exactly there"},
	{"night.go", "= sky{}, never", "", "a time long ago is before every clock, whichever it is"},
	{"restart.go", "min(age+away, longestSpan/2)", "half as much again", "a bound that no plant comes to"},
	{"restart.go", "HygieneInterval > 0", "1 instead of 0", "no interval is as short as a second"},
	{"rule_supply.go", "elapsed); w > 0", "1 instead of 0", "nobody has a heater of 1 W"},
	{"system.go", "s.tankBottom.Value > s.hottestC", "> to >=", "of two equal readings either is the hottest"},
	{"tank_balance.go", "if s.plan.TankL <= 0", "1 instead of 0", "nobody has a tank of 1 l"},
	{"tank_balance.go", "s.plan.TankL > 0 && b.ColdC != 0", "1 instead of 0", "nobody has a tank of 1 l, or water of 1 °C: it is taken for 2 °C at least"},
	{"tank_balance.go", "case b.OpenJ > bandJ", "> to >=", "nothing is over the band"},
	{"tank_balance.go", "case b.OpenJ < -bandJ", "< to <=", "nothing is over the band"},
	{"tank_picture.go", "rises := heaterJ > 0", "1 instead of 0", "a heater gives more than 1 J in a look"},
	{"tank_picture.go", "min(pictureLayers, heatJ/", "half as much again", "a tank that is emptied is as cold as the mains, however often"},
	{"finding_yield.go", "sun.ElevationDeg <= 0", "<= to <", "the sun is never exactly there"},
	{"finding_yield.go", "m.LateM2 < yieldPoor*m.BestM2", "< to <=", "a learned figure is never exactly there"},
	{"finding_yield.go", "m.LateM2 < yieldPoor*m.BestM2", "> to >=", "a learned figure is never exactly there"},
	{"rule_loop_saving.go", "longestSpan)", "half", "a bound that no plant comes to"},
	{"rule_loop_saving.go", "elapsed), mostWaitedKS)", "half", "a bound far above what anything waits for"},
	{"rule_loop_saving.go", "if gapK > m.GoodSunK", "> to >=", "a learned figure is never exactly there"},
	{"judge.go", "if neighbour < m.OtherLow", "< to <=", "an equal value is the same lowest"},
	{"judge.go", "if neighbour > m.OtherHigh", "> to >=", "an equal value is the same highest"},
	{"judge.go", "min(m.PowerUpFor+elapsed, longestSpan)", "half of longestSpan", "a bound that no plant comes to"},
	{"judge.go", "min(m.PowerUpFor+elapsed, longestSpan)", "half as much again as longestSpan", "a bound that no plant comes to"},
	{"judge.go", "return m.Known && !m.Doubted", ">= to >", "the short way; what it leaves out comes to the same by the long one"},
	{"judge.go", "return m.Known && !m.Doubted", "<= to <", "the short way; what it leaves out comes to the same by the long one"},
	{"judge.go", "return m.Known && !m.Doubted", "1 instead of 0", "the short way; what it leaves out comes to the same by the long one"},
	{"judge.go", "r.Value >= lim.low && r.Value <= lim.high", ">= to >", "the short way; what it leaves out comes to the same by the long one"},
	{"judge.go", "r.Value >= lim.low && r.Value <= lim.high", "<= to <", "the short way; what it leaves out comes to the same by the long one"},
	{"rule_frost.go", "time.Duration(math.MaxInt64)", "half of", "either is longer than any silence"},
	{"rule_last_resort.go", "m.Signs.Loop.Pause > 0", "1 instead of 0", "a pause of a nanosecond is none"},
	{"rule_night_cooling.go", "s.collector.Value < set.FrostStartC", "< to <=", "at frost_start itself frost protection runs the pump"},
	{"supply_turns.go", "if litres <= 0", "1 instead of 0", "nobody has a tank of 1 l"},
	{"supply_turns.go", "h.standing() > other.standing()", "> to >=", "they differ"},
	{"supply_turns.go", "m.SupplyWait > 0 && m.SupplyTurn", "1 instead of 0", "of a turn of an hour a second is left out"},
	{"sun_first_plan.go", "need > leastNeedKWh", "> to >=", "a need that was worked out is never exactly there"},
	{"sun_first_plan.go", "need > leastNeedKWh", "< to <=", "a need that was worked out is never exactly there"},
	{"sun_first_plan.go", "must > leastNeedKWh", "> to >=", "a need that was worked out is never exactly there"},
	{"sun_first_plan.go", "must > leastNeedKWh", "< to <=", "a need that was worked out is never exactly there"},
	{"sun_first_plan.go", "&o); start < latest", "< to <=", "of two equal starts either is the latest"},
	{"sun_first_plan.go", "if lacks > 0 {", "1 instead of 0", "a joule more or less"},
	{"sun_first_plan.go", "lacks < restartK*aboveJK", "< to <=", "a joule more or less"},
	{"sun_first_plan.go", "if needed <= 0", "<= to <", "only saves the looks after a start that is due"},
	{"sun_first_plan.go", "if needed <= 0", "1 instead of 0", "only saves the looks after a start that is due"},
	{"sun_first_plan.go", "m.Ahead = m.Heat", "> to >=", "a need that was worked out is never exactly there"},
	{"tariff.go", "h.latest <= 0 {", "<= to <", "no start is earlier than now"},
	{"tariff.go", "h.latest <= 0 {", "1 instead of 0", "within a second nothing is shifted"},
	{"tariff.go", "until-h.lasts < h.latest", "< to <=", "the latest start is passed over below"},
	{"tariff.go", "if start >= h.latest", ">= to >", "the latest start is no cheaper than itself"},
	{"tariff.go", "cost == least && start > best", "> to >=", "the best start in place of itself changes nothing"},
	{"tank_balance.go", "b.ColdC = mostColdC", "half as much again", "it is bounded below"},
}

func (e *excuse) covers(m mutant) bool {
	return strings.HasPrefix(m.File, e.file) && strings.Contains(m.Line, e.line) && strings.HasPrefix(m.What, e.what)
}

// excused tells why a mutant may survive, or nothing.
func excused(m mutant) string {
	for i := range excuses {
		if excuses[i].covers(m) {
			return excuses[i].why
		}
	}
	return ""
}

// outlived are the excuses whose place is no longer there.
func outlived(all []mutant) []excuse {
	return slices.DeleteFunc(slices.Clone(excuses), func(e excuse) bool { return slices.ContainsFunc(all, e.covers) })
}
