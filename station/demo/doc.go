// Package demo is a house of our own invention for trying the daemon out: a
// site, a scripted day of weather and draws, and a simulated plant that the
// station reads and drives as it does a real one.
//
// The day (day.go) is written in the simulator's terms and knows nothing of
// the controller: a clear morning, a cloud bank at noon, a clear afternoon and
// people who come home and shower one after the other. All figures are
// invented.
package demo
