package physics

// waterProperties is a least-squares fit of this project to liquid water at
// one atmosphere (above 100 degC at its boiling pressure), computed with
// IAPWS-IF97 and the IAPWS viscosity (2008) and conductivity (2011)
// formulations by the public Python package iapws 1.5.3.
var waterProperties = fluidProperties{
	name:              "water",
	waterMoleFraction: 1,
	freezingC:         0,
	minC:              0,
	maxC:              180,
	density: temperaturePolynomial{baseC: 80, c: [6]float64{
		971.786, -0.62312331, -0.0024695577, 5.3625819e-06, -5.6482694e-08, 2.5949753e-10}},
	specificHeat: temperaturePolynomial{baseC: 80, c: [6]float64{
		4195.9827, 0.8202192, 0.0087739134, 2.3218015e-05, 6.230072e-07, -4.8607248e-09}},
	logViscosity: temperaturePolynomial{baseC: 80, c: [6]float64{
		-7.9453115, -0.012515677, 5.3930618e-05, -2.4009577e-07, 2.4080337e-09, -1.5037423e-11}},
	conductivity: temperaturePolynomial{baseC: 80, c: [6]float64{
		0.66694146, 0.00065315744, -6.9618289e-06, 1.0114111e-08, -1.259418e-10, 1.1702158e-12}},
}

// Water is pure liquid water from 0 to 180 degC.
//
// Largest error of the fit against IAPWS-IF97 and companions: density 0.01 %,
// specific heat 0.08 %, viscosity 0.5 %, conductivity 0.09 %.
func Water() Fluid { return Fluid{properties: &waterProperties} }
