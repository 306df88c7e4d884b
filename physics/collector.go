package physics

import "math"

// Collector is a glazed flat plate described by the figures of its test
// report. The steady-state model is that of ISO 9806 (EN 12975-2), with the
// difference between mean fluid and air temperature; all areas must be of one
// kind (gross area in ISO 9806:2017).
//
// Usual glazed flat plates have Eta0 0.70 to 0.85, A1WM2K 3.0 to 4.5 and
// A2WM2K2 0.005 to 0.020 (common practice, no source).
type Collector struct {
	// Eta0 is the efficiency without heat loss at normal incidence, 0 to 1.
	Eta0 float64
	// A1WM2K is the linear heat-loss coefficient in W/(m2 K).
	A1WM2K float64
	// A2WM2K2 is the quadratic heat-loss coefficient in W/(m2 K2).
	A2WM2K2 float64
	// AreaM2 is the area in m2 the coefficients refer to.
	AreaM2 float64
	// CapacityJM2K is the effective heat capacity in J/(m2 K), fluid included.
	CapacityJM2K float64
	// B0 is the incidence-angle coefficient of BeamModifier, 0 to below 1.
	B0 float64
}

// Validate returns an error that names the first figure out of range.
func (c Collector) Validate() error {
	return firstError(
		checkRange("collector efficiency without loss (eta0)", c.Eta0, 0, 1, ""),
		checkRange("collector loss coefficient a1", c.A1WM2K, 0, 50, "W/(m2 K)"),
		checkRange("collector loss coefficient a2", c.A2WM2K2, 0, 1, "W/(m2 K2)"),
		checkRange("collector area", c.AreaM2, 0.01, 1e5, "m2"),
		checkRange("collector heat capacity", c.CapacityJM2K, 0, 1e6, "J/(m2 K)"),
		checkRange("incidence-angle coefficient b0", c.B0, 0, 0.9, ""),
	)
}

// OutputWM2 is the steady useful heat per m2 in W/m2: Eta0 G - a1 dT - a2 dT2.
// The irradiance in W/m2 is that on the plane after any incidence-angle
// modifier; meanFluidC and ambientC are in degC. It is negative when the
// collector loses heat.
//
// Source: ISO 9806 / EN 12975-2. When the fluid is colder than the air the
// quadratic term is dropped, as ISO 9806 leaves it to the linear term there
// (from memory); the output never jumps. Tests go from the air's temperature to some
// 60 K above it, hotter is extrapolated; a test repeats to about 3 % of the output
// (from memory).
func (c Collector) OutputWM2(irradianceWM2, meanFluidC, ambientC float64) float64 {
	return c.Eta0*irradianceWM2 - c.LossWM2(meanFluidC-ambientC)
}

// LossWM2 is the heat lost per m2 in W/m2 at a difference of mean fluid to air
// in K; see OutputWM2 for source and for differences below zero.
func (c Collector) LossWM2(differenceK float64) float64 {
	loss := c.A1WM2K * differenceK
	if differenceK > 0 {
		loss += c.A2WM2K2 * differenceK * differenceK
	}
	return loss
}

// OutputW is OutputWM2 times the area, in W.
func (c Collector) OutputW(irradianceWM2, meanFluidC, ambientC float64) float64 {
	return c.AreaM2 * c.OutputWM2(irradianceWM2, meanFluidC, ambientC)
}

// Efficiency is OutputWM2 by irradiance. It may be negative. An irradiance of
// zero or less has no efficiency and is an error.
func (c Collector) Efficiency(irradianceWM2, meanFluidC, ambientC float64) (float64, error) {
	if err := checkPositive("irradiance on the collector", irradianceWM2, "W/m2"); err != nil {
		return 0, err
	}
	return c.OutputWM2(irradianceWM2, meanFluidC, ambientC) / irradianceWM2, nil
}

// StagnationC is the mean temperature in degC at which the collector's loss
// equals its gain: how hot it gets without flow. Irradiance in W/m2 below zero
// counts as zero. A collector without loss coefficients would heat without
// bound: +Inf.
//
// Source: root of the ISO 9806 efficiency equation. The equation is fitted at
// working temperatures; a measured stagnation temperature (ISO 9806) comes
// first, see StagnationFromTest.
func (c Collector) StagnationC(irradianceWM2, ambientC float64) float64 {
	gain := c.Eta0 * math.Max(irradianceWM2, 0)
	if gain == 0 {
		return ambientC
	}
	// This form of the root has no division by a2, which may be zero.
	return ambientC + 2*gain/(c.A1WM2K+math.Sqrt(c.A1WM2K*c.A1WM2K+4*c.A2WM2K2*gain))
}

// StagnationFromTest carries a measured stagnation temperature to other
// conditions: t = ambient + G/Gtest (tTest - ambientTest). Irradiances in
// W/m2, temperatures in degC. ISO 9806 states the result for 1000 W/m2 and
// 30 degC (from memory).
//
// Source: ISO 9806 / EN 12975-2 annex, from memory. The test irradiance must
// be above 800 W/m2 and the wanted one within 10 % of 1000 W/m2 for the
// standard; the function itself only asks for a test irradiance above zero and
// a wanted one of zero or more.
func StagnationFromTest(testIrradianceWM2, testAmbientC, testStagnationC, irradianceWM2, ambientC float64) (float64, error) {
	err := firstError(
		checkPositive("irradiance of the stagnation test", testIrradianceWM2, "W/m2"),
		checkNotNegative("wanted irradiance", irradianceWM2, "W/m2"),
		checkFinite("ambient temperature of the test", testAmbientC, "degC"),
		checkFinite("wanted ambient temperature", ambientC, "degC"),
		checkRange("stagnation temperature of the test", testStagnationC, testAmbientC, 500, "degC"),
	)
	if err != nil {
		return 0, err
	}
	return ambientC + irradianceWM2/testIrradianceWM2*(testStagnationC-testAmbientC), nil
}
