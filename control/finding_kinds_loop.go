package control

import "time"

// findingsLoop says what each kind of the loop, its pump and the sun's heat means to a person.
var findingsLoop = findingRows{
	FoundNearFreezing: {
		key: "near_freezing", title: "The loop's fluid is near its freezing point",
		likely:     "The weather is colder than the antifreeze was mixed for.",
		check:      "Have the strength of the antifreeze measured; drain a loop of plain water. Do not run the pump by hand against thick or frozen fluid.",
		urgency:    AtOnce,
		raiseAfter: 5 * time.Minute, clearAfter: time.Hour},
	FoundFrostNotHelped: {
		key: "frost_not_helped", title: "Frost protection does not help",
		likely:     "The pump does not turn, air or ice blocks the loop, or the cold is too great.",
		check:      "Listen whether the pump runs. Drain the collectors if that is safe to do; antifreeze is the lasting protection.",
		urgency:    AtOnce,
		raiseAfter: time.Minute, clearAfter: 30 * time.Minute},
	FoundFrostBlind: {
		key: "frost_blind", title: "Frost can't be seen",
		likely:     "The collector probe and the outdoor probe have failed, or one of them is wrong by far.",
		check:      "Repair one of them before the next cold night. Until then the pump makes short runs to be sure.",
		urgency:    AtOnce,
		raiseAfter: time.Minute, clearAfter: 10 * time.Minute},
	FoundFrostRuns: {
		key: "frost_runs_add_up", title: "Frost protection takes much of the tank's heat",
		likely:     "A long cold spell on a loop of water.",
		check:      "Have the collectors drained or the loop filled with antifreeze; water is protected only as long as the tank is warm and the mains are on.",
		urgency:    Soon,
		raiseAfter: time.Minute, clearAfter: time.Hour},
	FoundStagnation: {
		key: "stagnation", title: "The collector is too hot to be pumped",
		likely:     "The tank is full, or the pump stood still in full sun. The collector is built to bear it.",
		check:      "Nothing to do if the tank is full. If it is not, see whether the pump runs. Do not open valves on the hot loop.",
		urgency:    Information,
		raiseAfter: 10 * time.Minute, clearAfter: 30 * time.Minute},
	FoundHeatDumpFruitless: {
		key: "heat_dump_fruitless", title: "The tank gets hotter though its heat dump runs",
		likely:     "The heat dump's valve is stuck or its drive has no current, so that the heat went into the tank.",
		check:      "Have valve and drive looked at with the collectors covered or cold. Until then hot collectors are left to stagnate; one try is made a day. Do not open valves on the hot loop.",
		urgency:    Soon,
		raiseAfter: time.Second, clearAfter: 10 * time.Minute, word: true},
	FoundLoopDry: {
		key: "loop_dry", title: "The loop may have lost its fluid",
		likely:     "A leak, or a relief valve that stays open. The collector stands dry in the sun.",
		check:      "Do not fill cold fluid into a hot collector: steam. Cover the collector or wait for the evening, then find the leak and have the loop filled. The pump rests but for rare tries.",
		urgency:    AtOnce,
		raiseAfter: 3 * time.Minute, clearAfter: 30 * time.Minute, word: true},
	FoundPressureTooHigh: {
		key: "pressure_too_high", title: "The loop's pressure is as high as its relief valve allows",
		likely:     "The expansion vessel has lost its cushion, or the relief valve is stuck shut.",
		check:      "Keep away from the loop and do not work on it while it is hot. Let it cool, then have vessel and relief valve checked by a qualified person.",
		urgency:    AtOnce,
		raiseAfter: 3 * time.Minute, clearAfter: 30 * time.Minute},
	FoundPressureLow: {
		key: "pressure_low", title: "The loop's pressure is low",
		likely:     "Fluid was lost, or the expansion vessel has lost its cushion.",
		check:      "When the loop is cold, look for wet spots and fill up with the right mixture. Have its frost strength measured after that.",
		urgency:    Soon,
		raiseAfter: 10 * time.Minute, clearAfter: time.Hour},
	FoundPressureFalling: {
		key: "pressure_falling", title: "The loop's pressure falls",
		likely:     "A slow leak, or a relief valve that weeps.",
		check:      "Look at the relief valve's drain and for wet spots; do not tighten anything on a hot loop.",
		urgency:    Soon,
		raiseAfter: time.Second, clearAfter: time.Second, word: true},
	FoundVesselCushionLost: {
		key: "vessel_cushion_lost", title: "The expansion vessel has lost its cushion",
		likely:     "Its gas has escaped or its membrane is torn: pressure swings, and fluid is lost on hot days.",
		check:      "Have its gas pressure checked on a cold loop without pressure.",
		urgency:    Soon,
		raiseAfter: time.Second, clearAfter: time.Second, word: true},
	FoundPumpMovesNoHeat: {
		key: "pump_moves_no_heat", title: "The loop pump runs and no heat comes",
		likely:     "The pump is stuck, unplugged or its relay is open; or air, a closed valve or a stuck check valve stops the flow. If heat does come, the tank bottom probe hangs out of its pocket or the collector probe repeats an old value.",
		check:      "Do not open valves on a hot loop. Listen whether the pump turns, look at its plug and at the loop's pressure; when it is cold, open its shut-off valves and bleed the loop.",
		urgency:    Soon,
		raiseAfter: time.Second, clearAfter: 5 * time.Minute, word: true},
	FoundPumpNoCurrent: {
		key: "pump_without_current", title: "The loop pump takes no current",
		likely:     "It is unplugged or tripped, its relay does not close, or its motor is broken.",
		check:      "Switch the mains off before the terminal box is opened. Check plug, fuse and relay; then have the pump exchanged.",
		urgency:    Soon,
		raiseAfter: 2 * time.Minute, clearAfter: 2 * time.Minute},
	FoundLoopAir: {
		key: "loop_air", title: "There may be air in the loop",
		likely:     "The pump turns, and fluid comes in bursts or not at all: air, or too little pressure.",
		check:      "Do not bleed a hot loop: steam. When it is cold, look at the pressure, fill up with the right mixture and bleed it.",
		urgency:    Soon,
		raiseAfter: time.Second, clearAfter: 10 * time.Minute, word: true},
	FoundPumpWeak: {
		key: "pump_weak", title: "The loop flows weaker than it used to",
		likely:     "A worn pump, a half-blocked strainer, some air, or a scaled coil.",
		check:      "On a cold loop clean the strainer and bleed; see that the pump is at its usual speed.",
		urgency:    Information,
		raiseAfter: 2 * time.Hour, clearAfter: 2 * time.Hour},
	FoundPumpRelayStuck: {
		key: "pump_relay_stuck_on", title: "The loop pump does not stop",
		likely:     "Its relay is welded, or its switch stands on by hand; or the check valve lets the loop flow backwards. The tank's heat goes to the roof at night.",
		check:      "Switch the pump off at its isolator for the night, and on in the morning, until the relay is exchanged.",
		urgency:    Soon,
		raiseAfter: 3 * time.Minute, clearAfter: time.Hour, word: true},
	FoundReverseCirculation: {
		key: "reverse_circulation", title: "The loop flows backwards at night",
		likely:     "The check valve is stuck open or missing, or the pump does not stop, so that the tank warms the roof; or the collector probe reads far too warm.",
		check:      "Listen whether the pump runs. If it rests, have the check valve freed or exchanged on a cold loop, or a heat trap fitted.",
		urgency:    Soon,
		raiseAfter: time.Hour, clearAfter: time.Hour, word: true},
	FoundSunInTheDark: {
		key: "sun_in_the_dark", title: "By its probes the loop gains heat in the dark",
		likely:     "The collector probe reads too warm or is disturbed, the tank bottom probe reads too cold or hangs out of its pocket, or the clock is wrong. The pump carries the tank's heat to the roof.",
		check:      "See that the tank bottom probe sits in its pocket. Then compare the collector probe with the air on a night after hours of rest: it should be as cold, or colder. On the roof only with fall protection and a cold collector.",
		urgency:    Soon,
		raiseAfter: time.Second, clearAfter: time.Hour},
	FoundLoopStandsStill: {
		key: "loop_stands_still", title: "The sun heats the collector and nothing flows by itself",
		likely:     "Air in the loop, or fluid lost through a leak, a relief valve that weeps or a flat expansion vessel; or a closed valve.",
		check:      "Do not open anything on the hot loop: steam. When it is cold, look at its level or pressure, for wet spots and at the relief valve's outlet; have it filled with the right mixture and bled.",
		urgency:    Soon,
		raiseAfter: time.Second, clearAfter: 30 * time.Minute, word: true},
	FoundFlowMeterSilent: {
		key: "flow_meter_silent", title: "The flow meter is silent",
		likely:     "Heat comes from the loop, so that it does flow: the meter or its cable is broken.",
		check:      "Check plug and cable of the meter. Heat is counted too low until then.",
		urgency:    Soon,
		raiseAfter: 30 * time.Minute, clearAfter: 5 * time.Minute},
	FoundFlowMeterAtRest: {
		key: "flow_meter_at_rest", title: "The flow meter counts with the pump at rest",
		likely:     "Noise on its cable, or the loop flows by itself.",
		check:      "Lay its cable away from mains cables; see the check valve.",
		urgency:    Information,
		raiseAfter: 30 * time.Minute, clearAfter: time.Hour},
	FoundCoilScaled: {
		key: "coil_scaled", title: "The coil gives less heat than it used to",
		likely:     "Lime on the coil, or sludge in it.",
		check:      "Have the tank descaled and the fluid checked.",
		urgency:    Information,
		raiseAfter: 2 * time.Hour, clearAfter: 2 * time.Hour},
	FoundYieldPoor: {
		key: "yield_poor", title: "The sun gives less than on good days before",
		likely:     "Dirt, shade or snow on the collector, a weak pump, a probe that misleads.",
		check:      "Look at the collector from the ground: shade, snow, dirt, fogged glass. Then see the pump.",
		urgency:    Information,
		raiseAfter: time.Second, clearAfter: time.Second},
}
