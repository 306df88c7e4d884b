package control

import "time"

// findingsProbes says what each kind of probes means to a person.
var findingsProbes = findingRows{
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
	FoundProbeTrouble: {
		key: "probe_trouble", title: "A probe fails again and again",
		likely:  "A loose plug, a damp joint, a bus that is too long, or noise from a neighbouring mains cable.",
		check:   "Check plug, joints and supply of the probe. On the roof only with fall protection and a cold collector.",
		urgency: Soon, about: AboutProbe,
		raiseAfter: time.Second, clearAfter: time.Minute},
	FoundBusStuck: {
		key: "bus_stuck", title: "A probe bus hangs",
		likely:     "A read does not come back: a short on the bus, or its driver is stuck.",
		check:      "Unplug the probes one by one until the others answer; restart the board if none does.",
		urgency:    AtOnce,
		raiseAfter: time.Second, clearAfter: 30 * time.Second},
	FoundProbeOutOfPocket: {
		key: "probe_out_of_pocket", title: "A probe may be out of its pocket",
		likely:  "It reads the air beside it.",
		check:   "Push it back into its pocket and fasten it. On the roof only with fall protection and a cold collector.",
		urgency: Soon, about: AboutProbe,
		raiseAfter: time.Second, clearAfter: time.Second, word: true},
	FoundTankProbesSwapped: {
		key: "tank_probes_swapped", title: "Top and bottom of the tank look swapped",
		likely:     "The two probes or their names in the site file are exchanged: hot water does not stay below cold.",
		check:      "Warm one probe by hand and see which reading moves; then exchange the names.",
		urgency:    Soon,
		raiseAfter: 3 * time.Hour, clearAfter: 30 * time.Minute, word: true},
	FoundCollectorSwapped: {
		key: "collector_probe_swapped", title: "Collector and tank probe look swapped",
		likely:     "What should be the tank bottom swings with the sun.",
		check:      "Warm one probe by hand and see which reading moves; then exchange the names. Treat the taps as very hot until then.",
		urgency:    Soon,
		raiseAfter: 10 * time.Minute, clearAfter: 3 * time.Hour, word: true},
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
		raiseAfter: time.Second, clearAfter: time.Second, word: true},
	FoundProbeUnsteady: {
		key: "probe_unsteady", title: "A probe is unsteady",
		likely:  "A counterfeit or damaged probe, a poor supply, or noise from mains cables.",
		check:   "Check its supply and cable; compare it in ice water, and exchange it if it is off.",
		urgency: Information, about: AboutProbe,
		raiseAfter: time.Second, clearAfter: time.Second},
	FoundProbePowersUp: {
		key: "probe_powers_up", title: "A probe starts anew again and again",
		likely:  "Its supply fails for moments: a loose plug, a cable that is too long or thin, or a weak power supply.",
		check:   "Check plug, joints and supply of the probe cable; exchange the probe if it goes on. On the roof only with fall protection and a cold collector.",
		urgency: Soon, about: AboutProbe,
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
}
