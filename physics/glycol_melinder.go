package physics

// Coefficients of aqueous propylene glycol: sum over i, j of
// c[i][j] (T - T0)^i (x - x0)^j with T in degC and x the mass fraction of
// glycol. Viscosity is the exponential of that sum in Pa s; the freezing
// point is in kelvin and has only the first row.
//
// Source: Melinder, Properties of Secondary Working Fluids for Indirect
// Systems (2010), as stored in the public CoolProp repository (MIT licence),
// fluid MPG; read second hand.
const (
	melinderBaseC        = 32.7083
	melinderBaseFraction = 0.307031
	melinderMaxC         = 100
	melinderMaxFraction  = 0.6
)

var melinderDensity = [4][6]float64{
	{1018.0, 76.04, -24.98, -155.0, -113.1, 234.2},
	{-0.5406, -0.945, 0.27, 2.829, -2.221},
	{-0.002666, 0.005541, -0.004018, -0.007175},
	{1.347e-05, -1.343e-05, 3.376e-05},
}

var melinderSpecificHeat = [4][6]float64{
	{3882.0, -1304.0, -1598.0, 353.9, 5000.0, -4959.0},
	{2.699, 5.07, 0.9534, 31.02, -71.35},
	{-0.001659, -0.004752, 0.1167, -0.295},
	{-1.032e-05, 0.0001522, -0.000487},
}

var melinderConductivity = [4][6]float64{
	{0.4513, -0.4795, 0.2076, -0.09083, -0.05952, 0.2104},
	{0.0007955, -0.001678, 0.001563, -0.002518, -0.003605},
	{3.482e-08, 8.941e-06, -4.615e-05, 6.543e-05},
	{-5.966e-09, 1.493e-08, 9.897e-08},
}

var melinderLogViscosity = [4][6]float64{
	{-6.224055, 3.328, 0.5453, -3.9, -1.587, 35.64},
	{-0.03045, -0.03984, -0.00086, 0.1054, 0.04475},
	{0.0002525, 0.0004332, -0.0001593, -0.001589},
	{-1.399e-06, -1.86e-06, -4.465e-07},
}

var melinderFreezingK = [6]float64{259.9, -66.31, -109.4, -228.3, -340.9, 146.5}

// melinderAt folds the concentration into the rows and leaves a polynomial in
// the temperature alone.
func melinderAt(rows *[4][6]float64, massFraction float64) temperaturePolynomial {
	polynomial := temperaturePolynomial{baseC: melinderBaseC}
	for i := range rows {
		polynomial.c[i] = evaluate(rows[i], massFraction-melinderBaseFraction)
	}
	return polynomial
}
