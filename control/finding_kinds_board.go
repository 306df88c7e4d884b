package control

import "time"

// findingsBoard says what each kind of board, outputs, storage and clock, and of what people have set means to a person.
var findingsBoard = findingRows{
	FoundClockUnset: {
		key: "clock_unset", title: "The clock is not set",
		likely:     "The board has no battery clock, and no time server was reached since its start.",
		check:      "Check the network, or fit a battery clock. Until then heater windows are not kept; protections work as ever.",
		urgency:    Soon,
		raiseAfter: 5 * time.Minute, clearAfter: 5 * time.Second},
	FoundClockWrong: {
		key: "clock_wrong", title: "The clock can't be right",
		likely:     "By the clock it is deep night, and the sun heats the collector. Or place or time zone are wrong in the site file.",
		check:      "Set the clock, or reach a time server; check the place in the site file.",
		urgency:    Soon,
		raiseAfter: time.Second, clearAfter: 6 * time.Hour},
	FoundClockJumps: {
		key: "clock_jumps", title: "The clock jumps",
		likely:     "A time server that is wrong, a battery clock that is worn, or somebody who has set it.",
		check:      "Check the time server and the battery. Nothing is timed by the clock but windows and dates.",
		urgency:    Information,
		raiseAfter: time.Second, clearAfter: time.Hour},
	FoundOutputFault: {
		key: "output_fault", title: "An output can't be switched",
		likely:  "Another program holds or drives its line, or the relay board is gone.",
		check:   "Read the detail. Stop the other program, or check the relay board's cable and supply. Do not rely on the output being off: use the isolator.",
		urgency: AtOnce, about: AboutOutput,
		raiseAfter: 3 * time.Second, clearAfter: time.Minute},
	FoundStateUnsaved: {
		key: "state_unsaved", title: "The controller's memory can't be saved",
		likely:     "The storage card is full, read-only or worn out.",
		check:      "Free space or exchange the card. The controller works on from memory; a restart would lose what was not saved.",
		urgency:    Soon,
		raiseAfter: 2 * time.Minute, clearAfter: 2 * time.Minute},
	FoundHistoryUnwritten: {
		key: "history_unwritten", title: "The history is not written",
		likely:     "The storage card is full, read-only or worn out, or another program holds the file.",
		check:      "Read the detail. Free space or exchange the card. Control works as ever; what happens is kept for a day and written once that is possible again.",
		urgency:    Soon,
		raiseAfter: 2 * time.Minute, clearAfter: 2 * time.Minute},
	FoundServicing: {
		key: "servicing", title: "The service state is on",
		likely:     "Somebody works on the plant, or has forgotten to end the service state.",
		check:      "End the service state when the work is done. Nothing is heated, pumped or kept from freezing until then.",
		urgency:    Soon,
		raiseAfter: time.Second, clearAfter: time.Second},
	FoundObserving: {
		key: "observing", title: "Nothing is switched, only watched",
		likely:     "The site file says observe_only = true, as for the first days after fitting, or the outputs of this wiring were not handed over yet.",
		check:      "Compare what would be done with the plant. Then do the hand-over, or take observe_only out of the site file, and start anew. Nothing is heated, pumped or kept from freezing until then. Whatever else switches the plant meanwhile may be found as something that does not switch off.",
		urgency:    Soon,
		raiseAfter: time.Second, clearAfter: time.Second},
	FoundMemoryLost: {
		key: "memory_lost", title: "The controller has lost its memory",
		likely:     "A power cut has spoilt the storage card, or the program failed on what it had saved.",
		check:      "Nothing at the plant. Overrides, a holiday and settings that were changed while the program ran are forgotten: ask for them again. Counters began at 0. Keep the files that were set aside in the state folder for whoever looks after the program; when it happens again, exchange the card.",
		urgency:    Soon,
		raiseAfter: time.Second, clearAfter: time.Minute},
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
	FoundWatchdogUnarmed: {
		key: "watchdog_unarmed", title: "The board's watchdog is not armed",
		likely:     "The service manager was not told to feed it, or was told to wait longer than the chip can and gave up, or the driver of the chip is not loaded.",
		check:      "Tell the service manager to feed it every 10 to 14 s (RuntimeWatchdogSec) and start the board anew. Until then a board that hangs leaves pump and heater as they are: the cut-out must be right.",
		urgency:    Soon,
		raiseAfter: time.Minute, clearAfter: time.Minute},
	FoundRestartsMany: {
		key: "restarts_many", title: "The program starts again and again",
		likely:     "Power that dips, a weak supply, or a fault of the program.",
		check:      "Check plug and power supply of the board; read the log.",
		urgency:    Soon,
		raiseAfter: time.Second, clearAfter: time.Hour},
	FoundWasAway: {
		key: "was_away", title: "Nobody looked after the plant for a while",
		likely:     "The mains were cut, or the controller was switched off or stuck.",
		check:      "See whether the mains failed. After frost look for wet spots at the loop before it is used; after a hot day without a pump look at its pressure once it is cold.",
		urgency:    Information,
		raiseAfter: time.Second, clearAfter: time.Second},
	FoundRelayWorn: {
		key: "relay_worn", title: "A relay has switched more often than it is made for",
		likely:  "It has worked for many years, or it switches too often.",
		check:   "Have the relay exchanged before its contacts weld.",
		urgency: Information, about: AboutOutput,
		raiseAfter: time.Second, clearAfter: time.Hour},
}
