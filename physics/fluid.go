package physics

import "math"

// Fluid is water or a mixture of water and propylene glycol. Its methods are
// cheap (a polynomial in the temperature, worked out once at construction) and
// allocate nothing. The zero Fluid is water. Fluids are immutable and may be
// copied and shared freely.
//
// A temperature outside TemperatureRangeC is clamped to the nearer end: the
// property of the end is returned. The range of a mixture begins at its
// freezing point and ends at 100 degC; that of water runs from 0 to 180 degC.
type Fluid struct {
	properties *fluidProperties
}

type fluidProperties struct {
	name               string
	glycolMassFraction float64
	waterMoleFraction  float64
	freezingC          float64
	minC, maxC         float64
	density            temperaturePolynomial
	specificHeat       temperaturePolynomial
	logViscosity       temperaturePolynomial
	conductivity       temperaturePolynomial
}

// temperaturePolynomial is sum of c[i] (T - baseC)^i.
type temperaturePolynomial struct {
	baseC float64
	c     [6]float64
}

func (p *temperaturePolynomial) at(tempC float64) float64 {
	return evaluate(p.c, tempC-p.baseC)
}

// evaluate is Horner's scheme.
func evaluate(c [6]float64, x float64) float64 {
	return c[0] + x*(c[1]+x*(c[2]+x*(c[3]+x*(c[4]+x*c[5]))))
}

func (f Fluid) get() *fluidProperties {
	if f.properties == nil {
		return &waterProperties
	}
	return f.properties
}

// String names the fluid with its concentration.
func (f Fluid) String() string { return f.get().name }

// GlycolMassFraction is the share of glycol by mass, 0 for water.
func (f Fluid) GlycolMassFraction() float64 { return f.get().glycolMassFraction }

// TemperatureRangeC is the range in degC in which the properties are fitted;
// outside of it the property methods return the value of the nearer end.
func (f Fluid) TemperatureRangeC() (lowC, highC float64) {
	p := f.get()
	return p.minC, p.maxC
}

// DensityKgM3 is the density in kg/m3 at the temperature in degC, at the low
// pressures of a heating loop (below 1 MPa the pressure changes it by less
// than 0.05 %). Sources and errors: Water and PropyleneGlycol.
func (f Fluid) DensityKgM3(tempC float64) float64 {
	p := f.get()
	return p.density.at(clamp(tempC, p.minC, p.maxC))
}

// SpecificHeatJKgK is the specific heat in J/(kg K) at the temperature in
// degC. Sources and errors: Water and PropyleneGlycol.
func (f Fluid) SpecificHeatJKgK(tempC float64) float64 {
	p := f.get()
	return p.specificHeat.at(clamp(tempC, p.minC, p.maxC))
}

// ViscosityPaS is the dynamic viscosity in Pa s at the temperature in degC.
// Sources and errors: Water and PropyleneGlycol.
func (f Fluid) ViscosityPaS(tempC float64) float64 {
	p := f.get()
	return math.Exp(p.logViscosity.at(clamp(tempC, p.minC, p.maxC)))
}

// ConductivityWmK is the thermal conductivity in W/(m K) at the temperature
// in degC. Sources and errors: Water and PropyleneGlycol.
func (f Fluid) ConductivityWmK(tempC float64) float64 {
	p := f.get()
	return p.conductivity.at(clamp(tempC, p.minC, p.maxC))
}

// FreezingPointC is the temperature in degC at which the first ice crystals
// form. The pipe is not yet in danger there, but the pump is: treat it as the
// limit. Water: 0 degC, by definition. Source and error of mixtures: PropyleneGlycol.
func (f Fluid) FreezingPointC() float64 { return f.get().freezingC }

// BoilingPointC is the temperature in degC at which the fluid begins to boil
// under the given absolute pressure in pascal.
//
// Water: IAPWS-IF97, see WaterBoilingPointC. Mixture: Raoult's law, the water
// in it boils when its mole fraction times the pressure of pure water's steam
// reaches the pressure; the glycol's own small vapour pressure is left out.
// At sea level and 30, 40 and 50 % by volume this gives 103, 104 and 106 degC,
// within 1 K of handbook figures recalled from memory; no printed table was at
// hand.
// As the glycol ages or settles the figure falls towards that of water, so
// use WaterBoilingPointC for a safety limit. The range and clamp are those of
// WaterBoilingPointC.
func (f Fluid) BoilingPointC(pressurePaAbs float64) float64 {
	return WaterBoilingPointC(pressurePaAbs / f.get().waterMoleFraction)
}
