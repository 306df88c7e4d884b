package control

import "time"

// steamPatience is how long a collector must have been read as cool before steam
// in it counts as gone, so that a noisy reading does not let the pump into it.
const steamPatience = 2 * time.Minute

// restartCeilingRule keeps the pump off while the collector may be steaming,
// and until it has cooled well below. After a start a collector inside the band
// may be on its way down, so it counts as steaming. While the collector can't
// be read, the last word on it stands for some hours.
func (c *Controller) restartCeilingRule(s *system, elapsed time.Duration) {
	m := s.mem
	switch {
	case s.collector.OK():
		hot := latched(m.Steaming || m.Fresh, s.collector.Value, s.set.RestartCeilingC, s.set.RestartCeilingBandK)
		m.Fresh = false
		if hot || !m.Steaming {
			m.SteamCoolFor = 0
		} else {
			m.SteamCoolFor += elapsed
		}
		m.Steaming = hot || m.Steaming && m.SteamCoolFor < steamPatience
	case s.collectorProbe.Silent >= unseenPatience:
		m.Steaming = false
	}
	if !m.Steaming {
		m.StagnantFor = 0
		return
	}
	if c.st.Outputs[s.pump].Level == 0 {
		m.StagnantFor += elapsed
	}
	coolC := s.set.RestartCeilingC - s.set.RestartCeilingBandK
	why := because(SaysSteamingUnseen, coolC)
	if s.collector.OK() {
		why = because(SaysCollectorSteaming, s.collector.Value, coolC)
	}
	c.ballots[s.pump].cast(0, Protect, why)
}
