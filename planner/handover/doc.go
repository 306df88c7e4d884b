// Package handover is the hand-over of a plant as paper: the steps that a site
// asks for, what an answer to each means, the record of what was answered, and
// the report for installer and owner.
//
// It reads and switches nothing. Who asks the person and tries probes and outputs
// is package commissioning of the station; the daemon asks [Record.Bars] whether
// it may run by itself.
//
// # What stands behind the steps
//
// Every part that must keep people and plant safe without this program has a step
// of its own, asked of a person, since no probe sees it. A figure that a person
// has measured is held against the site file and against physics (figures.go, each
// with its source). An answer is about something: an output's wiring, a probe's,
// a figure of the site file. When that changes, the answer no longer counts and
// its step is open again.
//
// # What it does not do
//
// It does not know whether a person tells the truth, and it stands in for no
// acceptance that a code asks of licensed people.
package handover
