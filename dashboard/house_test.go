package dashboard

import (
	"time"

	"sunstoker/control"
	"sunstoker/station/tick"
)

// The houses of the tests are invented.

func settings() control.Settings { return control.DefaultSettings() }

func says(w control.Words, values ...float64) (r control.Reason) {
	r.Words = w
	copy(r.Values[:], values)
	return r
}

func good(value float64, age time.Duration) tick.Reading {
	return tick.Reading{Judged: control.Judged{Value: value, Age: age, Quality: control.Good}, Kind: "one-wire"}
}

func zone() *time.Location { return time.FixedZone("Europe/Rome", 3600) }

// sunnyTick is one system at noon in late winter: the sun heats, all is well.
func sunnyTick() *tick.Tick {
	plan := &control.Plan{
		Zone: zone(), LatitudeDeg: 41.9, LongitudeDeg: 12.5, Settings: settings(),
		Systems: []control.System{{Name: "roof", Loop: control.Pumped, Settings: settings(), FreezingPointC: -22, HeaterW: 2000}},
		Probes: []control.Probe{
			{System: 0, Place: control.Collector}, {System: 0, Place: control.TankTop},
			{System: 0, Place: control.TankBottom}, {System: control.House, Place: control.OutdoorAir},
		},
		Outputs: []control.Output{{System: 0, Actuator: control.LoopPump}, {System: 0, Actuator: control.BackupHeater}},
	}
	gains := says(control.SaysLoopGains, 61.3, 24.9)
	windows := says(control.SaysHeaterOutsideWindows, 47.8)
	nobody := control.Vote{Rank: control.Upkeep, Reason: says(control.SaysNobodyAsks)}
	return &tick.Tick{
		House:  &tick.House{Name: "House on the hill", Plan: plan, Version: "0.1.0"},
		Number: 14893, At: 14892 * time.Second, Service: 2_614_892 * time.Second,
		Wall: control.Wall{Time: time.Date(2026, 2, 19, 11, 42, 7, 0, time.UTC), Trusted: true},
		Late: 180 * time.Microsecond, Took: 1400 * time.Microsecond,
		Readings: []tick.Reading{
			good(61.3, 800*time.Millisecond), good(47.8, 900*time.Millisecond),
			good(36.4, 1100*time.Millisecond), good(6.2, 1200*time.Millisecond),
		},
		Outputs: []tick.Output{
			{Decision: control.Decision{Level: 1, Rank: control.Comfort, Reason: gains,
				Votes: []control.Vote{nobody, {Level: 1, Rank: control.Comfort, Reason: gains}}},
				Driven: 1, Switchings: 412, On: 388 * time.Hour},
			{Decision: control.Decision{Rank: control.Comfort, Reason: windows,
				Votes: []control.Vote{nobody, {Rank: control.Comfort, Reason: windows}}},
				Switchings: 96, On: 41 * time.Hour},
		},
		Systems: []tick.System{{
			Energy:     control.Energy{SunJ: 7.2e9, MeterJ: 1.8e9, DrawnJ: 7.9e9, TankLossJ: 1e9, PumpJ: 3.5e7},
			CountsHeat: true, HotLitres: 84.5, HygieneSince: 5 * 24 * time.Hour,
			Outlook: &control.Outlook{LearnedDays: 34, Decides: true, SunKWh: 4.5, ToldShare: 0.25, SunLow: 0.5, SunSpan: 12 * time.Hour, WantedKWh: 6, WantSpan: 18 * time.Hour, Starts: true, StartIn: 2 * time.Hour},
		}},
		Findings: []control.Finding{},
	}
}

// troubleTick is two systems with about everything that can be wrong at once.
func troubleTick() *tick.Tick {
	plan := &control.Plan{
		Zone: zone(), LatitudeDeg: 41.9, LongitudeDeg: 12.5, Settings: settings(),
		Systems: []control.System{
			{Name: "roof", Loop: control.Pumped, Settings: settings(), FreezingPointC: -22, HeaterW: 2000},
			{Name: "guest house", Loop: control.Natural, Settings: settings(), WaterFilled: true, LoopFluidStore: true, HeaterW: 1500},
		},
		Probes: []control.Probe{
			{System: 0, Place: control.Collector}, {System: 0, Place: control.TankTop}, {System: 0, Place: control.TankBottom},
			{System: 1, Place: control.Collector}, {System: 1, Place: control.TankTop},
			{System: control.House, Place: control.OutdoorAir},
		},
		Outputs: []control.Output{
			{System: 0, Actuator: control.LoopPump, LeastLevel: 0.3}, {System: 0, Actuator: control.BackupHeater},
			{System: 1, Actuator: control.BackupHeater},
		},
	}
	stale := says(control.SaysTooOld, 192)
	jumped := says(control.SaysJumped, 58.1, 85)
	blind := says(control.SaysLoopNoCollector)
	hand := says(control.SaysOverride, 1740)
	rest := says(control.SaysMinimumRest, 34)
	cold := says(control.SaysHeaterCold, 31.2, 45)
	boost := says(control.SaysBoost, 31.2, 60, 3600)
	hygiene := says(control.SaysHygiene, 31.2, 60, 1800)
	locked := says(control.SaysHeaterLocked, 5400)
	return &tick.Tick{
		House:  &tick.House{Name: "House on the hill", Plan: plan, Version: "0.1.0"},
		Number: 15201, At: 15200 * time.Second, Service: 2_615_200 * time.Second,
		Wall: control.Wall{Time: time.Date(2026, 2, 19, 17, 47, 15, 0, time.UTC)},
		Late: 2 * time.Millisecond, Took: 5 * time.Millisecond,
		Servicing: true, HolidayLeft: 13*24*time.Hour + 5*time.Hour,
		ForecastTrouble: `line 2: "bright" is no light of 0 to 1500 W/m²`,
		Readings: []tick.Reading{
			{Judged: control.Judged{Quality: control.Missing, Why: says(control.SaysNoAnswer), Fault: "the sensor answered nothing"}, Kind: "one-wire"},
			{Judged: control.Judged{Value: 63.5, Age: 28 * time.Second, Quality: control.Good, HeldOver: true, Fault: "the checksum does not fit"}, Kind: "one-wire"},
			{Judged: control.Judged{Value: 85, Age: time.Second, Quality: control.Suspect, Why: jumped}, Kind: "one-wire", Raw: "50 05 4b 46 7f ff 0c 10 1c"},
			{Judged: control.Judged{Value: 28.4, Age: 192 * time.Second, Quality: control.Missing, Why: stale}, Kind: "one-wire"},
			good(31.2, 800*time.Millisecond),
			good(-3.4, 1200*time.Millisecond),
		},
		Outputs: []tick.Output{
			{Decision: control.Decision{Urgent: true, Rank: control.Protect, Reason: blind,
				Votes: []control.Vote{{Rank: control.Upkeep, Reason: says(control.SaysNobodyAsks)}, {Rank: control.Protect, Reason: blind}}},
				Fault: "GPIO17 is held by another program", Switchings: 413, Refused: 3, On: 388 * time.Hour},
			{Decision: control.Decision{Level: 1, Rank: control.Person, Reason: hand,
				Votes: []control.Vote{{Level: 1, Rank: control.Person, Reason: hand}}},
				Driven: 1, Switchings: 97, On: 41 * time.Hour,
				Override: control.OverrideState{System: "roof", Actuator: "backup_heater", Level: 1, Left: 29 * time.Minute}},
			{Decision: control.Decision{Rank: control.Comfort, Reason: rest, Held: 34 * time.Second,
				Votes: []control.Vote{
					{Level: 1, Rank: control.Comfort, Reason: cold}, {Level: 1, Rank: control.Comfort, Reason: boost},
					{Level: 1, Rank: control.Hygiene, Reason: hygiene}, {Rank: control.Protect, Reason: locked},
				}},
				Switchings: 1, On: 20 * time.Minute},
		},
		Findings: []control.Finding{
			{Kind: control.FoundOutputFault, System: 0, About: control.AboutOutput, Actuator: control.LoopPump,
				Evidence: says(control.SawOutputFault), Detail: "GPIO17 is held by another program", For: 45 * time.Second},
			{Kind: control.FoundHeaterFruitless, System: 1, Evidence: says(control.SawHeaterLocked, 5400, 31.2), For: 10 * time.Minute},
			{Kind: control.FoundProbeSilent, System: 0, About: control.AboutProbe, Place: control.Collector,
				Evidence: says(control.SawProbeMissing, 192), Detail: "the sensor answered nothing", For: 132 * time.Second},
			{Kind: control.FoundServicing, System: control.House, Evidence: says(control.SawServicing, 1200), For: 20 * time.Minute},
			{Kind: control.FoundHygieneOverdue, System: 1, Evidence: says(control.SawHygieneOverdue, 864000, 604800), For: 3 * 24 * time.Hour},
			{Kind: control.FoundClockUnset, System: control.House, Evidence: says(control.SawClockUnset, 15200), For: 4 * time.Hour},
			{Kind: control.FoundStagnation, System: 0, Evidence: says(control.SawStagnation, 141, 1900), For: 32 * time.Minute},
		},
	}
}
