package control

import "time"

// FindingKind is one thing that can be wrong.
type FindingKind uint8

// The kinds of finding.
const (
	FoundAllProbesSilent FindingKind = iota
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
