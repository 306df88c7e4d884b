package control

import (
	"time"

	"sunstoker/physics"
)

// The plant's own good days tell what clear days should give. Common practice,
// no source: a month without a good one, in the half of the year that has
// sun, are no weather any more.
const (
	yieldDays   = 45 // learned before anything is compared
	yieldFade   = 0.97
	yieldForget = 0.998
	yieldPoor   = 0.4
	yieldWell   = 0.6
	yieldLeast  = 4 // kWh/m² of clear sky: shorter days prove little
)

// YieldSigns compares the sun's heat with what a clear sky would send.
type YieldSigns struct {
	ClearKWhM2 float64 `json:"clear"`     // on the collector's plane, today
	ClearWM2   float64 `json:"clear_now"` // likewise, at the last look at the sun
	SunKWh     float64 `json:"sun"`       // in the energy book, at the last dusk
	Known      bool    `json:"known"`
	Spoilt     bool    `json:"spoilt"` // the tank was full, the pump not allowed
	BestM2     float64 `json:"best"`   // kWh by kWh/m², best days of the year
	LateM2     float64 `json:"late"`   // best of the last weeks
	Days       int     `json:"days"`
}

func (m *YieldSigns) forgetMoment() { m.Known, m.ClearKWhM2, m.ClearWM2 = false, 0, 0 }

// countClearSky adds what a clear sky sends on the collector's plane. Only ratios
// of days are compared, so that a simple sky and the mean distance to the sun do.
func (m *YieldSigns) countClearSky(sun physics.SunPosition, plane physics.Plane, span time.Duration) {
	m.ClearWM2 = clearOnPlaneWM2(sun, plane)
	m.ClearKWhM2 += m.ClearWM2 * span.Hours() / 1000
}

// clearOnPlaneWM2 is the light of a clear sky on a plane, W/m².
func clearOnPlaneWM2(sun physics.SunPosition, plane physics.Plane) float64 {
	if sun.ElevationDeg <= 0 {
		return 0
	}
	return onPlaneWM2(physics.ClearSkyHaurwitzWM2(sun.ElevationDeg), sun, plane)
}

// onPlaneWM2 is light on level ground, W/m², as a plane gets it.
func onPlaneWM2(levelWM2 float64, sun physics.SunPosition, plane physics.Plane) float64 {
	light := physics.SplitGlobal(levelWM2, sun.ZenithDeg, solarConstantWM2)
	const groundAlbedo = 0.2
	return plane.On(light, sun, 0, groundAlbedo, physics.SkyIsotropic).TotalWM2()
}

// solarConstantWM2 is the sun's irradiance outside the air at its mean distance
// (World Meteorological Organization, from memory).
const solarConstantWM2 = 1367

const jPerKWh = 3.6e6

// lookAtYield closes a day at dusk and compares the best of late with the best.
func (c *Controller) lookAtYield(s *system, g *glance) {
	m := &s.mem.Signs.Yield
	m.Spoilt = m.Spoilt || s.mem.TankFull || s.mem.Steaming || c.onHoliday() || c.st.Servicing || c.plan.ObserveOnly
	if !g.dusk || !c.CountsHeat(s.index) {
		return
	}
	sunKWh := s.mem.Energy.SunJ / jPerKWh
	today, clear, counts := sunKWh-m.SunKWh, m.ClearKWhM2, m.Known && !m.Spoilt
	if m.Spoilt && s.mem.TankFull {
		m.LateM2 = max(m.LateM2, yieldWell*m.BestM2) // a tank that the sun fills is proof enough
	}
	m.SunKWh, m.ClearKWhM2, m.Known, m.Spoilt = min(sunKWh, mostLearned), 0, true, false
	if !counts || clear < yieldLeast {
		return
	}
	ratio := today / clear
	m.Days = min(m.Days+1, 10000)
	m.LateM2 = max(ratio, yieldFade*m.LateM2)
	m.BestM2 = max(ratio, yieldForget*m.BestM2)
	if m.Days < yieldDays {
		return
	}
	c.note(FoundYieldPoor, s.index, 0, clearedBy(m.LateM2 < yieldPoor*m.BestM2, m.LateM2 > yieldWell*m.BestM2), g.span,
		because(SawYieldPoor, today, 100*m.LateM2/max(m.BestM2, 1e-9)))
}
