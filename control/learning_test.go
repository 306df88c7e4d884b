package control

import (
	"fmt"
	"testing"
	"time"
)

// TestTableOfLearning: what one look or one night makes of what was learned, from
// the first one on and at the borders of the memories.
func TestTableOfLearning(t *testing.T) {
	var lines []string
	add := func(format string, args ...any) { lines = append(lines, fmt.Sprintf(format, args...)) }

	for _, learned := range []float64{0, 4.9, 5, 99, 199, 200, 201, 500} {
		for _, flow := range []float64{1, 2.7, 3.9, 4.1} {
			for _, faulty := range []bool{false, true} {
				m := FlowSigns{LearnFor: hours(learned), UsualLMin: 4, MeanLMin: 3.5, SpreadL: 0.5}
				m.learn(flow, 10*time.Minute, faulty)
				add("flow of %g l/min after %g h, faulty %v: %s", flow, learned, faulty, told(&m))
			}
		}
	}
	for _, learned := range []float64{4.9, 5, 5.1, 7.4, 7.6} {
		m := FlowSigns{LearnFor: hours(learned), UsualLMin: 4, MeanLMin: 2}
		m.learn(2, 10*time.Minute, false)
		add("half the usual flow after %g h: %s", learned, told(&m))
	}
	for _, clear := range []float64{199, 201, 399, 400, 401, 599, 601} {
		m := GapSigns{HeldK: 20}
		m.see(20, time.Minute, clear)
		add("gap of 20 K in a light of %g W/m²: %s", clear, told(&m))
	}
	for _, weeks := range []int{0, 1, 3, 4, 5, 25, 26, 27, 40, 41} {
		for _, peak := range []float64{0, 10, 20, 24, 24.5, 26} {
			for _, faulty := range []bool{false, true} {
				m := GapSigns{Plain: GapTrend{PeakK: peak, WeekK: 12, LateK: 20, UsualK: 20}, Lit: GapTrend{PeakK: peak, WeekK: 12, LateK: 24, UsualK: 18}, Days: 6, Weeks: weeks}
				m.endDay(faulty)
				add("gap of %g K in week %d, faulty %v: %s", peak, weeks, faulty, told(&m))
			}
		}
	}
	for _, late := range []float64{22, 26.25, 26.5, 26.75} {
		for _, faulty := range []bool{false, true} {
			m := GapSigns{Plain: GapTrend{PeakK: 26.5, LateK: late, UsualK: 20}, Lit: GapTrend{PeakK: 26.5, LateK: late, UsualK: 20}, Days: 6, Weeks: 30}
			m.endDay(faulty)
			add("gap late %g K, faulty %v: %s, weak %v", late, faulty, told(&m), m.weak())
		}
	}
	for _, days := range []int{0, 4, 5, 6, 7} {
		m := GapSigns{Plain: GapTrend{PeakK: 9, WeekK: 8, LateK: 20, UsualK: 20}, Lit: GapTrend{PeakK: 9, WeekK: 8}, Days: days, Weeks: 4}
		m.endDay(false)
		add("gap on day %d: %s", days, told(&m))
	}
	for _, learned := range []float64{0, 0.1, 10, 19.9, 20, 40} {
		for _, back := range []float64{30, 45, 55, 62} {
			p := newSignPlant(t)
			p.s.coilReturn.Value = back
			p.m.Gap = GapSigns{CoilFor: hours(learned), CoilShare: 0.5, CoilBest: 0.6}
			p.c.lookAtGap(p.s, &p.g)
			add("coil that gives back %g °C after %g h: %s", back, learned, told(&p.m.Gap))
		}
	}
	for _, weeks := range []int{4, 5, 6, 7, 24} { // of which this one is the next
		for _, steps := range []int{0, 1, 2, 3} {
			for _, gap := range []float64{10, 23, 23.5, 24, 28, 28.5, 29, 40} {
				for _, just := range []float64{0, 20} {
					m := GapSigns{Plain: GapTrend{WeekK: gap, PeakK: 1, JustK: just, LateK: 20, UsualK: 20}, Lit: GapTrend{WeekK: gap + 0.2, PeakK: 1, JustK: just, LateK: 20, UsualK: 20}, Days: 6, Weeks: weeks, Steps: steps}
					m.endDay(false)
					add("week %d with a gap of %g K after %d of a step from %g K: steps %d, just before %.4g K, %.4g K", m.Weeks, gap, steps, just, m.Steps, m.Plain.JustK, m.Lit.JustK)
				}
			}
		}
	}
	for _, plain := range []float64{20, 23, 24, 28, 29, 40} {
		for _, lit := range []float64{20, 23, 24, 28, 29, 40} {
			m := GapSigns{Plain: GapTrend{WeekK: plain, PeakK: 1, JustK: 20, LateK: 20, UsualK: 20}, Lit: GapTrend{WeekK: lit, PeakK: 1, JustK: 20, LateK: 20, UsualK: 20}, Days: 6, Weeks: 9, Steps: 2}
			m.endDay(false)
			add("week with a gap of %g K, by the light %g K, after a step from 20 K: steps %d, just before %.4g K, %.4g K", plain, lit, m.Steps, m.Plain.JustK, m.Lit.JustK)
		}
	}
	for _, spells := range []int{0, 1, 18, 19, 20, 21, 59, 60} {
		for _, rise := range []float64{5, 7, 8, 10, 14} {
			for _, faulty := range []bool{false, true} {
				m := SpeedSigns{UsualKH: 10, NowKH: rise + 0.5, Spells: spells}
				m.learn(rise, faulty)
				add("%g K/h in spell %d, faulty %v: %s", rise, spells, faulty, told(&m))
			}
		}
	}
	for _, rise := range []float64{-2, 0, 0.25, 0.3, 0.45, 0.5, 0.55, 0.7, 0.8} {
		p := newSignPlant(t)
		p.heat(time.Hour)
		p.m.Speed = SpeedSigns{SpellFor: 29 * time.Minute, FromC: 50 - rise/2, PeakC: 50, UsualKH: 10, NowKH: 10, Spells: 30}
		p.c.lookAtHeaterSpeed(p.s, &p.g)
		add("a spell of %g K/h: %s", rise, told(&p.m.Speed))
	}
	for _, nights := range []int{0, 1, 5, 88, 89, 90, 91} {
		for _, length := range []float64{0.9, 1, 6} {
			m := FollowSigns{RoofSumCH: 5 * length, AirSumCH: 8 * length, For: hours(length), RoofC: 9, AirC: 10, VarK2: 13, CrossK2: 11, Nights: nights}
			m.endNight()
			add("night %d of %g h: %s", nights, length, told(&m))
		}
	}
	for _, looks := range []int{0, 1, 2} {
		for _, learned := range []float64{0, 2, 5.9, 6, 12} {
			m := UnrestSigns{Last: 50, Step: 0.25, Looks: looks, Unrest: 0.5, For: hours(learned)}
			m.follow(50.5, 10*time.Minute, unrestMemory)
			add("unrest in look %d after %g h: %s", looks, learned, told(&m))
		}
	}
	for _, level := range []float64{0, 19, 20, 21, 60} {
		for _, top := range []float64{46, 49.25, 49.5, 50, 50.25, 50.5, 51, 53} {
			for _, flat := range []float64{0, 47, 48, 49, 52, 53} {
				m := HeaterSigns{LevelC: 50, LevelFor: minutes(level), FlatC: flat, FlatFor: time.Hour, SpellLowC: 46}
				m.followLevel(top, true, time.Minute)
				add("top %g °C after %g min near 50 °C, flat before at %g °C: %s", top, level, flat, told(&m))
			}
		}
	}
	for _, low := range []float64{46, 46.25, 46.5, 46.75, 47} {
		m := HeaterSigns{LevelC: 49, LevelFor: time.Minute, FlatC: 46, FlatFor: time.Hour, SpellLowC: low}
		m.followLevel(49, true, time.Minute)
		add("top lifted from %g °C past the level of 46 °C: %s", low, told(&m))
	}
	for _, low := range []float64{47, 47.5, 48, 48.5, 49, 49.5, 50} {
		m := HeaterSigns{LevelC: 50, LevelFor: time.Hour, FlatC: 47.5, FlatFor: time.Hour, SpellLowC: low}
		m.followLevel(50, true, time.Minute)
		n := m
		n.followLevel(50, false, time.Minute)
		add("top that was %g °C in the spell: %s, then not alone %v", low, told(&m), n.LevelFor)
	}
	for _, nights := range []int{0, 4, 9, 10, 30} {
		for _, length := range []float64{0.5, 1, 5} {
			p := newSignPlant(t)
			p.m.Night = NightSigns{GapSumKH: 6 * length, GapFor: hours(length), GapK: 2, Nights: nights}
			p.c.lookAtNight(p.s, &p.g)
			add("drift after %d nights and one of %g h: %s", nights, length, told(&p.m.Night))
		}
	}
	for _, gap := range []float64{1, 2.9, 3, 3.1, 4.6} {
		for _, sound := range []int{0, 1, 2} {
			p := newSignPlant(t)
			p.m.Night = NightSigns{GapSumKH: 2 * gap, GapFor: 2 * time.Hour, GapK: 5, Nights: 30, Sound: sound}
			p.c.lookAtNight(p.s, &p.g)
			add("a night of %g K after %d near the air: %s", gap, sound, told(&p.m.Night))
		}
	}
	for _, window := range []float64{0.2, 0.39, 0.4, 0.41, 0.59, 0.61} {
		for _, before := range []float64{0.3, 1} {
			m := UnrestSigns{Unrest: before, Window: window, WindowFor: 2*time.Hour - time.Minute}
			m.calm(window, time.Minute)
			add("two hours of %g K after an unrest of %g K: %s", window, before, told(&m))
		}
	}
	for _, air := range []float64{2, 3, 3.5, 10} {
		for _, rest := range []float64{2, 3.9, 4, 6} {
			p := newSignPlant(t)
			p.night(12, 50, 40)
			p.s.outdoor.Value, p.g.pumpRest = air, hours(rest)
			p.c.lookAtNight(p.s, &p.g)
			add("a look in the night with air of %g °C after %g h of rest: %s", air, rest, told(&p.m.Night))
		}
	}
	for _, rest := range []float64{3.9, 4, 5} {
		p := newSignPlant(t)
		p.night(12, 50, 40)
		p.g.pumpRest = hours(rest)
		p.m.Pressure = PressureSigns{NightBar: 1, UsualBar: 1.5, Nights: 7, SumBar: 3, Looks: 2, DayKnown: true, LowBar: 1, HighBar: 2, LowC: 10, HighC: 50}
		p.c.lookAtPressure(p.s, &p.g)
		add("pressure by night after %g h of rest: %s", rest, told(&p.m.Pressure))
	}
	for _, nights := range []int{0, 1, 7} {
		for _, bar := range []float64{1.25, 1.5} {
			for _, known := range []bool{false, true} {
				p := newSignPlant(t)
				p.m.Pressure = PressureSigns{NightBar: 1, UsualBar: 1.5, Nights: nights, SumBar: 2 * bar, Looks: 2, DayKnown: known, LowBar: 1.5, HighBar: 1.5, LowC: 10, HighC: 50}
				p.c.lookAtPressure(p.s, &p.g)
				add("pressure of %g bar after %d nights, day known %v: %s", bar, nights, known, told(&p.m.Pressure))
			}
		}
	}
	for _, known := range []bool{false, true} {
		for _, spoilt := range []bool{false, true} {
			for _, full := range []bool{false, true} {
				for _, sun := range []float64{1, 8} {
					p := newSignPlant(t)
					p.dusk()
					p.m.Yield = YieldSigns{Known: known, Spoilt: spoilt, ClearKWhM2: 5, SunKWh: 3, LateM2: 0.5, BestM2: 1.5, Days: 50}
					p.s.mem.TankFull, p.s.mem.Energy.SunJ = full, (3+sun)*jPerKWh
					p.c.lookAtYield(p.s, &p.g)
					add("%g kWh of sun, known %v, spoilt %v, full %v: %s", sun, known, spoilt, full, told(&p.m.Yield))
				}
			}
		}
	}
	for _, swings := range []float64{0, 4} {
		for _, rises := range []bool{false, true} {
			for _, collector := range []float64{51, 52, 53, 60, 67, 68, 69} {
				p := newSignPlant(t)
				p.read(collector, 50, 40)
				p.m.Loop = LoopSigns{Running: true, LowC: 45, TurnC: 60, Rises: rises, Swings: swings}
				p.c.lookAtLoop(p.s, &p.g)
				add("collector at %g °C, rising %v, swings %g: %s", collector, rises, swings, told(&p.m.Loop))
			}
		}
	}
	for vain := range 6 {
		m := LoopSigns{Vain: vain, Running: true, DeadFor: time.Hour}
		m.giveUp()
		add("run in vain after %d: %s", vain, told(&m))
	}
	for _, x := range []float64{-1, 0, 0.25, 1, 2} {
		add("share of %g minutes in one: %.7g", x, share(minutes(x), time.Minute))
	}
	for _, frost := range []bool{false, true} {
		p := newSignPlant(t)
		p.s.plan.WaterFilled, p.s.frostCirculates, p.m.Night.FrostH = true, frost, 3
		p.c.lookAtCold(p.s, &p.g)
		add("frost runs %v: %.7g h", frost, p.m.Night.FrostH)
	}
	holdTable(t, "learning", lines)
}
