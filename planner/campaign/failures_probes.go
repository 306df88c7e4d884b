package campaign

import "time"

const day = 24 * time.Hour

// noProbe are the findings about a probe that gives no reading or an
// impossible one.
var noProbe = []string{"probe_silent", "probe_out_of_range", "probe_trouble", "probe_jumps"}

const coldestNight = "antifreeze for the coldest night of the place; the probe in the shade, away from walls and vents"

const stagnationProof = "a relief valve, an expansion vessel sized for a loop that stands still in full sun, and antifreeze strong enough for the place"

var collectorProbeFailures = []Failure{
	{Part: "collector probe", Fails: "its wire is open",
		Dangers: []Danger{Bursting, Waste}, Severity: PlantDestroyed, Sight: AtOneLook,
		Switches: []Switch{{Kind: "probe wire open", Place: "collector"}, {Kind: "probe missing", Place: "collector"}},
		Tells:    noProbe, Fit: stagnationProof},
	{Part: "collector probe", Fails: "it is shorted",
		Dangers: []Danger{Freezing, Waste}, Severity: ComfortLost, Sight: AtOneLook,
		Switches: []Switch{{Kind: "probe wire shorted", Place: "collector"}, {Kind: "probe frozen", Place: "collector", Amount: amount(-45)}},
		Tells:    append([]string{"probe_colder_than_sky"}, noProbe...), Fit: stagnationProof},
	{Part: "collector probe", Fails: "it is stuck at a likely value",
		Dangers: []Danger{Bursting, Waste}, Severity: PlantDestroyed, Sight: Compared,
		Switches: []Switch{{Kind: "probe frozen", Place: "collector"}, {Kind: "probe frozen", Place: "collector", Amount: amount(70)}},
		Tells:    []string{"probe_frozen"}, Fit: stagnationProof},
	{Part: "collector probe", Fails: "it drifts, or has the wrong curve",
		Dangers: []Danger{Waste}, Severity: EnergyLost, Sight: Compared,
		Switches: []Switch{{Kind: "probe off by", Place: "collector", Amount: amount(8)}, {Kind: "probe drifts", Place: "collector", Amount: amount(2), Lasts: 5 * day}},
		Tells:    []string{"collector_probe_drifts", "sun_in_the_dark"}},
	{Part: "collector probe", Fails: "it has slipped out of its pocket and reads the air",
		Dangers: []Danger{Bursting, ColdTaps}, Severity: PlantDestroyed, Sight: Compared,
		Switches: []Switch{{Kind: "probe pulled out", Place: "collector", Lasts: 3 * day}},
		Tells:    []string{"probe_out_of_pocket"}, Fit: stagnationProof},
	{Part: "collector probe", Fails: "noise, or surges on a long cable",
		Dangers: []Danger{Waste}, Severity: ComfortLost, Sight: AtOneLook,
		Switches: []Switch{{Kind: "probe noisy", Place: "collector", Amount: amount(20)}, {Kind: "probe surges", Place: "collector"}},
		Tells:    append([]string{"probe_unsteady", "sun_in_the_dark"}, noProbe...), Fit: "a surge arrester for a cable to the roof"},
	{Part: "collector and tank probe", Fails: "they are swapped",
		Dangers: []Danger{Freezing, Bursting, Waste}, Severity: PlantDestroyed, Sight: Compared,
		Switches: []Switch{{Kind: "probes swapped", Place: "collector", Other: "tank_bottom"}},
		Tells:    append([]string{"collector_probe_swapped", "probe_colder_than_sky", "tank_too_hot"}, noProbe...), Fit: "a relief valve and an expansion vessel; at the hand-over each probe is warmed by hand"},
	{Part: "outdoor probe", Fails: "it is dead or stuck",
		Dangers: []Danger{Freezing}, Severity: PlantDestroyed, Sight: Compared,
		Switches: []Switch{{Kind: "probe missing", Place: "outdoor_air"}, {Kind: "probe frozen", Place: "outdoor_air", Amount: amount(15)}},
		Tells:    append([]string{"frost_blind", "probe_frozen"}, noProbe...), Fit: coldestNight, Covers: []Hardware{AntifreezeInLoop}},
	{Part: "outdoor probe", Fails: "it hangs on a warm wall",
		Dangers: []Danger{Freezing}, Severity: PlantDestroyed, Sight: Compared, Slow: true,
		Switches: []Switch{{Kind: "probe on a warm wall", Place: "outdoor_air"}},
		Tells:    []string{"outdoor_probe_warm", "probe_colder_than_sky"}, Fit: coldestNight, Covers: []Hardware{AntifreezeInLoop}},
	// At night, when frost comes, it reads right; by day a mild noon looks the same.
	{Part: "outdoor probe", Fails: "the sun shines on it",
		Dangers: []Danger{Freezing}, Severity: PlantDestroyed, Sight: Unseen,
		Switches: []Switch{{Kind: "probe in the sun", Place: "outdoor_air"}},
		Fit:      "the probe in the shade all day, on the side away from the noon sun; looked at by hand at the hand-over, at noon"},
}

var tankProbeFailures = []Failure{
	{Part: "tank bottom probe", Fails: "its wire is open or shorted",
		Dangers: []Danger{Bursting, Waste}, Severity: PlantDestroyed, Sight: AtOneLook,
		Switches: []Switch{{Kind: "probe wire open", Place: "tank_bottom"}, {Kind: "probe wire shorted", Place: "tank_bottom"}, {Kind: "probe missing", Place: "tank_bottom"}},
		Tells:    noProbe, Fit: "the tank's relief valve and the heater's cut-out", Covers: []Hardware{CutOut}},
	{Part: "tank bottom probe", Fails: "it is stuck low",
		Dangers: []Danger{Scalding, Bursting}, Severity: PeopleHurt, Sight: Compared,
		Switches: []Switch{{Kind: "probe frozen", Place: "tank_bottom", Amount: amount(25)}},
		Tells:    []string{"probe_frozen"}, Fit: "tempering valve, the tank's relief valve, the heater's cut-out", Covers: []Hardware{TemperingValve, TankRelief}},
	{Part: "tank bottom probe", Fails: "it has slipped out of its pocket and reads the room",
		Dangers: []Danger{Scalding, Waste}, Severity: PeopleHurt, Sight: Compared,
		Switches: []Switch{{Kind: "probe pulled out", Place: "tank_bottom", Lasts: 3 * day}},
		Tells:    []string{"sun_in_the_dark", "pump_moves_no_heat", "probe_out_of_pocket", "probe_frozen"}, Fit: "tempering valve, the tank's relief valve, the heater's cut-out", Covers: []Hardware{TemperingValve, TankRelief}},
	{Part: "tank top probe", Fails: "its wire is open or shorted",
		Dangers: []Danger{ColdTaps, DryElement, Scalding}, Severity: PeopleHurt, Sight: AtOneLook,
		Switches: []Switch{{Kind: "probe wire open", Place: "tank_top"}, {Kind: "probe wire shorted", Place: "tank_top"}, {Kind: "probe missing", Place: "tank_top"}},
		Tells:    noProbe, Fit: "the heater's own thermostat and a cut-out with manual reset"},
	{Part: "tank top probe", Fails: "it is stuck low, or reads the room",
		Dangers: []Danger{Scalding, Bursting}, Severity: PeopleHurt, Sight: Compared,
		Switches: []Switch{{Kind: "probe frozen", Place: "tank_top", Amount: amount(25)}, {Kind: "probe pulled out", Place: "tank_top", Lasts: 3 * day}},
		Tells:    []string{"heater_fruitless", "probe_frozen", "probe_out_of_pocket"}, Fit: "thermostat, cut-out, the tank's relief valve, tempering valve", Covers: []Hardware{Thermostat, CutOut, TemperingValve}},
	{Part: "tank top probe", Fails: "it is stuck high",
		Dangers: []Danger{ColdTaps, Legionella}, Severity: PlantDestroyed, Sight: Compared,
		Switches: []Switch{{Kind: "probe frozen", Place: "tank_top", Amount: amount(61), Lasts: 3 * day}},
		Tells:    []string{"tank_top_stuck", "probe_frozen", "hygiene_overdue"}},
	{Part: "tank top and tank bottom probe", Fails: "they are swapped",
		Dangers: []Danger{ColdTaps, Waste}, Severity: ComfortLost, Sight: Compared,
		Switches: []Switch{{Kind: "probes swapped", Place: "tank_top", Other: "tank_bottom"}},
		Tells:    []string{"tank_probes_swapped"}},
}

var anyProbeFailures = []Failure{
	{Part: "any probe on a bus", Fails: "its power-up value of 85 °C is given as a reading",
		Dangers: []Danger{Bursting, Scalding}, Severity: ComfortLost, Sight: AtOneLook,
		Switches: []Switch{{Kind: "probe gives its power-up value", Place: "tank_top"}, {Kind: "probe gives its power-up value", Place: "collector"}, {Kind: "probe shorted", Place: "tank_bottom"}},
		Tells:    append([]string{"probe_powers_up", "tank_too_hot", "probe_frozen", "sun_in_the_dark", "probe_unsteady"}, noProbe...), Tests: []string{"control.TestPowerOnValue", "sensors.TestPowerOnRecordIsJudgedByHistory"}},
	{Part: "any probe on a bus", Fails: "the bus is held low, and all bytes are zero",
		Dangers: []Danger{Freezing}, Severity: PlantDestroyed, Sight: AtOneLook,
		Switches: []Switch{{Kind: "probe reads all zeros", Place: "collector", With: []Switch{{Kind: "probe reads all zeros", Place: "outdoor_air"}}}},
		Tells:    append([]string{"all_probes_silent", "frost_blind"}, noProbe...), Tests: []string{"sensors.TestRecordRefused"}},
	{Part: "any probe on a bus", Fails: "it is a counterfeit chip",
		Dangers: []Danger{Waste}, Severity: EnergyLost, Sight: AtOneLook,
		Switches: []Switch{{Kind: "probe counterfeit", Place: "tank_top"}},
		Tells:    []string{"probe_not_genuine", "probe_unsteady"}, Tests: []string{"sensors.TestGenuinePattern"},
		Fit: "at the hand-over each probe is held into melting ice and into hot water"},
	{Part: "any probe on a bus", Fails: "it was exchanged for one with another identity",
		Dangers: []Danger{Blindness}, Severity: ComfortLost, Sight: AtOneLook,
		Switches: []Switch{{Kind: "probe replaced by a stranger", Place: "tank_bottom"}},
		Tells:    append([]string{"probe_stranger"}, noProbe...), Tests: []string{"sensors.TestStrangersAreListedNotUsed"}},
	{Part: "tank probe, or all probes", Fails: "they read too high by some kelvin, always by the same",
		Dangers: []Danger{Legionella, ColdTaps}, Severity: PeopleHurt, Sight: Unseen,
		Switches: []Switch{{Kind: "probe off by", Place: "tank_top", Amount: amount(12), Lasts: 3 * day}, {Kind: "probe bus shifted", Lasts: 3 * day}},
		Tells:    []string{"collector_probe_drifts"},
		Fit:      "each probe held into melting ice and into hot water beside a thermometer, at the hand-over and every year"},
	{Part: "bus of all probes", Fails: "it hangs, or its driver is stuck",
		Dangers: []Danger{Blindness}, Severity: PlantDestroyed, Sight: AtOneLook,
		Switches: []Switch{{Kind: "probe bus silent"}},
		Tells:    []string{"all_probes_silent", "bus_stuck"}, Tests: []string{"sensors.TestBlockedReadIsReportedAndSurvived"}, Fit: stagnationProof + "; the heater's own thermostat and cut-out"},
	{Part: "any analog probe", Fails: "self-heating, hum of the supply, or the wrong divider",
		Dangers: []Danger{Waste}, Severity: EnergyLost, Sight: Compared,
		Switches: []Switch{{Kind: "probe noisy", Place: "tank_bottom", Amount: amount(3)}, {Kind: "probe bus hums"}},
		Tells:    append([]string{"probe_unsteady"}, noProbe...)},
}

var meterFailures = []Failure{
	{Part: "flow meter", Fails: "it is stuck at zero",
		Dangers: []Danger{ColdTaps}, Severity: ComfortLost, Sight: Compared,
		Switches: []Switch{{Kind: "flow meter stuck at zero", Place: "loop_flow", Needs: Pump}},
		Tells:    []string{"flow_meter_silent"}},
	{Part: "flow meter", Fails: "it counts while the pump rests",
		Dangers: []Danger{Waste}, Severity: EnergyLost, Sight: Compared,
		Switches: []Switch{{Kind: "flow meter counts at rest", Place: "loop_flow", Needs: Pump}},
		Tells:    []string{"flow_meter_at_rest", "reverse_circulation"}, Fit: "a check valve, since the flow may be real"},
}
