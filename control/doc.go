// Package control decides what a solar water heater's pumps and heaters do,
// and says why.
//
// It decides and does nothing else: there is no clock, no input or output, no
// goroutine and no randomness in it. [Controller.Step] takes the time that has
// passed, the wall clock as far as it can be trusted, and one reading per
// probe; it gives a decision per output. The same inputs give the same
// decisions, so a recorded day can be replayed under other settings.
//
// # How a decision comes about
//
//  1. Every reading is judged (judge.go): good, suspect or missing, and why.
//     Rules see judged readings only, and use good ones only.
//  2. Every rule (rule_*.go) looks at the judged readings, the settings and
//     its own memory, and casts votes: output, level, rank, reason.
//  3. The arbiter (arbiter.go) takes the strongest vote for every output. At
//     equal rank the safer level, the lower one, wins. Minimum run and rest
//     times hold a change back unless a protection asks for it.
//  4. Findings (finding.go) say in plain words what is wrong.
//
// # Units
//
// Temperatures are in °C, differences in K, powers in W, levels run from 0
// (off) to 1 (full). Durations are time.Duration and come from the elapsed
// time that Step is given, never from the wall clock.
//
// # What it does not do
//
// It is no safety device. A manual-reset cut-out, relief valves, a tempering
// valve and the right fluid protect people and plant when this program, its
// board or its relays fail; see SAFETY.md.
package control
