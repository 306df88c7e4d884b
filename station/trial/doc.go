// Package trial runs a daemon through scripts on the bench: what is done to the
// plant and when, and what pump, heater, readings and findings must then be. In
// virtual time the daemon's own station runs in this process and a day takes
// seconds; in real time a daemon that runs somewhere else is watched by the JSON of
// its page, which is what is looked at in both.
//
// A script is a TOML file:
//
//	name = "A pump that does not turn"      # of the test
//	site = "../sites/house-with-winter.toml" # beside this file
//	start = "2026-06-21 11:00"               # civil time of the house
//	tank = "30 °C"                           # at the start; may be left out
//	begin = ["sky clear", "air 20 °C"]       # orders before the start
//
//	[[step]]
//	at = "10m"                               # from the start
//	do = ["pump does not turn for 1h"]       # orders, see bench.Plant.Order
//	expect = [
//	  { output = "loop pump", level = "on", because = "loop_gains", within = "30s" },
//	  { finding = "pump_no_gain", within = "1h" },
//	]
//
// An expectation names one of:
//
//	output      its level, "on" or "off"; because: the key of its reason, or several
//	            with "or" between them
//	driven      an output's level in the plant, whatever the daemon shows
//	reading     its quality, "good", "suspect" or "missing"; above and below: bounds
//	            of its value, in its unit
//	finding     the key of one that must be shown
//	no_finding  the key of one that must not be shown, or "any"
//
// beside system (its name, where a site has several), within (how long it may take,
// 5s when not given) and hold (how long it must stay so from then on). All of a
// script's expectations are waited for at once; a step with none only does.
//
// Orders may also be about the daemon and its board: it restarts, dies, loses its
// guard, its clock or its storage (see bench.BoardHelp and the page beside the
// scripts). In virtual time all of that is simulated in this process. In real time a
// program does it that the person names ([LiveOptions].Hands); without one such a
// script is refused.
//
// Nobody draws water but by orders. In real time the daemon's schedules follow its
// own clock.
package trial
