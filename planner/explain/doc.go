// Package explain says why: what was measured in a minute of the history, what
// ran then and which reason won, and what was found; what a finding means and when
// it stood; what a setting means and how far it can be moved.
//
// It has no words of its own for reasons, findings and settings: those are
// control's, and of past events those that the program of that day has written
// down. What the history does not keep, it says.
//
// Votes that lost are not kept. Tried out as events when they change (some 90 times a
// day in a house with two outputs), they raised what a busy day writes to the file
// from 2.5 to 3.1 MB, which with a file system's journal comes too near to the 5 MB
// that a day may wear a card by.
package explain
