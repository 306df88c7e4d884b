package campaign

import "time"

var givesNothing = []string{"heater_fruitless", "heater_gives_nothing", "heater_without_current", "heater_cut_out_tripped", "hygiene_overdue"}

const relayProof = "a thermostat in series, a cut-out with manual reset that breaks the mains, the tank's relief valve, a tempering valve"

var heaterFailures = []Failure{
	{Part: "heater element", Fails: "it is open",
		Dangers: []Danger{ColdTaps, Legionella}, Severity: PlantDestroyed, Sight: Compared,
		Switches: []Switch{{Kind: "heater element open"}},
		Tells:    givesNothing},
	{Part: "heater element", Fails: "it leaks to earth",
		Dangers: []Danger{Shock}, Severity: PeopleHurt, Sight: Unseen,
		Switches: []Switch{{Kind: "heater earth leak"}},
		Tells:    givesNothing, Fit: "a residual-current device, earthing, a breaker"},
	{Part: "heater element", Fails: "it is scaled",
		Dangers: []Danger{Waste}, Severity: EnergyLost, Sight: Compared, Slow: true, ByTime: true,
		Switches: []Switch{{Kind: "heater element scaled", Lasts: 4 * day}},
		Tells:    []string{"heater_slow", "heater_not_as_described"}},
	{Part: "heater element", Fails: "it has current and no water around it",
		Dangers: []Danger{DryElement, Shock}, Severity: PeopleHurt, Sight: Unseen,
		Switches: []Switch{{Kind: "heater element without water"}, {Kind: "store leaks", Needs: Store, Amount: amount(300)}},
		Tells:    append([]string{"tank_part_empty"}, givesNothing...), Fit: "a cut-out with manual reset; water before power; an isolator with a label"},
	{Part: "heater contactor", Fails: "it is welded",
		Dangers: []Danger{Scalding, Bursting}, Severity: PeopleHurt, Sight: Compared,
		Switches: []Switch{{Kind: "heater relay welded"},
			{Kind: "heater relay welded", With: []Switch{{Kind: "heater thermostat welded"}}}},
		Tells: []string{"tank_too_hot", "heater_relay_stuck_on"}, Fit: relayProof, Covers: []Hardware{Thermostat, CutOut, TemperingValve, TankRelief}},
	{Part: "heater contactor", Fails: "it does not close",
		Dangers: []Danger{ColdTaps}, Severity: ComfortLost, Sight: Compared,
		Switches: []Switch{{Kind: "heater contactor does not close"}},
		Tells:    givesNothing},
	{Part: "heater cut-out", Fails: "it has tripped, as it should",
		Dangers: []Danger{ColdTaps}, Severity: ComfortLost, Sight: Compared,
		Switches: []Switch{{Kind: "heater cut-out tripped"}},
		Tells:    givesNothing, Fit: "it is the independent part: a qualified person finds the cause before it is reset"},
	{Part: "heater cut-out", Fails: "it is bridged, absent or does not open",
		Dangers: []Danger{Scalding, Bursting, Shock}, Severity: PeopleHurt, Sight: Unseen,
		Switches: []Switch{{Kind: "heater cut-out bridged"},
			{Kind: "heater cut-out bridged", With: []Switch{{Kind: "heater relay welded"}, {Kind: "heater thermostat welded"}}}},
		Tells: []string{"tank_too_hot", "heater_relay_stuck_on"}, Fit: "the cut-out found and its date of test written down at the hand-over; the tank's relief valve is the last barrier, so it is looked at every year", Covers: []Hardware{TankRelief, TemperingValve}},
	{Part: "heater thermostat", Fails: "it is set below what the program waits for",
		Dangers: []Danger{ColdTaps, Legionella, Waste}, Severity: ComfortLost, Sight: Compared, Slow: true,
		Switches: []Switch{{Kind: "heater thermostat set low"}},
		Tells:    append([]string{"heater_thermostat_low"}, givesNothing...)},
	// The program stops the heater well below where its thermostat opens, so that
	// nothing shows while the program is well: a barrier is gone, and only a person who
	// tries it finds that.
	{Part: "heater thermostat", Fails: "it never opens, or is set above the cut-out",
		Dangers: []Danger{Scalding}, Severity: PeopleHurt, Sight: Unseen,
		Switches: []Switch{{Kind: "heater thermostat welded"}, {Kind: "heater thermostat set high"}},
		Fit:      "the thermostat's setting read and its opening tried at the hand-over and every year: heard to open when it is turned down on a warm tank; a cut-out, and a tempering valve behind it", Covers: []Hardware{CutOut}},
}

var hotWaterFailures = []Failure{
	{Part: "circulation pump", Fails: "it runs always",
		Dangers: []Danger{Waste}, Severity: EnergyLost, Sight: Compared,
		Switches: []Switch{{Kind: "circulation pump runs always", Needs: Circulation}},
		Tells:    []string{"circulation_runs_always"}, Fit: "an isolator or a timer"},
	{Part: "circulation pump", Fails: "it never runs, or air blocks it",
		Dangers: []Danger{ColdTaps, Legionella}, Severity: ComfortLost, Sight: Compared,
		Switches: []Switch{{Kind: "circulation pump never runs", Needs: Circulation}},
		Tells:    []string{"circulation_return_cold"}, Fit: "a probe in the return: without it the program sees nothing; listened to at the hand-over"},
	{Part: "circulation line", Fails: "it stays below the hygiene temperature for long",
		Dangers: []Danger{Legionella}, Severity: PeopleHurt, Sight: Unseen,
		Elsewhere: "A dead pump is tried above. That a branch which no pump serves stays cool nothing can read, so the program claims nothing of it.",
		Tests:     []string{"sim/plant.TestRestingLineCools"},
		Fit:       "a line built by the local code, without branches that stand; a probe in the return"},
	{Part: "tempering valve", Fails: "it is stuck hot or missing",
		Dangers: []Danger{Scalding}, Severity: PeopleHurt, Sight: Unseen,
		Switches: []Switch{{Kind: "tempering valve stuck hot"}},
		Tells:    []string{"tap_too_hot"}, Fit: "the valve itself, measured at the tap every year (EN 15092, EN 1111: from memory)"},
	{Part: "tempering valve", Fails: "it is stuck cold",
		Dangers: []Danger{ColdTaps}, Severity: ComfortLost, Sight: Unseen,
		Switches: []Switch{{Kind: "tempering valve stuck cold"}},
		Tells:    []string{"tap_lukewarm"}, Fit: "the words for the telephone: tank hot, tap cold, so it is the valve"},
	{Part: "drinking-water coil of a store", Fails: "it is scaled",
		Dangers: []Danger{ColdTaps}, Severity: ComfortLost, Sight: Unseen,
		Switches: []Switch{{Kind: "drinking-water coil scaled", Needs: Store, Amount: amount(0.8), Lasts: 4 * day}},
		Tells:    []string{"tap_lukewarm"}, Fit: "the words for the telephone: store hot, taps cold, so it is the coil; descaled as the water asks for"},
}

var tankFailures = []Failure{
	{Part: "tank relief valve", Fails: "it is stuck shut, or its outlet is blocked",
		Dangers: []Danger{Bursting}, Severity: PeopleHurt, Sight: Unseen,
		Switches: []Switch{{Kind: "tank relief valve blocked", Needs: DrinkTank},
			{Kind: "tank relief valve blocked", Needs: DrinkTank, With: []Switch{{Kind: "heater relay welded"}, {Kind: "heater thermostat welded"}}}},
		Tells: []string{"tank_too_hot", "heater_relay_stuck_on"}, Fit: "a temperature and pressure relief valve with a free outlet (EN 1490, EN 1488: from memory), lifted every year", Covers: []Hardware{CutOut}},
	{Part: "tank", Fails: "it is hot after days in which nobody drew water",
		Dangers: []Danger{Scalding, Bursting}, Severity: PlantDestroyed, Sight: AtOneLook,
		Switches: []Switch{{Kind: "nobody at home", Lasts: 4 * day}},
		Tells:    []string{"tank_unused", "stagnation"}, Fit: "a loop that bears stagnation, a tempering valve", Covers: []Hardware{TemperingValve, LoopRelief}},
	{Part: "tank", Fails: "the cold water is shut off and the tank may be half empty",
		Dangers: []Danger{DryElement}, Severity: PeopleHurt, Sight: Unseen,
		Switches: []Switch{{Kind: "tank inlet stopped", With: []Switch{{Kind: "heater element without water"}}}, {Kind: "tank inlet stopped"}},
		Tells:    append([]string{"tank_part_empty", "tank_unused"}, givesNothing...), Fit: "a cut-out, and a tank that keeps water around its element"},
}

var powerFailures = []Failure{
	{Part: "mains power", Fails: "it is cut",
		Dangers: []Danger{Bursting, ColdTaps}, Severity: PlantDestroyed, Sight: AtOneLook,
		Switches: []Switch{{Kind: "mains power cut", Lasts: 30 * time.Hour}},
		Tells:    []string{"was_away", "restarts_many"}, Tests: []string{"control.TestRestartedControllerRestsAndSettlesFirst"}, Fit: "a loop that bears stagnation and frost by itself", Covers: []Hardware{LoopRelief, AntifreezeInLoop}},
	{Part: "mains power", Fails: "short dips",
		Dangers: []Danger{Blindness}, Severity: ComfortLost, Sight: AtOneLook,
		Switches: []Switch{{Kind: "mains power dips"}},
		Tells:    []string{"restarts_many", "supply_sags"}, Fit: "a sound supply, a small battery"},
}
