package control

import "time"

func init() { signBorders = append(signBorders, moreSignBorders...) }

var moreSignBorders = []signBorder{
	// Loop.
	{"current while it runs, A", FoundPumpNoCurrent, 0, []float64{0, 0.01, 0.0199, 0.02, 0.021, 0.03}, func(p *signPlant, x float64) {
		p.s.pumpCurrent.Value = x
		p.c.lookAtLoop(p.s, &p.g)
	}},
	{"seconds of the run", FoundPumpNoCurrent, 0, []float64{29, 31, 59, 60, 89, 91}, func(p *signPlant, x float64) {
		p.s.pumpCurrent.Value, p.g.runFor = 0, time.Duration(x)*time.Second
		p.c.lookAtLoop(p.s, &p.g)
	}},
	{"minutes far above the tank", FoundPumpMovesNoHeat, 0, []float64{2, 3, 4.5, 5, 5.5, 7, 8}, func(p *signPlant, x float64) {
		p.read(85, 50, 40)
		p.m.Loop = LoopSigns{Running: true, LowC: 45, DeadFor: minutes(x) - time.Minute}
		p.c.lookAtLoop(p.s, &p.g)
	}},
	{"collector above the tank, K", FoundPumpMovesNoHeat, 0, []float64{19, 20, 39, 40, 41, 59, 61}, func(p *signPlant, x float64) {
		p.read(40+x, 50, 40)
		p.m.Loop = LoopSigns{Running: true, LowC: 45, DeadFor: 10 * time.Minute}
		p.c.lookAtLoop(p.s, &p.g)
	}},
	{"minutes of the run", FoundPumpMovesNoHeat, 0, []float64{4, 6, 9, 10, 11, 16}, func(p *signPlant, x float64) {
		p.read(85, 50, 40)
		p.g.runFor = minutes(x)
		p.m.Loop = LoopSigns{Running: true, LowC: 45, DeadFor: 10 * time.Minute}
		p.c.lookAtLoop(p.s, &p.g)
	}},
	{"collector above the tank for hours, K", FoundPumpMovesNoHeat, 0, []float64{7, 8, 14, 15, 16, 22, 23}, func(p *signPlant, x float64) {
		p.read(40+x, 50, 40)
		p.m.Loop = LoopSigns{Running: true, LowC: 45, SlackFor: 3 * time.Hour}
		p.c.lookAtLoop(p.s, &p.g)
	}},
	{"minutes clearly above the tank", FoundPumpMovesNoHeat, 0, []float64{59, 61, 119, 120, 121, 179, 181}, func(p *signPlant, x float64) {
		p.m.Loop = LoopSigns{Running: true, LowC: 45, SlackFor: minutes(x) - time.Minute}
		p.c.lookAtLoop(p.s, &p.g)
	}},
	{"tank above its lowest, K", FoundPumpMovesNoHeat, 0, []float64{0, 0.25, 0.5, 0.75, 1, 1.25, 1.5, 2}, func(p *signPlant, x float64) {
		p.m.Loop = LoopSigns{Running: true, LowC: 45 - x, SlackFor: 3 * time.Hour}
		p.c.lookAtLoop(p.s, &p.g)
	}},
	{"tank bottom above its lowest while the heater heats, K", FoundPumpMovesNoHeat, 0, []float64{0, 1, 2}, func(p *signPlant, x float64) {
		p.g.heaterRest = 59 * time.Minute
		p.m.Loop = LoopSigns{Running: true, ByCoil: true, LowC: 40 - x, SlackFor: 3 * time.Hour}
		p.c.lookAtLoop(p.s, &p.g)
	}},
	{"minutes since the heater heated", FoundPumpMovesNoHeat, 0, []float64{29, 31, 59, 60, 89, 91}, func(p *signPlant, x float64) {
		p.g.heaterRest = minutes(x)
		p.m.Loop = LoopSigns{Running: true, ByCoil: x < 60, LowC: 44, SlackFor: 3 * time.Hour}
		p.c.lookAtLoop(p.s, &p.g)
	}},
	{"swings an hour", FoundLoopAir, 0, []float64{3, 5.9, 6.05, 6.2, 9, 9.2, 12}, func(p *signPlant, x float64) {
		p.m.Loop = LoopSigns{Running: true, LowC: 45, TurnC: 60, SlackFor: 90 * time.Minute, Swings: x}
		p.c.lookAtLoop(p.s, &p.g)
	}},
	{"minutes clearly above the tank, with swings", FoundLoopAir, 0, []float64{29, 31, 59, 60, 89, 91}, func(p *signPlant, x float64) {
		p.m.Loop = LoopSigns{Running: true, LowC: 45, TurnC: 60, SlackFor: minutes(x) - time.Minute, Swings: 20}
		p.c.lookAtLoop(p.s, &p.g)
	}},
	{"current of a run in vain, A", FoundLoopAir, 0, []float64{0, 0.01, 0.0199, 0.02, 0.03}, func(p *signPlant, x float64) {
		p.read(85, 50, 40)
		p.s.pumpCurrent.Value = x
		p.m.Loop = LoopSigns{Running: true, LowC: 45, DeadFor: 10 * time.Minute}
		p.c.lookAtLoop(p.s, &p.g)
	}},
	{"pressure after a run in vain, bar", FoundLoopDry, 0, []float64{-0.1, 0, 0.02, 0.03, 0.0499, 0.05, 0.06, 0.08}, func(p *signPlant, x float64) {
		p.rest(time.Hour)
		p.m.Loop.Vain, p.s.loopPressure.Value = 1, x
		p.c.lookAtLoop(p.s, &p.g)
	}},
	{"runs in vain, without pressure", FoundLoopDry, 0, []float64{0, 1, 2}, func(p *signPlant, x float64) {
		p.rest(time.Hour)
		p.m.Loop.Vain, p.s.loopPressure.Value = int(x), 0
		p.c.lookAtLoop(p.s, &p.g)
	}},
	{"collector after a run in vain, °C", FoundLoopDry, 0, []float64{82, 83, 164, 165, 166, 247, 248}, func(p *signPlant, x float64) {
		p.rest(time.Hour)
		p.lost(p.s.loopPressure)
		p.read(x, 50, 40)
		p.m.Loop.Vain = 1
		p.c.lookAtLoop(p.s, &p.g)
	}},
	{"runs in vain, with a collector of 170 °C", FoundLoopDry, 0, []float64{0, 1, 2}, func(p *signPlant, x float64) {
		p.rest(time.Hour)
		p.lost(p.s.loopPressure)
		p.read(170, 50, 40)
		p.m.Loop.Vain = int(x)
		p.c.lookAtLoop(p.s, &p.g)
	}},

	{"minutes since the heater heated, bottom lost", FoundPumpMovesNoHeat, 0, []float64{29, 31, 59, 60, 61, 89, 91}, func(p *signPlant, x float64) {
		p.lost(p.s.tankBottom)
		p.g.heaterRest, p.g.coilC, p.g.gapK, p.g.meanC = minutes(x), 40, 20, 40
		p.m.Loop = LoopSigns{Running: true, ByCoil: x < 60, LowC: 40, SlackFor: 3 * time.Hour}
		p.c.lookAtLoop(p.s, &p.g)
	}},

	// Heater.
	{"current while it is on, A", FoundHeaterNoCurrent, 0, []float64{0, 0.25, 0.4, 0.5, 0.6, 0.75, 1}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.s.heaterCurrent.Value = x
		p.m.Heater = HeaterSigns{Trying: true, StartC: 50, HighC: 50, SpellLowC: 50, HotC: 50}
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"seconds that it is on", FoundHeaterNoCurrent, 0, []float64{29, 31, 59, 60, 89, 91}, func(p *signPlant, x float64) {
		p.heat(time.Duration(x) * time.Second)
		p.s.heaterCurrent.Value = 0
		p.m.Heater = HeaterSigns{Trying: true, StartC: 50, HighC: 50, SpellLowC: 50, HotC: 50}
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"top below its highest after it has risen, K", FoundHeaterNoCurrent, 0, []float64{0, 1, 1.5, 2, 2.9, 3, 3.1, 4, 4.5, 5}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.s.heaterCurrent.Value = 0
		p.m.Heater = HeaterSigns{Trying: true, Rose: true, StartC: 40, HighC: 50 + x, SpellLowC: 50, HotC: 50}
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"hottest before it fell silent, of a limit of 70 °C", FoundHeaterCutOut, 0, []float64{50, 65, 70, 72, 74.9, 75, 77, 80}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.s.heaterCurrent.Value = 0
		p.m.Heater = HeaterSigns{Trying: true, StartC: 50, HighC: 50, SpellLowC: 50, HotC: x}
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"hours since it was that hot", FoundHeaterCutOut, 0, []float64{23, 25, 47, 47.9, 48, 71, 73}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.s.heaterCurrent.Value = 0
		p.m.Heater = HeaterSigns{Trying: true, StartC: 50, HighC: 50, SpellLowC: 50, HotC: 78, HotSince: hours(x)}
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"current while it is off, A", FoundHeaterRelayStuck, 0, []float64{0, 0.25, 0.4, 0.5, 0.6, 0.75, 1}, func(p *signPlant, x float64) {
		p.s.heaterCurrent.Value = x
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"seconds that it is off", FoundHeaterRelayStuck, 0, []float64{29, 31, 59, 60, 89, 91}, func(p *signPlant, x float64) {
		p.g.heaterRest = time.Duration(x) * time.Second
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"rise of the top at rest, K", FoundHeaterRelayStuck, 0, []float64{1, 2, 2.5, 3.5, 4, 4.5, 5.5, 6, 6.5}, func(p *signPlant, x float64) {
		p.unheated(time.Hour)
		p.m.Heater.Rest.LowC = 50 - x
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"top at the last look, risen to 50 °C", FoundHeaterRelayStuck, 0, []float64{46, 46.9, 47, 48, 52, 53, 53.1, 54}, func(p *signPlant, x float64) {
		p.unheated(time.Hour)
		p.m.Heater.Rest.LastC = x
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"rise of the mean at rest, K", FoundHeaterRelayStuck, 0, []float64{0, 0.5, 0.75, 1, 1.25, 1.5, 1.75}, func(p *signPlant, x float64) {
		p.unheated(time.Hour)
		p.m.Heater.Rest.LowMeanC = 45 - x
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"minutes that the heater is off, risen by 6 K", FoundHeaterRelayStuck, 0, []float64{9, 11, 19, 20, 21, 29, 31}, func(p *signPlant, x float64) {
		p.unheated(time.Hour)
		p.g.heaterRest = minutes(x)
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"minutes that the loop is at rest, risen by 6 K", FoundHeaterRelayStuck, 0, []float64{9, 11, 19, 20, 21, 29, 31}, func(p *signPlant, x float64) {
		p.unheated(minutes(x))
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"collector by day, hottest of the tank 50 °C, coil 40 °C", FoundHeaterRelayStuck, 0, []float64{46, 47, 47.5, 48, 48.5, 49, 51, 79, 79.9, 80, 90}, func(p *signPlant, x float64) {
		p.unheated(time.Hour)
		p.g.dark = false
		p.read(x, 50, 40)
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"collector of a natural loop without a clock, hottest of the tank 50 °C", FoundHeaterRelayStuck, 0, []float64{46, 47, 48, 49, 90}, func(p *signPlant, x float64) {
		p.unheated(restEver)
		p.s.pump, p.g.dark = none, false
		p.read(x, 50, 40)
		p.g.loopRests = x < 48
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"natural loop by day (0) and by night (1)", FoundHeaterRelayStuck, 0, []float64{0, 1}, func(p *signPlant, x float64) {
		p.unheated(restEver)
		p.s.pump, p.g.dark, p.c.sky.known = none, x > 0, true
		p.read(20, 50, 40)
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"hours without a rise, of 3.5 for 200 l and 2 kW", FoundHeaterRelayStuck, 0, []float64{1.7, 3.4, 3.47, 3.48, 3.5, 5.2, 5.3}, func(p *signPlant, x float64) {
		p.calm(40)
		p.m.Heater.Rest.CalmFor = hours(x) - time.Minute
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"minutes without a rise, of 120 for 20 l", FoundHeaterRelayStuck, 0, []float64{59, 61, 119, 120, 121, 179, 181}, func(p *signPlant, x float64) {
		p.calm(40)
		p.s.plan.TankL = 20
		p.m.Heater.Rest.CalmFor = minutes(x) - time.Minute
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"top without a rise, found at 65 °C", FoundHeaterRelayStuck, 0, []float64{45, 50, 54.9, 55, 55.1, 60}, func(p *signPlant, x float64) {
		p.calm(x)
		p.m.Heater.Rest.StuckC = 65
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"top without a rise, heater_stop at 60 °C", FoundHeaterRelayStuck, 0, []float64{45, 49.9, 50, 50.1, 55}, func(p *signPlant, x float64) {
		p.calm(x)
		set := *p.s.set
		set.HeaterStopC = 60
		p.s.set = &set
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"rise since the lowest of hours, K", FoundHeaterRelayStuck, 0, []float64{0.5, 0.9, 1.1, 1.5, 2}, func(p *signPlant, x float64) {
		p.calm(40)
		p.m.Heater.Rest.CalmLowC = 40 - x
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"fall within hours, K", FoundHeaterRelayStuck, 0, []float64{2, 3.9, 4, 4.1, 6}, func(p *signPlant, x float64) {
		p.calm(40)
		p.m.Heater.Rest.CalmFromC = 40 + x
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"minutes tried in vain, of 207 for 200 l and 2 kW", FoundHeaterGivesNothing, 0, []float64{100, 105, 139, 206, 207, 208, 310, 312}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.m.Heater = HeaterSigns{Trying: true, StartC: 50, HighC: 50, SpellLowC: 50, HotC: 50, TriedFor: minutes(x)}
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"minutes tried in vain, of 120 for 20 l", FoundHeaterGivesNothing, 0, []float64{58, 60, 118, 119, 120, 178, 180}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.s.plan.TankL = 20
		p.m.Heater = HeaterSigns{Trying: true, StartC: 50, HighC: 50, SpellLowC: 50, HotC: 50, TriedFor: minutes(x)}
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"hours tried in vain, volume not known", FoundHeaterGivesNothing, 0, []float64{2.9, 3.1, 5.9, 6, 8.9, 9.1, 12}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.s.plan.TankL = 0
		p.m.Heater = HeaterSigns{Trying: true, StartC: 50, HighC: 50, SpellLowC: 50, HotC: 50, TriedFor: hours(x)}
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"hours tried in vain, power not known", FoundHeaterGivesNothing, 0, []float64{2.9, 3.1, 5.9, 6, 8.9, 9.1, 12}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.s.plan.HeaterW = 0
		p.m.Heater = HeaterSigns{Trying: true, StartC: 50, HighC: 50, SpellLowC: 50, HotC: 50, TriedFor: hours(x)}
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"top, heated to 60 °C for 207 min in vain", FoundHeaterGivesNothing, 0, []float64{51, 52, 53, 59.9, 60, 60.1, 65}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.read(60, x, 40)
		p.m.Heater = HeaterSigns{Trying: true, StartC: x, HighC: x, SpellLowC: x, HotC: x, TriedFor: 207 * time.Minute}
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"rise since it is heated, K", FoundHeaterGivesNothing, 0, []float64{1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.m.Heater = HeaterSigns{Trying: true, StartC: 40, HighC: 50, SpellLowC: 50 - x, HotC: 50, TriedFor: 9 * time.Hour}
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"hours flat below its target", FoundHeaterThermostatLow, 0, []float64{0.9, 1.1, 1.95, 1.99, 2, 2.9, 3.1}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.m.Heater = HeaterSigns{Trying: true, Rose: true, StartC: 40, HighC: 50, SpellLowC: 40, HotC: 50, FlatC: 50, FlatFor: hours(x)}
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"top that it has lifted, flat before at 40 °C", FoundHeaterThermostatLow, 0, []float64{41, 45, 50, 52, 52.5, 53, 53.1, 54, 57, 58, 58.5, 59}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.read(20, x, 40)
		p.m.Heater = HeaterSigns{Trying: true, Rose: true, StartC: 30, HighC: 40, SpellLowC: 35, HotC: 50, FlatC: 40}
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"level that it stayed at, then lifted to 54 °C", FoundHeaterThermostatLow, 0, []float64{40, 51, 52, 52.5, 52.9, 53, 53.1, 54, 56}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.read(20, 54, 40)
		p.m.Heater = HeaterSigns{Trying: true, Rose: true, StartC: 30, HighC: 40, SpellLowC: 35, HotC: 50, FlatC: x}
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"coldest top of a spell up to 59 °C", FoundHeaterThermostatLow, 0, []float64{50, 55, 55.9, 56, 56.1, 58}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.read(20, 59, 40)
		p.m.Heater = HeaterSigns{Trying: true, Rose: true, StartC: 30, HighC: 40, SpellLowC: x, HotC: 50, FlatC: 45}
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"level of a thermostat that opens early, K above the top", FoundHeaterGivesNothing, 0, []float64{-5, -2.1, -2, -1.9, 0, 5, 9, 9.9, 10, 10.1, 15}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.thermostatOpensAt(50 + x)
		p.m.Heater.TriedFor = p.s.nothingAfter() + time.Hour
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"times that tell of a dead heater, its thermostat opens early", FoundHeaterGivesNothing, 0, []float64{0.9, 1.1, 1.9, 1.99, 2, 2.1, 3}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.thermostatOpensAt(50)
		p.m.Heater.TriedFor = time.Duration(x*float64(p.s.nothingAfter())) - p.g.span
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"top above the level that it stayed at, K", FoundHeaterThermostatLow, 0, []float64{-5, -1, 0, 1, 1.9, 2, 2.1, 3}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.m.Heater = HeaterSigns{Trying: true, Rose: true, StartC: 40, HighC: 50, SpellLowC: 40, HotC: 50, FlatC: 50 - x, FlatFor: 2 * time.Hour}
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"flat, in vain (0) and risen (1)", FoundHeaterThermostatLow, 0, []float64{0, 1}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.m.Heater = HeaterSigns{Trying: true, Rose: x == 1, StartC: 40, HighC: 50, SpellLowC: 48, HotC: 50, FlatC: 50, FlatFor: 3 * time.Hour}
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"seconds that it is on, flat before", FoundHeaterThermostatLow, 0, []float64{29, 31, 59, 60, 89, 91}, func(p *signPlant, x float64) {
		p.heat(time.Duration(x) * time.Second)
		p.m.Heater = HeaterSigns{Trying: true, Rose: true, StartC: 40, HighC: 50, SpellLowC: 40, HotC: 50, FlatC: 50, FlatFor: 3 * time.Hour}
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"level that it stayed at, heated to 60 °C", FoundHeaterThermostatLow, 0, []float64{51, 52, 53, 59.9, 60, 60.1, 65}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.m.Heater = HeaterSigns{Trying: true, Rose: true, StartC: 40, HighC: 50, SpellLowC: 40, HotC: 50, FlatC: x, FlatFor: 3 * time.Hour}
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"top above the level of this spell, K", FoundHeaterThermostatLow, 0, []float64{-0.8, -0.7, -0.5, -0.4, -0.3, 0, 0.3, 0.4, 0.5, 0.7, 0.8}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.m.Heater = HeaterSigns{Trying: true, Rose: true, StartC: 40, HighC: 50, SpellLowC: 40, HotC: 50, LevelC: 50 - x, LevelFor: time.Hour, FlatC: 50, FlatFor: 2*time.Hour - time.Minute}
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"minutes of the level in this spell", FoundHeaterThermostatLow, 0, []float64{9, 11, 18, 19, 20, 21, 29, 31}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.m.Heater = HeaterSigns{Trying: true, Rose: true, StartC: 40, HighC: 50, SpellLowC: 40, HotC: 50, LevelC: 50, LevelFor: minutes(x), FlatC: 50, FlatFor: 2*time.Hour - time.Minute}
		p.c.lookAtHeater(p.s, &p.g)
	}},
	{"rise up to the level in this spell, K", FoundHeaterThermostatLow, 0, []float64{0, 0.5, 0.9, 1, 1.1, 1.5, 2}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.m.Heater = HeaterSigns{Trying: true, Rose: true, StartC: 40, HighC: 50, SpellLowC: 50 - x, HotC: 50, LevelC: 50, LevelFor: time.Hour, FlatC: 50, FlatFor: 2*time.Hour - time.Minute}
		p.c.lookAtHeater(p.s, &p.g)
	}},

	// The heater's speed.
	{"rise lately of 10 K/h, K/h", FoundHeaterSlow, 0, []float64{3, 5, 6.25, 6.5, 6.75, 7.5, 7.75, 8, 8.25, 9, 12}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.m.Speed = SpeedSigns{SpellFor: 29 * time.Minute, FromC: 50, PeakC: 50, UsualKH: 10, NowKH: x, Spells: 60}
		p.c.lookAtHeaterSpeed(p.s, &p.g)
	}},
	{"spells learned", FoundHeaterSlow, 0, []float64{10, 19, 20, 29, 31, 59, 60, 89, 91}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.m.Speed = SpeedSigns{SpellFor: 29 * time.Minute, FromC: 50, PeakC: 50, UsualKH: 10, NowKH: 5, Spells: int(x)}
		p.c.lookAtHeaterSpeed(p.s, &p.g)
	}},
	{"spells learned, as fast as ever", FoundHeaterSlow, 0, []float64{9, 11, 19, 20, 21, 29, 31}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.m.Speed = SpeedSigns{SpellFor: 29 * time.Minute, FromC: 50, PeakC: 50, UsualKH: 10, NowKH: 10, Spells: int(x)}
		p.c.lookAtHeaterSpeed(p.s, &p.g)
	}},
	{"minutes of the spell", FoundHeaterSlow, 0, []float64{14, 16, 28, 29, 30, 43, 45}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.m.Speed = SpeedSigns{SpellFor: minutes(x), FromC: 50, PeakC: 50, UsualKH: 10, NowKH: 10, Spells: 60}
		p.c.lookAtHeaterSpeed(p.s, &p.g)
	}},
	{"top below its peak, K", FoundHeaterSlow, 0, []float64{0, 0.125, 0.25, 0.29, 0.31, 0.4, 0.5}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.m.Speed = SpeedSigns{SpellFor: 29 * time.Minute, FromC: 50, PeakC: 50 + x, UsualKH: 10, NowKH: 10, Spells: 60}
		p.c.lookAtHeaterSpeed(p.s, &p.g)
	}},
	{"minutes of the loop's rest", FoundHeaterSlow, 0, []float64{4, 6, 9, 10, 11, 14, 16}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.g.pumpRest = minutes(x)
		p.m.Speed = SpeedSigns{SpellFor: 29 * time.Minute, FromC: 50, PeakC: 50, UsualKH: 10, NowKH: 10, Spells: 60}
		p.c.lookAtHeaterSpeed(p.s, &p.g)
	}},
	{"K/h, of 8.7 K/h by volume and power", FoundHeaterNotAsDescribed, 0, []float64{2, 4, 4.3, 4.4, 4.7, 4.8, 6, 50, 62, 63, 69, 70, 104, 105}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.m.Speed = SpeedSigns{SpellFor: 29 * time.Minute, FromC: 50, PeakC: 50, UsualKH: 10, NowKH: x, Spells: 60}
		p.c.lookAtHeaterSpeed(p.s, &p.g)
	}},
	{"rise in 10 min, K", FoundTankPartEmpty, 0, []float64{4, 5, 5.5, 8, 9, 9.5, 10, 10.5, 14, 15, 16}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.m.Speed = SpeedSigns{BareFor: 9 * time.Minute, BareLowC: 50 - x}
		p.c.lookAtHeaterSpeed(p.s, &p.g)
	}},
	{"minutes of a look at the rise", FoundTankPartEmpty, 0, []float64{0, 4, 8, 9, 10, 10.5, 14, 16}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.m.Speed = SpeedSigns{BareFor: minutes(x), BareLowC: 48}
		p.c.lookAtHeaterSpeed(p.s, &p.g)
	}},
	{"minutes of a look at the rise, 12 K", FoundTankPartEmpty, 0, []float64{0, 4, 8, 10, 10.5, 14, 16}, func(p *signPlant, x float64) {
		p.heat(time.Hour)
		p.m.Speed = SpeedSigns{BareFor: minutes(x), BareLowC: 38}
		p.c.lookAtHeaterSpeed(p.s, &p.g)
	}},

	// Probes.
	{"days near the air", FoundProbeOutOfPocket, int(Collector), []float64{1, 2, 3, 4, 6, 7}, func(p *signPlant, x float64) {
		p.g.dusk, p.g.sunDeg = true, -7
		p.m.Pocket = PocketSigns{ColdDays: int(x), PeakK: 5, AirC: 20}
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"gain of a run with the collector at the air, K", FoundProbeOutOfPocket, int(Collector), []float64{1.5, 2, 3.5, 4, 4.5, 5.5, 6}, func(p *signPlant, x float64) {
		p.read(20, 50, 40)
		p.m.Pocket = PocketSigns{Running: true, RunFromC: 40 - x, RunLowC: 20, RunHighC: 20}
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"swing of the collector in a run that gains, K", FoundProbeOutOfPocket, int(Collector), []float64{0.5, 0.75, 1, 1.25, 1.5, 1.75, 2, 2.25, 2.5}, func(p *signPlant, x float64) {
		p.read(20, 50, 40)
		p.m.Pocket = PocketSigns{Running: true, RunFromC: 30, RunLowC: 20 - x, RunHighC: 20}
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"collector from the air in a run that gains, K", FoundProbeOutOfPocket, int(Collector), []float64{0.5, 1, 1.5, 2, 2.5, 3, 3.5}, func(p *signPlant, x float64) {
		p.read(20, 50, 40)
		p.m.Pocket = PocketSigns{Running: true, RunFromC: 30, RunLowC: 20, RunHighC: 20, RunAirK: x}
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"share of the run, with gain and no heat", FoundProbeOutOfPocket, int(Collector), []float64{0, 0.5, 0.9, 1}, func(p *signPlant, x float64) {
		p.read(20, 50, 40)
		p.g.pumpShare = x
		p.m.Pocket = PocketSigns{Running: true, RunFromC: 30, RunLowC: 20, RunHighC: 20}
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"most above the air after 6 days, K", FoundProbeOutOfPocket, int(Collector), []float64{-1, 0, 1, 3, 4, 5.9, 6, 7.5, 8, 8.5, 12, 13}, func(p *signPlant, x float64) {
		p.g.dusk, p.g.sunDeg = true, -7
		p.m.Pocket = PocketSigns{ColdDays: 6, PeakK: x, AirC: 20}
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"warmest air after 6 days, °C", FoundProbeOutOfPocket, int(Collector), []float64{2, 2.5, 3, 4.5, 5, 5.5, 7.5, 8}, func(p *signPlant, x float64) {
		p.g.dusk, p.g.sunDeg = true, -7
		p.m.Pocket = PocketSigns{ColdDays: 6, PeakK: 5, AirC: x}
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"sun's height at 10 K above the air after 6 days, degrees", FoundProbeOutOfPocket, int(Collector), []float64{9, 10, 11, 19, 20, 21, 30, 31}, func(p *signPlant, x float64) {
		p.g.dusk, p.g.sunDeg = true, x
		p.read(30, 50, 40)
		p.m.Pocket = PocketSigns{ColdDays: 6, PeakK: 5, AirC: 20}
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"bottom above a top of 30 °C and a collector of 20 °C, K", FoundCollectorSwapped, 0, []float64{-1, 0, 0.5, 1, 1.5, 7, 8, 14, 15, 16, 22, 23}, func(p *signPlant, x float64) {
		p.read(20, 30, 30+x)
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"bottom above a top of 20 °C and a collector of 30 °C, K", FoundCollectorSwapped, 0, []float64{14, 16, 17, 18, 24, 25, 26, 32, 33}, func(p *signPlant, x float64) {
		p.read(30, 20, 20+x)
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"sun's height with layers as they should, degrees", FoundCollectorSwapped, 0, []float64{9, 11, 19, 20, 21, 29, 31}, func(p *signPlant, x float64) {
		p.g.sunDeg = x
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"bottom above the top at rest, K", FoundTankProbesSwapped, 0, []float64{-2, -1.5, -1, -0.5, 0, 2, 2.5, 3, 4.5, 5, 5.5, 7, 8}, func(p *signPlant, x float64) {
		p.rest(time.Hour)
		p.read(45, 50, 50+x)
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"share that the pump runs", FoundTankProbesSwapped, 0, []float64{0, 0.1, 1}, func(p *signPlant, x float64) {
		p.g.pumpShare = x
		p.read(45, 50, 60)
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"share that the heater heats", FoundTankProbesSwapped, 0, []float64{0, 0.1, 1}, func(p *signPlant, x float64) {
		p.rest(time.Hour)
		p.g.heaterShare = x
		p.read(45, 50, 60)
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"hours of a top that stays", FoundTankTopStuck, 0, []float64{35, 37, 71.9, 71.99, 72, 107, 109}, func(p *signPlant, x float64) {
		p.m.Pocket = PocketSigns{WindowFor: hours(x), TopLow: 50, TopHigh: 50, BottomLow: 25, BottomHigh: 40}
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"swing of the bottom in 72 h, K", FoundTankTopStuck, 0, []float64{5.5, 6.5, 11.5, 12, 12.5, 17.5, 18.5}, func(p *signPlant, x float64) {
		p.m.Pocket = PocketSigns{WindowFor: 72 * time.Hour, TopLow: 50, TopHigh: 50, BottomLow: 40 - x, BottomHigh: 40}
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"swing of the top in 72 h, K", FoundTankTopStuck, 0, []float64{0.3, 0.4, 0.65, 0.75, 1, 1.1, 1.35, 1.45, 2, 2.2}, func(p *signPlant, x float64) {
		p.m.Pocket = PocketSigns{WindowFor: 72 * time.Hour, TopLow: 50, TopHigh: 50 + x, BottomLow: 20, BottomHigh: 40}
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"swing of the top at once, K", FoundTankTopStuck, 0, []float64{0.65, 0.75, 1.35, 1.45, 2, 2.2}, func(p *signPlant, x float64) {
		p.m.Pocket = PocketSigns{WindowFor: time.Hour, TopLow: 50, TopHigh: 50 + x, BottomLow: 20, BottomHigh: 40}
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"unrest of a quiet night, K", FoundProbeUnsteady, int(TankTop), []float64{0.1, 0.15, 0.25, 0.39, 0.41, 0.65, 0.69, 0.71, 1, 1.1}, func(p *signPlant, x float64) {
		p.night(20, 50, 40)
		p.m.Pocket = PocketSigns{}
		p.c.st.Probes[2].Signs = UnrestSigns{Last: 50, Looks: 2, Unrest: x / (1 - 1.0/121), For: 2 * time.Hour}
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"minutes of a quiet night", FoundProbeUnsteady, int(TankTop), []float64{58, 60, 118, 119, 120, 178, 180}, func(p *signPlant, x float64) {
		p.night(20, 50, 40)
		p.c.st.Probes[2].Signs = UnrestSigns{Last: 50, Looks: 2, Unrest: 2, For: minutes(x)}
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"looks of a quiet night", FoundProbeUnsteady, int(TankTop), []float64{0, 1, 2, 3}, func(p *signPlant, x float64) {
		p.night(20, 50, 40)
		p.c.st.Probes[2].Signs = UnrestSigns{Last: 50, Looks: int(x), Unrest: 2, For: 2*time.Hour - time.Minute}
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"hours of the loop's rest", FoundProbeUnsteady, int(TankTop), []float64{0.9, 1.1, 1.9, 2, 2.9, 3.1}, func(p *signPlant, x float64) {
		p.night(20, 50, 40)
		p.g.pumpRest = hours(x)
		p.c.st.Probes[2].Signs = UnrestSigns{Last: 50, Looks: 2, Unrest: 2, For: 9 * time.Hour}
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"hours of the heater's rest", FoundProbeUnsteady, int(TankTop), []float64{0.9, 1.1, 1.9, 2, 2.9, 3.1}, func(p *signPlant, x float64) {
		p.night(20, 50, 40)
		p.g.heaterRest = hours(x)
		p.c.st.Probes[2].Signs = UnrestSigns{Last: 50, Looks: 2, Unrest: 2, For: 9 * time.Hour}
		p.c.lookAtPockets(p.s, &p.g)
	}},

	// The outdoor probe beside a warm wall.
	{"share by which it follows the roof", FoundOutdoorWarm, 0, []float64{0.3, 0.37, 0.38, 0.42, 0.43, 0.74, 0.75, 0.76, 0.84, 0.85, 0.86, 1, 1.12, 1.13, 1.27, 1.28}, func(p *signPlant, x float64) {
		p.m.Night.Follow = FollowSigns{Nights: 40, VarK2: 16, CrossK2: 16 * x}
		p.m.Night.GapK = -5
		p.c.lookForWarmWall(p.s, &p.g)
	}},
	{"gap, following by half", FoundOutdoorWarm, 0, []float64{-5, -4.5, -4, -3.5, -3, -2.5, -1.5, -1}, func(p *signPlant, x float64) {
		p.m.Night.Follow = FollowSigns{Nights: 40, VarK2: 16, CrossK2: 8}
		p.m.Night.GapK = x
		p.c.lookForWarmWall(p.s, &p.g)
	}},
	{"gap, following well", FoundOutdoorWarm, 0, []float64{-15, -14, -10, -9.5, -9, -8.5, -5, -4, -3.5}, func(p *signPlant, x float64) {
		p.m.Night.Follow = FollowSigns{Nights: 40, VarK2: 16, CrossK2: 16}
		p.m.Night.GapK = x
		p.c.lookForWarmWall(p.s, &p.g)
	}},
	{"nights compared", FoundOutdoorWarm, 0, []float64{19, 20, 38, 39, 40, 41, 59, 60}, func(p *signPlant, x float64) {
		p.m.Night.Follow = FollowSigns{Nights: int(x), VarK2: 16, CrossK2: 8}
		p.m.Night.GapK = -5
		p.c.lookForWarmWall(p.s, &p.g)
	}},
	{"nights compared, gap well", FoundOutdoorWarm, 0, []float64{19, 20, 38, 39, 40, 41, 59, 60}, func(p *signPlant, x float64) {
		p.m.Night = NightSigns{Nights: 9, GapK: -5, Follow: FollowSigns{Nights: int(x)}}
		p.c.lookAtNight(p.s, &p.g)
	}},
	{"variance of the roof's nights", FoundOutdoorWarm, 0, []float64{5.5, 6, 11.5, 12, 12.5, 17.5, 18.5}, func(p *signPlant, x float64) {
		p.m.Night.Follow = FollowSigns{Nights: 40, VarK2: x, CrossK2: x / 2}
		p.m.Night.GapK = -5
		p.c.lookForWarmWall(p.s, &p.g)
	}},

	// Pressure.
	{"bar", FoundPressureLow, 0, []float64{0.2, 0.25, 0.3, 0.45, 0.5, 0.55, 0.6, 0.7, 0.75, 0.8, 0.85}, func(p *signPlant, x float64) {
		p.s.loopPressure.Value = x
		p.c.lookAtPressure(p.s, &p.g)
	}},
	{"bar, of the usual 6", FoundPressureTooHigh, 0, []float64{2.5, 2.6, 2.9, 5, 5.05, 5.1, 5.15, 5.8, 5.82, 5.85, 7.6, 8.7, 8.8}, func(p *signPlant, x float64) {
		p.s.loopPressure.Value = x
		p.c.lookAtPressure(p.s, &p.g)
	}},
	{"bar, of 3", FoundPressureTooHigh, 0, []float64{2.5, 2.6, 2.9, 2.95}, func(p *signPlant, x float64) {
		p.s.plan.ReliefBar, p.s.loopPressure.Value = 3, x
		p.c.lookAtPressure(p.s, &p.g)
	}},
	{"fallen by, bar", FoundPressureFalling, 0, []float64{0.05, 0.07, 0.08, 0.14, 0.15, 0.16, 0.2, 0.22, 0.23, 0.29, 0.31, 0.44, 0.46}, func(p *signPlant, x float64) {
		p.m.Pressure = PressureSigns{NightBar: 1, UsualBar: 1 + x*40/39, Nights: 5, SumBar: 10, Looks: 10}
		p.c.lookAtPressure(p.s, &p.g)
	}},
	{"nights learned", FoundPressureFalling, 0, []float64{1, 2, 3, 4, 6, 7}, func(p *signPlant, x float64) {
		p.m.Pressure = PressureSigns{NightBar: 1, UsualBar: 2, Nights: int(x), SumBar: 10, Looks: 10}
		p.c.lookAtPressure(p.s, &p.g)
	}},
	{"tonight's bar after nights of 1 bar", FoundPressureFalling, 0, []float64{1, 1.19, 1.21, 1.39, 1.4, 1.41, 1.59, 1.61}, func(p *signPlant, x float64) {
		p.m.Pressure = PressureSigns{NightBar: 1, UsualBar: 2, Nights: 6, SumBar: 10 * x, Looks: 10}
		p.c.lookAtPressure(p.s, &p.g)
	}},
	{"looks of tonight", FoundPressureFalling, 0, []float64{0, 1, 2}, func(p *signPlant, x float64) {
		p.m.Pressure = PressureSigns{NightBar: 1, UsualBar: 2, Nights: 6, SumBar: x, Looks: int(x)}
		p.c.lookAtPressure(p.s, &p.g)
	}},
	{"bar more at 50 K more", FoundVesselCushionLost, 0, []float64{0.7, 0.8, 1.4, 1.5, 1.6, 2.2, 2.25, 2.3, 3.3, 3.4}, func(p *signPlant, x float64) {
		p.g.dusk = true
		p.m.Pressure = PressureSigns{DayKnown: true, LowBar: 1.5, LowC: 20, HighBar: 1.5 + x, HighC: 70}
		p.c.lookAtPressure(p.s, &p.g)
	}},
	{"K more, steep", FoundVesselCushionLost, 0, []float64{12, 13, 24, 25, 26, 37, 38}, func(p *signPlant, x float64) {
		p.g.dusk = true
		p.m.Pressure = PressureSigns{DayKnown: true, LowBar: 1.5, LowC: 20, HighBar: 5.5, HighC: 20 + x}
		p.c.lookAtPressure(p.s, &p.g)
	}},
	{"bar, less than the air around", FoundVesselCushionLost, 0, []float64{-0.08, -0.07, -0.06, -0.05, -0.04, -0.03, -0.02, 0, 0.1}, func(p *signPlant, x float64) {
		p.s.loopPressure.Value = x
		p.c.lookAtPressure(p.s, &p.g)
	}},

	// Use.
	{"°C at the tap", FoundTapTooHot, 0, []float64{12, 13, 14, 25, 26, 27, 39, 40, 50, 51, 52, 53, 54, 55, 56, 82, 83}, func(p *signPlant, x float64) {
		p.s.tap.Value = x
		p.c.lookAtUse(p.s, &p.g)
	}},
	{"most at the tap in a day, with tap_temperature 40 °C", FoundTapLukewarm, 0, []float64{13, 25, 26, 27, 32, 34, 35, 36, 37, 38, 39, 40}, func(p *signPlant, x float64) {
		p.g.dusk, p.s.tap.Value = true, 20
		p.m.Use = UseSigns{DayKnown: true, TapHighC: x, TopLowC: 50}
		p.c.lookAtUse(p.s, &p.g)
	}},
	{"most at the tap in a day, of a tank that is not hot", FoundTapLukewarm, 0, []float64{32, 33, 34, 35, 36, 37, 38}, func(p *signPlant, x float64) {
		p.g.dusk, p.s.tap.Value = true, 20
		p.m.Use = UseSigns{DayKnown: true, TapHighC: x, TopLowC: 42}
		p.c.lookAtUse(p.s, &p.g)
	}},
	{"coldest top in a day, with lukewarm taps", FoundTapLukewarm, 0, []float64{42, 42.5, 43, 44, 45, 46, 47, 47.5, 48}, func(p *signPlant, x float64) {
		p.g.dusk, p.s.tap.Value = true, 20
		p.m.Use = UseSigns{DayKnown: true, TapHighC: 30, TopLowC: x}
		p.c.lookAtUse(p.s, &p.g)
	}},
	{"return at rest, with a top of 50 °C", FoundCirculationAlways, 0, []float64{34, 35, 36, 39, 40, 41, 44, 45, 46}, func(p *signPlant, x float64) {
		p.c.st.Outputs[p.s.circulation] = OutputState{Idle: time.Hour}
		p.s.circulationReturn.Value = x
		p.c.lookAtUse(p.s, &p.g)
	}},
	{"return at rest, with a top of 40 °C", FoundCirculationAlways, 0, []float64{17, 18, 30, 31, 34, 35, 36, 52, 53}, func(p *signPlant, x float64) {
		p.c.st.Outputs[p.s.circulation] = OutputState{Idle: time.Hour}
		p.read(60, 40, 30)
		p.s.circulationReturn.Value = x
		p.c.lookAtUse(p.s, &p.g)
	}},
	{"minutes at rest", FoundCirculationAlways, 0, []float64{29, 31, 59, 60, 89, 91}, func(p *signPlant, x float64) {
		p.c.st.Outputs[p.s.circulation] = OutputState{Idle: minutes(x)}
		p.s.circulationReturn.Value = 48
		p.c.lookAtUse(p.s, &p.g)
	}},
	{"return of a run, with a top of 60 °C", FoundCirculationCold, 0, []float64{14, 15, 16, 29, 30, 31, 44, 46}, func(p *signPlant, x float64) {
		p.c.st.Outputs[p.s.circulation] = OutputState{Level: 1, InState: 20 * time.Minute}
		p.read(60, 60, 30)
		p.s.circulationReturn.Value = x
		p.c.lookAtUse(p.s, &p.g)
	}},
	{"return of a run, with a top of 45 °C", FoundCirculationCold, 0, []float64{14, 15, 16, 24, 25, 26, 34, 36}, func(p *signPlant, x float64) {
		p.c.st.Outputs[p.s.circulation] = OutputState{Level: 1, InState: 20 * time.Minute}
		p.read(60, 45, 30)
		p.s.circulationReturn.Value = x
		p.c.lookAtUse(p.s, &p.g)
	}},
	{"minutes of the run", FoundCirculationCold, 0, []float64{9, 11, 19, 20, 29, 31}, func(p *signPlant, x float64) {
		p.c.st.Outputs[p.s.circulation] = OutputState{Level: 1, InState: minutes(x)}
		p.s.circulationReturn.Value = 20
		p.c.lookAtUse(p.s, &p.g)
	}},
	{"return while the pump rests again, °C", FoundCirculationCold, 0, []float64{14, 17, 18, 29, 31, 34, 35, 36, 52, 53}, func(p *signPlant, x float64) {
		p.c.st.Outputs[p.s.circulation] = OutputState{Idle: time.Minute}
		p.s.circulationReturn.Value = x
		p.c.lookAtUse(p.s, &p.g)
	}},
	{"minutes that the pump rests, of a return of 40 °C", FoundCirculationCold, 0, []float64{9, 11, 19, 20, 21, 29, 31}, func(p *signPlant, x float64) {
		p.c.st.Outputs[p.s.circulation] = OutputState{Idle: minutes(x)}
		p.s.circulationReturn.Value = 40
		p.c.lookAtUse(p.s, &p.g)
	}},
	{"hours without a draw from a full tank", FoundTankUnused, 0, []float64{35, 37, 71.9, 71.99, 72, 107, 109}, func(p *signPlant, x float64) {
		p.lost(p.s.drawFlow)
		p.s.mem.TankFull = true
		p.m.Use = UseSigns{NoDrawFor: hours(x)}
		p.c.lookAtUse(p.s, &p.g)
	}},
	{"K that the bottom fell, unused for 80 h", FoundTankUnused, 0, []float64{0.5, 0.75, 1, 1.25, 1.5, 1.9, 2, 2.1, 3, 3.1}, func(p *signPlant, x float64) {
		p.rest(time.Hour)
		p.lost(p.s.drawFlow)
		p.s.mem.TankFull = true
		p.m.Use = UseSigns{NoDrawFor: 80 * time.Hour, WindowFor: time.Minute, HighC: 40 + x}
		p.c.lookAtUse(p.s, &p.g)
	}},
	{"minutes since the bottom was 5 K warmer", FoundTankUnused, 0, []float64{9, 11, 19, 20, 20.5, 21, 29, 31}, func(p *signPlant, x float64) {
		p.rest(time.Hour)
		p.lost(p.s.drawFlow)
		p.s.mem.TankFull = true
		p.m.Use = UseSigns{NoDrawFor: 80 * time.Hour, WindowFor: minutes(x), HighC: 45}
		p.c.lookAtUse(p.s, &p.g)
	}},
	{"l/min drawn, unused for 80 h", FoundTankUnused, 0, []float64{0, 0.5, 1, 2}, func(p *signPlant, x float64) {
		p.s.drawFlow.Value, p.s.mem.TankFull = x, true
		p.m.Use = UseSigns{NoDrawFor: 80 * time.Hour}
		p.c.lookAtUse(p.s, &p.g)
	}},
	{"kWh drawn by the book since, of a tank of 200 l", FoundTankUnused, 0, []float64{0.5, 0.6, 1.1, 1.2, 1.7, 1.8}, func(p *signPlant, x float64) {
		p.lost(p.s.drawFlow)
		p.s.mem.TankFull, p.s.mem.Energy.DrawnJ = true, (10+x)*jPerKWh
		p.m.Use = UseSigns{NoDrawFor: 80 * time.Hour, DrawnKWh: 10}
		p.c.lookAtUse(p.s, &p.g)
	}},

	// Yield and cold.
	{"best of late, of 1", FoundYieldPoor, 0, []float64{0.19, 0.21, 0.38, 0.395, 0.405, 0.42, 0.58, 0.595, 0.605, 0.62, 0.89, 0.91}, func(p *signPlant, x float64) {
		p.dusk()
		p.m.Yield.LateM2, p.m.Yield.BestM2 = x/yieldFade, 1/yieldForget
		p.c.lookAtYield(p.s, &p.g)
	}},
	{"days learned", FoundYieldPoor, 0, []float64{21, 22, 43, 44, 66, 67}, func(p *signPlant, x float64) {
		p.dusk()
		p.m.Yield.LateM2, p.m.Yield.BestM2, p.m.Yield.Days = 0.1, 1, int(x)
		p.c.lookAtYield(p.s, &p.g)
	}},
	{"kWh/m² of clear sky", FoundYieldPoor, 0, []float64{1.9, 2.1, 3.9, 4, 4.1, 5.9, 6.1}, func(p *signPlant, x float64) {
		p.dusk()
		p.m.Yield.LateM2, p.m.Yield.BestM2, p.m.Yield.ClearKWhM2 = 0.1, 1, x
		p.c.lookAtYield(p.s, &p.g)
	}},
	{"hottest of the tank", FoundTankNearFreezing, 0, []float64{0.5, 1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5, 5.5}, func(p *signPlant, x float64) {
		p.read(10, x, 0)
		p.c.lookAtCold(p.s, &p.g)
	}},
	{"hours of frost runs in about a day", FoundFrostRuns, 0, []float64{0.9, 1.1, 1.9, 2.1, 2.9, 3.1, 3.9, 4.1, 5.9, 6.1}, func(p *signPlant, x float64) {
		p.s.plan.WaterFilled = true
		p.m.Night.FrostH = x / (1 - 1.0/1440)
		p.c.lookAtCold(p.s, &p.g)
	}},
	{"hottest of the tank, K above its limit", FoundTankTooHot, 0, []float64{-10, 0, 4, 7.9, 8, 8.1, 12}, func(p *signPlant, x float64) {
		p.read(60, p.s.set.TankLimitC+x, 40)
		p.c.lookAtSystem(p.s, p.g.span)
	}},
	{"cool again; minutes for which the hotter probe has been lost", FoundTankTooHot, 0, []float64{0, 1, 359, 360}, func(p *signPlant, x float64) {
		if x > 0 {
			p.lost(p.s.tankTop)
		}
		p.s.topProbe.Silent = minutes(x)
		p.c.lookAtSystem(p.s, p.g.span)
	}},
	{"cool again; minutes for which both probes have been lost", FoundTankTooHot, 0, []float64{0, 1, 359, 360, 600}, func(p *signPlant, x float64) {
		if x > 0 {
			p.lost(p.s.tankTop, p.s.tankBottom)
		}
		p.s.topProbe.Silent, p.s.bottomProbe.Silent = minutes(x), minutes(x)
		p.c.lookAtSystem(p.s, p.g.span)
	}},
	{"hours beyond the interval", FoundHygieneOverdue, 0, []float64{-1, 0, 24, 25, 47.9, 48, 48.1, 73}, func(p *signPlant, x float64) {
		p.s.mem.HygieneSince = p.s.set.HygieneInterval + hours(x)
		p.c.lookAtSystem(p.s, p.g.span)
	}},
	{"0: no heat-up is asked for in the interval, 1: one is", FoundHygieneOverdue, 0, []float64{0, 1}, func(p *signPlant, x float64) {
		p.s.mem.HygieneSince, p.s.set.HygieneInterval = hours(1000), hours(x)
		p.c.lookAtSystem(p.s, p.g.span)
	}},
}

// dusk ends a day that counts for the yield.
func (p *signPlant) dusk() {
	p.rest(time.Hour)
	p.g.dusk = true
	p.m.Yield = YieldSigns{Known: true, ClearKWhM2: 6, Days: 44}
}

// unheated is a night in which the loop has rested for so long, and the top has
// risen from 44 °C to 50 °C and the mean from 40 °C to 45 °C; no clamp tells of the
// heater.
func (p *signPlant) unheated(length time.Duration) {
	p.night(20, 50, 40)
	p.rest(length)
	p.lost(p.s.heaterCurrent)
	p.m.Heater.Rest = RestSigns{Known: true, LastC: 50, NowC: 50, NowMeanC: 45, LowC: 44, LowMeanC: 40}
}

// calm is a night after ten hours in which the top has stayed where it is.
func (p *signPlant) calm(topC float64) {
	p.unheated(10 * time.Hour)
	p.read(20, topC, topC-10)
	p.m.Heater.Rest = RestSigns{Known: true, LastC: topC, NowC: topC, NowMeanC: topC - 5, LowC: topC, LowMeanC: topC - 5, CalmFor: 10 * time.Hour, CalmFromC: topC, CalmLowC: topC}
}
