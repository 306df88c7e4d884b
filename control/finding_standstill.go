package control

import "time"

// The signs of a loop of natural circulation that stands still in the sun.
// Common practice, no source: while such a loop flows its collector is some 10 to
// 20 K hotter than the tank.
const (
	standstillK   = 40
	standstillFor = 30 * time.Minute
)

// lookForStandstill looks for a collector that the sun heats far above all of a
// tank that hangs in its loop. A probe that stands still or fails tells nothing.
func (c *Controller) lookForStandstill(s *system, g *glance) {
	m := &s.mem.Signs.Loop
	if !g.gapKnown || s.collectorProbe.Same >= frostAlive || s.collectorProbe.Trouble > 0 {
		m.DeadFor = 0
		return
	}
	overK := g.collectorC - s.hottestC
	m.DeadFor = longer(m.DeadFor, overK >= standstillK, g.span)
	flows := g.sunDeg > sunnyDeg && overK < standstillK/2 && g.collectorC > g.coilC
	c.note(FoundLoopStandsStill, s.index, 0, clearedBy(m.DeadFor >= standstillFor, flows), g.span, because(SawStandstill, g.collectorC, overK, seconds(m.DeadFor)))
}
