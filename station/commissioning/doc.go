// Package commissioning takes a person through the hand-over of a plant: it asks
// step by step, looks on while probes are warmed in the hand, switches each output
// alone, lets pump and heater show that they work, and saves every answer at once.
// What the steps are, and what answers mean, is package handover of the planner.
//
// # What is held to while outputs are tried
//
// No daemon runs meanwhile: the state folder is locked and the lines are taken as the
// daemon takes them, so that the very wiring is tested, its guard included. One
// output is on at a time, for as long as a person was told, and driven anew every
// second; it goes off on every way out. The heater is not switched on without a good
// tank top reading below the tank limit, nor before a person has said that the tank is
// full; it goes off when the reading is lost, or when the tank warms faster than water
// could. The pump is not run into a collector that may be steaming or that is near
// freezing. Nothing else of the controller's protections is there: a person stands by.
package commissioning
