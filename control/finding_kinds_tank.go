package control

import "time"

// findingsTank says what each kind of the tank, its heater and the taps means to a person.
var findingsTank = findingRows{
	FoundTankTooHot: {
		key: "tank_too_hot", title: "The tank is hotter than its limit allows",
		likely:     "The heater or the pump does not switch off, or a check valve lets hot fluid through. A loop of natural circulation can also bring more sun than is drawn; nothing can switch that off.",
		check:      "Warn everybody at the taps: scalding danger. Switch the heater off at its isolator and have the relays checked by a qualified person.",
		urgency:    AtOnce,
		raiseAfter: time.Minute, clearAfter: 10 * time.Minute},
	FoundTankPartEmpty: {
		key: "tank_part_empty", title: "The tank top heats faster than water can",
		likely:     "The tank may be part-empty and the heater's element bare: danger of fire.",
		check:      "Switch the heater off at its isolator. Open a hot tap and see that water comes without air before the heater is used again.",
		urgency:    AtOnce,
		raiseAfter: time.Minute, clearAfter: 12 * time.Hour, word: true},
	FoundTankNearFreezing: {
		key: "tank_near_freezing", title: "The tank is near freezing",
		likely:     "An unheated room in hard frost with nothing to heat the tank.",
		check:      "Heat the room or the tank, or have tank and pipes drained, with the heater's isolator off.",
		urgency:    AtOnce,
		raiseAfter: 5 * time.Minute, clearAfter: time.Hour},
	FoundTankUnused: {
		key: "tank_unused", title: "Nobody draws water and the tank is full",
		likely:     "Everybody is away, or the water does not reach the tank.",
		check:      "Ask for a holiday, or draw some water. If water was drawn, see whether cold water comes into the tank.",
		urgency:    Information,
		raiseAfter: time.Minute, clearAfter: 10 * time.Minute},
	FoundHygieneOverdue: {
		key: "hygiene_overdue", title: "The hygiene heat-up is not proven",
		likely:     "The heater could not hold the temperature, its probe gave no value, or no tempering valve is named in the site file.",
		check:      "See whether heater and tank top probe work. Until a heat-up is proven, let taps run hot before use, and avoid spray where people are old or ill. Follow your local code.",
		urgency:    Soon,
		raiseAfter: time.Hour, clearAfter: time.Minute},
	FoundPipesOverdue: {
		key: "pipes_overdue", title: "The hygiene heat-up of the pipes is not proven",
		likely:     "The circulation's return did not get hot enough after the tank's heat-up: its pump does not run, pipes are not insulated, its flow is too small, or its return probe is loose.",
		check:      "See whether the return gets hot while the circulation runs, and that its probe sits on the pipe. Until it is proven let taps run hot before use, and avoid spray where people are old or ill. Follow your local code.",
		urgency:    Soon,
		raiseAfter: time.Hour, clearAfter: time.Minute},
	FoundHeaterFruitless: {
		key: "heater_fruitless", title: "The heater heats and the tank top does not show it",
		likely:     "The tank top probe hangs in the room and the tank may be very hot; or the element, its fuse or its cut-out is open.",
		check:      "Warn everybody at the taps: scalding danger. See that the probe sits in its pocket. Have the heater looked at by a qualified electrician.",
		urgency:    AtOnce,
		raiseAfter: time.Second, clearAfter: 10 * time.Minute, word: true},
	FoundHeaterRelayStuck: {
		key: "heater_relay_stuck_on", title: "The backup heater does not switch off",
		likely:     "Its relay or contactor is welded, or somebody has bridged it.",
		check:      "Warn everybody at the taps: scalding danger. Switch the heater off at its isolator and leave it off. Have relay and contactor exchanged by a qualified electrician.",
		urgency:    AtOnce,
		raiseAfter: 3 * time.Minute, clearAfter: time.Second, word: true},
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
		raiseAfter: 3 * time.Minute, clearAfter: 10 * time.Minute, word: true},
	FoundHeaterGivesNothing: {
		key: "heater_gives_nothing", title: "The backup heater does not warm the tank",
		likely:     "Element, fuse, residual-current device, contactor or cut-out is open, or its own thermostat is set too low; or the tank top probe is out of its pocket.",
		check:      "Treat the taps as very hot until the probe is seen in its pocket. Have the heater looked at by a qualified electrician.",
		urgency:    Soon,
		raiseAfter: time.Minute, clearAfter: 10 * time.Minute, word: true},
	FoundHeaterThermostatLow: {
		key: "heater_thermostat_low", title: "The heater's own thermostat stops it early",
		likely:     "It is set below what the controller waits for.",
		check:      "Have a qualified electrician set the thermostat above the target, or lower heater_stop. A hygiene heat-up does not succeed until then.",
		urgency:    Soon,
		raiseAfter: 10 * time.Minute, clearAfter: 10 * time.Minute, word: true},
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
	FoundTapTooHot: {
		key: "tap_too_hot", title: "The taps get scalding water",
		likely:     "The tempering valve is stuck, set too hot or missing.",
		check:      "Warn everybody at the taps: scalding danger. Have the tempering valve checked; lower the tank limit until then.",
		urgency:    AtOnce,
		raiseAfter: time.Minute, clearAfter: 10 * time.Minute},
	FoundTapLukewarm: {
		key: "tap_lukewarm", title: "The taps stay lukewarm on a hot tank",
		likely:     "The tempering valve is stuck or set too cold.",
		check:      "Have the tempering valve checked. Do not take it out: it guards from scalding.",
		urgency:    Soon,
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
}
