// Package sizing tries out what a house could be given: every sensible combination
// of tanks, collectors and pumped loop or natural circulation goes through a year
// under its real controller, with the site file that it would be run with. It
// tells what came of each, which three are best and why, and writes the fitting
// sheet and the site file of one of them.
//
// What it says is held against two figures from outside: a published monthly
// correlation of the solar share, and planning figures of litres a person. Both
// are named in its output with the tolerance.
//
// Sensible is a matter of rules of thumb, which stand in option.go; money is added
// up simply, as outcome.go says. It plans; it proves no safety, and replaces nobody
// who answers for the work.
package sizing
