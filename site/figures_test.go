package site

import (
	"testing"
)

// TestStagnation holds the curve's stagnation temperature against the balance
// it comes from, with figures of common size: at the found temperature gain and
// loss must be equal (ISO 9806).
func TestStagnation(t *testing.T) {
	c := Collector{AreaM2: 4, TiltDeg: 40, DirectionDeg: 190, OpticalEfficiencyPercent: 78, LossWM2K: 3.8, LossGrowthWM2K2: 0.012}
	hottest := c.Curve().StagnationC(stagnationSunWM2, stagnationAirC)
	rise := hottest - stagnationAirC
	if gain, loss := 0.78*stagnationSunWM2, 3.8*rise+0.012*rise*rise; gain-loss > 1e-6 || loss-gain > 1e-6 {
		t.Errorf("at %.1f °C the gain is %g W/m² and the loss %g W/m²", hottest, gain, loss)
	}
	if p := c.Plane(); p.TiltDeg != 40 || p.AzimuthDeg != 190 {
		t.Errorf("got the plane %+v", p)
	}
	poor := Collector{AreaM2: 4, OpticalEfficiencyPercent: 50, LossWM2K: 8}
	if hottest := poor.Curve().StagnationC(stagnationSunWM2, stagnationAirC); hottest > probeMostC[OneWire] {
		t.Errorf("a poor collector reaches %.0f °C", hottest)
	}
}
