package control

import "time"

// FindingKind is one thing that can be wrong.
type FindingKind uint8

// The kinds of finding.
const (
	FoundHeaterRelayStuck FindingKind = iota // first of all
	FoundAllProbesSilent
	FoundProbeSilent
	FoundProbeOutOfRange
	FoundProbeJumps
	FoundProbeFrozen
	FoundProbeColderThanSky
	FoundTankTooHot
	FoundNearFreezing
	FoundFrostNotHelped
	FoundFrostBlind
	FoundStagnation
	FoundClockUnset
	FoundOutputFault
	FoundBusStuck
	FoundStateUnsaved
	FoundHygieneOverdue
	FoundServicing
	FoundProbeTrouble
	FoundHeaterFruitless
	FoundObserving
	FoundMemoryLost
	FoundHeatDumpFruitless
	FoundLoopDry
	FoundPressureTooHigh
	FoundTankPartEmpty
	FoundTapTooHot
	FoundTankNearFreezing
	FoundPumpMovesNoHeat
	FoundPumpNoCurrent
	FoundLoopAir
	FoundPumpWeak
	FoundPumpRelayStuck
	FoundHeaterNoCurrent
	FoundHeaterCutOut
	FoundHeaterGivesNothing
	FoundHeaterThermostatLow
	FoundHeaterSlow
	FoundHeaterNotAsDescribed
	FoundReverseCirculation
	FoundFlowMeterSilent
	FoundFlowMeterAtRest
	FoundProbeOutOfPocket
	FoundTankProbesSwapped
	FoundCollectorSwapped
	FoundCollectorDrifts
	FoundOutdoorWarm
	FoundTankTopStuck
	FoundProbeUnsteady
	FoundProbeNotGenuine
	FoundProbeStranger
	FoundPressureLow
	FoundPressureFalling
	FoundVesselCushionLost
	FoundCoilScaled
	FoundYieldPoor
	FoundCirculationAlways
	FoundCirculationCold
	FoundTapLukewarm
	FoundTankUnused
	FoundFrostRuns
	FoundClockWrong
	FoundClockJumps
	FoundSupplySags
	FoundBoardHot
	FoundStorageNearlyFull
	FoundStorageReadOnly
	FoundRestartsMany
	FoundRelayWorn
	numFindingKinds
)

type findingRow struct {
	key        string
	title      string
	likely     string // what it likely is
	check      string // what to check
	urgency    Urgency
	about      About
	raiseAfter time.Duration
	clearAfter time.Duration
}

// findingTable says what each kind means to a person, and how long its sign
// must be seen, or not be seen, before it is raised or cleared.
var findingTable = [numFindingKinds]findingRow{
	FoundAllProbesSilent: {
		key: "all_probes_silent", title: "No probe answers",
		likely:     "The probes' common cable or bus is cut, shorted or without supply.",
		check:      "Look at the plug and the supply of the probe cable at the controller first. Pump and heater stay off until a probe answers, but for short frost runs of a loop of water.",
		urgency:    AtOnce,
		raiseAfter: time.Minute, clearAfter: 10 * time.Second},
	FoundProbeSilent: {
		key: "probe_silent", title: "A probe gives no value",
		likely:  "Its cable is cut or unplugged, or the probe is broken.",
		check:   "Check its plug and cable, then exchange the probe. On the roof only with fall protection and a cold collector.",
		urgency: Soon, about: AboutProbe,
		raiseAfter: time.Minute, clearAfter: time.Minute},
	FoundProbeOutOfRange: {
		key: "probe_out_of_range", title: "A probe says what can't be",
		likely:  "The probe or its cable has a short or an open wire, or the probe is of another kind than the site file says.",
		check:   "Check plug and cable, and the probe's kind in the site file.",
		urgency: Soon, about: AboutProbe,
		raiseAfter: time.Minute, clearAfter: 10 * time.Minute},
	FoundProbeJumps: {
		key: "probe_jumps", title: "A probe jumps",
		likely:  "A loose plug, a damp joint, or noise from a neighbouring mains cable.",
		check:   "Check plug and joints; lay the probe cable away from mains cables.",
		urgency: Soon, about: AboutProbe,
		raiseAfter: 5 * time.Minute, clearAfter: time.Hour},
	FoundProbeFrozen: {
		key: "probe_frozen", title: "A probe no longer moves",
		likely:  "The probe or its reader repeats an old value.",
		check:   "Warm the probe in the hand and see whether it follows; exchange it if not. On the roof only with fall protection and a cold collector.",
		urgency: Soon, about: AboutProbe,
		raiseAfter: time.Minute, clearAfter: 10 * time.Minute},
	FoundProbeColderThanSky: {
		key: "probe_colder_than_sky", title: "The collector probe reads far too cold",
		likely:  "A short or damp in its cable, or the outdoor probe stands in the sun.",
		check:   "Compare both probes by hand in the shade; check the cable. It is not taken for frost.",
		urgency: Soon, about: AboutProbe,
		raiseAfter: 5 * time.Minute, clearAfter: 30 * time.Minute},
	FoundTankTooHot: {
		key: "tank_too_hot", title: "The tank is hotter than its limit allows",
		likely:     "The heater or the pump does not switch off, or a check valve lets hot fluid through. A loop of natural circulation can also bring more sun than is drawn; nothing can switch that off.",
		check:      "Warn everybody at the taps: scalding danger. Switch the heater off at its isolator and have the relays checked by a qualified person.",
		urgency:    AtOnce,
		raiseAfter: time.Minute, clearAfter: 10 * time.Minute},
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
	FoundStagnation: {
		key: "stagnation", title: "The collector is too hot to be pumped",
		likely:     "The tank is full, or the pump stood still in full sun. The collector is built to bear it.",
		check:      "Nothing to do if the tank is full. If it is not, see whether the pump runs. Do not open valves on the hot loop.",
		urgency:    Information,
		raiseAfter: 10 * time.Minute, clearAfter: 30 * time.Minute},
	FoundClockUnset: {
		key: "clock_unset", title: "The clock is not set",
		likely:     "The board has no battery clock, and no time server was reached since its start.",
		check:      "Check the network, or fit a battery clock. Until then heater windows are not kept; protections work as ever.",
		urgency:    Soon,
		raiseAfter: 5 * time.Minute, clearAfter: 5 * time.Second},
	FoundOutputFault: {
		key: "output_fault", title: "An output can't be switched",
		likely:  "Another program holds or drives its line, or the relay board is gone.",
		check:   "Read the detail. Stop the other program, or check the relay board's cable and supply. Do not rely on the output being off: use the isolator.",
		urgency: AtOnce, about: AboutOutput,
		raiseAfter: 3 * time.Second, clearAfter: time.Minute},
	FoundBusStuck: {
		key: "bus_stuck", title: "A probe bus hangs",
		likely:     "A read does not come back: a short on the bus, or its driver is stuck.",
		check:      "Unplug the probes one by one until the others answer; restart the board if none does.",
		urgency:    AtOnce,
		raiseAfter: 5 * time.Second, clearAfter: 30 * time.Second},
	FoundStateUnsaved: {
		key: "state_unsaved", title: "The controller's memory can't be saved",
		likely:     "The storage card is full, read-only or worn out.",
		check:      "Free space or exchange the card. The controller works on from memory; a restart would lose what was not saved.",
		urgency:    Soon,
		raiseAfter: 2 * time.Minute, clearAfter: 2 * time.Minute},
	FoundHygieneOverdue: {
		key: "hygiene_overdue", title: "The hygiene heat-up is not proven",
		likely:     "The heater could not hold the temperature, its probe gave no value, or no tempering valve is named in the site file.",
		check:      "See whether heater and tank top probe work. Until a heat-up is proven, let taps run hot before use, and avoid spray where people are old or ill. Follow your local code.",
		urgency:    Soon,
		raiseAfter: time.Hour, clearAfter: time.Minute},
	FoundServicing: {
		key: "servicing", title: "The service state is on",
		likely:     "Somebody works on the plant, or has forgotten to end the service state.",
		check:      "End the service state when the work is done. Nothing is heated, pumped or kept from freezing until then.",
		urgency:    Soon,
		raiseAfter: time.Second, clearAfter: time.Second},
	FoundObserving: {
		key: "observing", title: "Nothing is switched, only watched",
		likely:     "The site file says observe_only = true, as for the first days after fitting.",
		check:      "Compare what would be done with the plant. Then take observe_only out of the site file and start anew. Nothing is heated, pumped or kept from freezing until then.",
		urgency:    Soon,
		raiseAfter: time.Second, clearAfter: time.Second},
	FoundProbeTrouble: {
		key: "probe_trouble", title: "A probe fails again and again",
		likely:  "A loose plug, a damp joint, a bus that is too long, or noise from a neighbouring mains cable.",
		check:   "Check plug, joints and supply of the probe. On the roof only with fall protection and a cold collector.",
		urgency: Soon, about: AboutProbe,
		raiseAfter: time.Second, clearAfter: time.Minute},
	FoundHeaterFruitless: {
		key: "heater_fruitless", title: "The heater heats and the tank top does not show it",
		likely:     "The tank top probe hangs in the room and the tank may be very hot; or the element, its fuse or its cut-out is open.",
		check:      "Warn everybody at the taps: scalding danger. See that the probe sits in its pocket. Have the heater looked at by a qualified electrician.",
		urgency:    AtOnce,
		raiseAfter: time.Second, clearAfter: 10 * time.Minute},
	FoundMemoryLost: {
		key: "memory_lost", title: "The controller has lost its memory",
		likely:     "A power cut has spoilt the storage card, or the program failed on what it had saved.",
		check:      "Nothing at the plant. Overrides and a holiday are forgotten: ask for them again. Counters began at 0. Keep the files that were set aside in the state folder for whoever looks after the program; when it happens again, exchange the card.",
		urgency:    Soon,
		raiseAfter: time.Second, clearAfter: time.Minute},
	FoundHeatDumpFruitless: {
		key: "heat_dump_fruitless", title: "The tank gets hotter though its heat dump runs",
		likely:     "The heat dump's valve is stuck or its drive has no current, so that the heat went into the tank.",
		check:      "Have valve and drive looked at with the collectors covered or cold. Until then hot collectors are left to stagnate; one try is made a day. Do not open valves on the hot loop.",
		urgency:    Soon,
		raiseAfter: time.Second, clearAfter: 10 * time.Minute},
	FoundHeaterRelayStuck: {
		key: "heater_relay_stuck_on", title: "The backup heater does not switch off",
		likely:     "Its relay or contactor is welded, or somebody has bridged it.",
		check:      "Warn everybody at the taps: scalding danger. Switch the heater off at its isolator and leave it off. Have relay and contactor exchanged by a qualified electrician.",
		urgency:    AtOnce,
		raiseAfter: 3 * time.Minute, clearAfter: time.Second},
	FoundLoopDry: {
		key: "loop_dry", title: "The loop may have lost its fluid",
		likely:     "A leak, or a relief valve that stays open. The collector stands dry in the sun.",
		check:      "Do not fill cold fluid into a hot collector: steam. Cover the collector or wait for the evening, then find the leak and have the loop filled. The pump rests but for rare tries.",
		urgency:    AtOnce,
		raiseAfter: 3 * time.Minute, clearAfter: 30 * time.Minute},
	FoundPressureTooHigh: {
		key: "pressure_too_high", title: "The loop's pressure is as high as its relief valve allows",
		likely:     "The expansion vessel has lost its cushion, or the relief valve is stuck shut.",
		check:      "Keep away from the loop and do not work on it while it is hot. Let it cool, then have vessel and relief valve checked by a qualified person.",
		urgency:    AtOnce,
		raiseAfter: 3 * time.Minute, clearAfter: 30 * time.Minute},
	FoundTankPartEmpty: {
		key: "tank_part_empty", title: "The tank top heats faster than water can",
		likely:     "The tank may be part-empty and the heater's element bare: danger of fire.",
		check:      "Switch the heater off at its isolator. Open a hot tap and see that water comes without air before the heater is used again.",
		urgency:    AtOnce,
		raiseAfter: time.Minute, clearAfter: 12 * time.Hour},
	FoundTapTooHot: {
		key: "tap_too_hot", title: "The taps get scalding water",
		likely:     "The tempering valve is stuck, set too hot or missing.",
		check:      "Warn everybody at the taps: scalding danger. Have the tempering valve checked; lower the tank limit until then.",
		urgency:    AtOnce,
		raiseAfter: time.Minute, clearAfter: 10 * time.Minute},
	FoundTankNearFreezing: {
		key: "tank_near_freezing", title: "The tank is near freezing",
		likely:     "An unheated room in hard frost with nothing to heat the tank.",
		check:      "Heat the room or the tank, or have tank and pipes drained, with the heater's isolator off.",
		urgency:    AtOnce,
		raiseAfter: 5 * time.Minute, clearAfter: time.Hour},
	FoundPumpMovesNoHeat: {
		key: "pump_moves_no_heat", title: "The loop pump runs and no heat comes",
		likely:     "The pump is stuck, unplugged or its relay is open; or air, a closed valve or a stuck check valve stops the flow.",
		check:      "Do not open valves on a hot loop. Listen whether the pump turns, look at its plug and at the loop's pressure; when it is cold, open its shut-off valves and bleed the loop.",
		urgency:    Soon,
		raiseAfter: time.Second, clearAfter: 5 * time.Minute},
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
		raiseAfter: time.Second, clearAfter: 10 * time.Minute},
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
		raiseAfter: 3 * time.Minute, clearAfter: time.Hour},
	FoundHeaterNoCurrent: {
		key: "heater_without_current", title: "The backup heater takes no current",
		likely:     "Its fuse, residual-current device, contactor, cut-out or element is open.",
		check:      "Leave tripped devices alone until the cause is found: it may be an earth leak. Have it looked at by a qualified electrician.",
		urgency:    Soon,
		raiseAfter: 2 * time.Minute, clearAfter: 2 * time.Minute},
	FoundHeaterCutOut: {
		key: "heater_cut_out_tripped", title: "The heater's cut-out has likely tripped",
		likely:     "The tank had been near its limit, and since then the heater gives nothing.",
		check:      "Find out first why the tank was so hot. Only a qualified person resets the cut-out, with the mains off.",
		urgency:    Soon,
		raiseAfter: 3 * time.Minute, clearAfter: 10 * time.Minute},
	FoundHeaterGivesNothing: {
		key: "heater_gives_nothing", title: "The backup heater does not warm the tank",
		likely:     "Element, fuse, residual-current device, contactor or cut-out is open, or its own thermostat is set too low; or the tank top probe is out of its pocket.",
		check:      "Treat the taps as very hot until the probe is seen in its pocket. Have the heater looked at by a qualified electrician.",
		urgency:    Soon,
		raiseAfter: time.Minute, clearAfter: 10 * time.Minute},
	FoundHeaterThermostatLow: {
		key: "heater_thermostat_low", title: "The heater's own thermostat stops it early",
		likely:     "It is set below what the controller waits for.",
		check:      "Have a qualified electrician set the thermostat above the target, or lower heater_stop. A hygiene heat-up does not succeed until then.",
		urgency:    Soon,
		raiseAfter: 10 * time.Minute, clearAfter: 10 * time.Minute},
	FoundHeaterSlow: {
		key: "heater_slow", title: "The heater heats slower than it used to",
		likely:     "Lime on its element, or one of several elements is dead.",
		check:      "Have the element looked at, with the mains off, and the tank descaled.",
		urgency:    Information,
		raiseAfter: time.Second, clearAfter: time.Second},
	FoundHeaterNotAsDescribed: {
		key: "heater_not_as_described", title: "Tank or heater is not as the site file says",
		likely:     "Volume or power is entered wrong, or the tank top probe sits at another height.",
		check:      "Compare the site file with the plates on tank and heater.",
		urgency:    Information,
		raiseAfter: time.Second, clearAfter: time.Second},
	FoundReverseCirculation: {
		key: "reverse_circulation", title: "The loop flows backwards at night",
		likely:     "The check valve is stuck open or missing, so that the tank warms the roof; or the collector probe reads far too warm.",
		check:      "On a cold loop free or exchange the check valve, or have a heat trap fitted.",
		urgency:    Soon,
		raiseAfter: time.Hour, clearAfter: time.Hour},
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
	FoundProbeOutOfPocket: {
		key: "probe_out_of_pocket", title: "A probe may be out of its pocket",
		likely:  "It reads the air beside it.",
		check:   "Push it back into its pocket and fasten it. On the roof only with fall protection and a cold collector.",
		urgency: Soon, about: AboutProbe,
		raiseAfter: time.Second, clearAfter: time.Second},
	FoundTankProbesSwapped: {
		key: "tank_probes_swapped", title: "Top and bottom of the tank look swapped",
		likely:     "The two probes or their names in the site file are exchanged: hot water does not stay below cold.",
		check:      "Warm one probe by hand and see which reading moves; then exchange the names.",
		urgency:    Soon,
		raiseAfter: 3 * time.Hour, clearAfter: 30 * time.Minute},
	FoundCollectorSwapped: {
		key: "collector_probe_swapped", title: "Collector and tank probe look swapped",
		likely:     "What should be the tank bottom swings with the sun.",
		check:      "Warm one probe by hand and see which reading moves; then exchange the names. Treat the taps as very hot until then.",
		urgency:    Soon,
		raiseAfter: 10 * time.Minute, clearAfter: 3 * time.Hour},
	FoundCollectorDrifts: {
		key: "collector_probe_drifts", title: "The collector probe reads too warm at night",
		likely:     "It has drifted, has a wrong curve, or the outdoor probe reads too cold.",
		check:      "Compare both in ice water, or exchange the collector probe. Nothing is corrected by itself. On the roof only with fall protection and a cold collector.",
		urgency:    Information,
		raiseAfter: time.Second, clearAfter: time.Second},
	FoundOutdoorWarm: {
		key: "outdoor_probe_warm", title: "The outdoor probe reads too warm",
		likely:     "It hangs on a warm wall or in the sun; or the collector probe has drifted downwards.",
		check:      "Move it into the shade, away from walls and vents: frost protection looks at it.",
		urgency:    Soon,
		raiseAfter: time.Second, clearAfter: time.Second},
	FoundTankTopStuck: {
		key: "tank_top_stuck", title: "The tank top does not follow its tank",
		likely:     "The probe is stuck at a value or out of its pocket, so that heater and hygiene heat-up go wrong.",
		check:      "Warm the probe by hand and see whether it follows; exchange it if not.",
		urgency:    Soon,
		raiseAfter: time.Second, clearAfter: time.Second},
	FoundProbeUnsteady: {
		key: "probe_unsteady", title: "A probe is unsteady at rest",
		likely:  "A counterfeit or damaged probe, a poor supply, or noise from mains cables.",
		check:   "Check its supply and cable; compare it in ice water, and exchange it if it is off.",
		urgency: Information, about: AboutProbe,
		raiseAfter: time.Second, clearAfter: time.Second},
	FoundProbeNotGenuine: {
		key: "probe_not_genuine", title: "A probe's identity is not of its maker's pattern",
		likely:  "It is likely a counterfeit: off by some kelvin, or unsteady.",
		check:   "Compare it with the others in ice water before it is trusted.",
		urgency: Information, about: AboutProbe,
		raiseAfter: time.Second, clearAfter: time.Minute},
	FoundProbeStranger: {
		key: "probe_stranger", title: "A probe answers that no place has",
		likely:     "A probe was exchanged or added.",
		check:      "Write its identity into the site file if it belongs to a place; it is never taken by itself.",
		urgency:    Soon,
		raiseAfter: time.Minute, clearAfter: time.Minute},
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
		raiseAfter: time.Second, clearAfter: time.Second},
	FoundVesselCushionLost: {
		key: "vessel_cushion_lost", title: "The expansion vessel has lost its cushion",
		likely:     "Its gas has escaped or its membrane is torn: pressure swings, and fluid is lost on hot days.",
		check:      "Have its gas pressure checked on a cold loop without pressure.",
		urgency:    Soon,
		raiseAfter: time.Second, clearAfter: time.Second},
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
	FoundCirculationAlways: {
		key: "circulation_runs_always", title: "The hot-water circulation does not stop",
		likely:     "Its relay is stuck, or its pump has another switch or timer.",
		check:      "Switch it off at its isolator and have the relay checked.",
		urgency:    Soon,
		raiseAfter: 2 * time.Hour, clearAfter: time.Hour},
	FoundCirculationCold: {
		key: "circulation_return_cold", title: "The circulation line stays cold",
		likely:     "Its pump does not turn or is full of air, or a valve is shut.",
		check:      "Bleed the pump and see its valves. Let the taps run hot before use: a line that stands lukewarm is a danger to health.",
		urgency:    Soon,
		raiseAfter: 30 * time.Minute, clearAfter: 5 * time.Minute},
	FoundTapLukewarm: {
		key: "tap_lukewarm", title: "The taps stay lukewarm on a hot tank",
		likely:     "The tempering valve is stuck or set too cold.",
		check:      "Have the tempering valve checked. Do not take it out: it guards from scalding.",
		urgency:    Soon,
		raiseAfter: time.Second, clearAfter: time.Second},
	FoundTankUnused: {
		key: "tank_unused", title: "Nobody draws water and the tank is full",
		likely:     "Everybody is away, or the water does not reach the tank.",
		check:      "Ask for a holiday, or draw some water. If water was drawn, see whether cold water comes into the tank.",
		urgency:    Information,
		raiseAfter: time.Minute, clearAfter: 10 * time.Minute},
	FoundFrostRuns: {
		key: "frost_runs_add_up", title: "Frost protection takes much of the tank's heat",
		likely:     "A long cold spell on a loop of water.",
		check:      "Have the collectors drained or the loop filled with antifreeze; water is protected only as long as the tank is warm and the mains are on.",
		urgency:    Soon,
		raiseAfter: time.Minute, clearAfter: time.Hour},
	FoundClockWrong: {
		key: "clock_wrong", title: "The clock can't be right",
		likely:     "By the clock it is deep night, and the sun heats the collector. Or place or time zone are wrong in the site file.",
		check:      "Set the clock, or reach a time server; check the place in the site file.",
		urgency:    Soon,
		raiseAfter: 30 * time.Minute, clearAfter: 20 * time.Hour},
	FoundClockJumps: {
		key: "clock_jumps", title: "The clock jumps",
		likely:     "A time server that is wrong, or a battery clock that is worn.",
		check:      "Check the time server and the battery. Nothing is timed by the clock but windows and dates.",
		urgency:    Information,
		raiseAfter: time.Second, clearAfter: time.Hour},
	FoundSupplySags: {
		key: "supply_sags", title: "The board's supply sags",
		likely:     "A weak power supply or a thin cable: relays may drop and cards are spoilt.",
		check:      "Exchange the board's power supply and its cable.",
		urgency:    Soon,
		raiseAfter: time.Second, clearAfter: 24 * time.Hour},
	FoundBoardHot: {
		key: "board_hot", title: "The board is too hot",
		likely:     "A closed box, a hot plant room, or a place near the tank.",
		check:      "Give the box air, or move it away from the tank.",
		urgency:    Soon,
		raiseAfter: 5 * time.Minute, clearAfter: 30 * time.Minute},
	FoundStorageNearlyFull: {
		key: "storage_nearly_full", title: "The storage is nearly full",
		likely:     "Old files or logs of other programs.",
		check:      "Free some space. Control works on; history and memory may soon not be saved.",
		urgency:    Soon,
		raiseAfter: time.Minute, clearAfter: time.Minute},
	FoundStorageReadOnly: {
		key: "storage_read_only", title: "The storage can't be written to",
		likely:     "The card is worn or dying: the system has made it read-only.",
		check:      "Exchange the card by the spare one. Control works on from memory; the next start may fail.",
		urgency:    Soon,
		raiseAfter: time.Minute, clearAfter: 10 * time.Minute},
	FoundRestartsMany: {
		key: "restarts_many", title: "The program starts again and again",
		likely:     "Power that dips, a weak supply, or a fault of the program.",
		check:      "Check plug and power supply of the board; read the log.",
		urgency:    Soon,
		raiseAfter: time.Second, clearAfter: time.Hour},
	FoundRelayWorn: {
		key: "relay_worn", title: "A relay has switched more often than it is made for",
		likely:  "It has worked for many years, or it switches too often.",
		check:   "Have the relay exchanged before its contacts weld.",
		urgency: Information, about: AboutOutput,
		raiseAfter: time.Second, clearAfter: time.Hour},
}

// String is the kind as metrics and saved state name it.
func (k FindingKind) String() string {
	if k >= numFindingKinds {
		return "unknown"
	}
	return findingTable[k].key
}

// Title says in a few words what is wrong.
func (k FindingKind) Title() string { return findingTable[k].title }

// Likely says what it likely is.
func (k FindingKind) Likely() string { return findingTable[k].likely }

// Check says what to check and do.
func (k FindingKind) Check() string { return findingTable[k].check }

// Urgency says how soon somebody should act.
func (k FindingKind) Urgency() Urgency { return findingTable[k].urgency }

// FindingKinds lists every kind.
func FindingKinds() []FindingKind {
	kinds := make([]FindingKind, numFindingKinds)
	for i := range kinds {
		kinds[i] = FindingKind(i)
	}
	return kinds
}
