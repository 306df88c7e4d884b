package control

// takeWord takes a person's word that the plant has been mended: findings that
// wait for proof of it go, and so does what was seen that led to them. What is
// still wrong is found anew. Locks that protect are not simply opened: a locked
// heater gets one try.
func (c *Controller) takeWord() {
	for kind := range findingTable {
		if findingTable[kind].word {
			c.findings.drop(&c.plan, FindingKind(kind))
		}
	}
	for i := range c.systems {
		s := &c.systems[i]
		m := &s.mem.Signs
		m.Loop, m.Heater = LoopSigns{}, HeaterSigns{}
		m.Night.forgetMoment()
		m.Pocket = PocketSigns{}
		m.Pressure.Nights = 0
		if s.mem.HeaterLocked {
			s.mem.HeaterRest = effortPause
		}
		s.mem.DumpLocked, s.mem.DumpRest = false, 0
	}
}

// wordHelps is what a person reads of a finding that waits for proof.
const wordHelps = " After the repair this goes when the plant itself shows that all is well, or at the end of the service state."
