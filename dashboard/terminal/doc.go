// Package terminal shows a running house in a terminal: how hot the water is in
// digits to be read from across the room, how much of it is left, what heats and
// why, and what is wrong.
//
// It is a caller of the daemon's interface for programs like any other: it hears
// live events, and asks now and then while the board has no place for a further
// viewer. It only looks. What it last heard is shown as old as soon as it is, and
// a lost line is tried again for as long as somebody watches.
//
// On a terminal the picture is drawn on the alternate screen, anew every second,
// and follows the terminal's size; whatever was there before comes back at the end.
// Anything else gets plain lines, one a minute. Nothing is said by colour alone,
// and what comes over the line can't steer the terminal: it is text, whatever is
// in it.
package terminal
