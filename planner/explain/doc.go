// Package explain says why: what was measured in a minute of the history, what
// ran then and which reason won, and what was found; what a finding means and when
// it stood; what a setting means and how far it can be moved.
//
// It has no words of its own for reasons, findings and settings: those are
// control's, and of past events those that the program of that day has written
// down. What the history does not keep, it says.
package explain
