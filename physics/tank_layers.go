package physics

import (
	"math"
	"slices"
)

// The functions of this file work on the layers of a stratified tank, bottom
// first, in place and without allocation.

// MixInversions mixes layers that lie below a colder one until no layer is
// warmer than the one above it: warm water rises at once. Energy is conserved
// to rounding. tempsC are in degC, masses in kg, of equal length; the shorter length
// counts. A mass that is not above zero leaves all as it is. It reports whether
// anything mixed.
//
// Source: the balance of energy; each block of layers settles at its mean
// temperature by mass. (The least-squares name of the same scheme is pooling
// of adjacent violators.)
func MixInversions(tempsC, massesKg []float64) bool {
	layers := min(len(tempsC), len(massesKg))
	for _, mass := range massesKg[:layers] {
		if !(mass > 0) {
			return false
		}
	}
	mixed := false
	for i := 1; i < layers; i++ {
		if tempsC[i] >= tempsC[i-1] {
			continue
		}
		mixed = true
		mixDownFrom(tempsC, massesKg, i)
	}
	return mixed
}

// mixDownFrom pools the layer with those below it until the one beneath is not
// warmer than the pool.
func mixDownFrom(tempsC, massesKg []float64, top int) {
	mass, heat := massesKg[top], massesKg[top]*tempsC[top]
	bottom := top
	for bottom > 0 && tempsC[bottom-1] > heat/mass {
		bottom--
		mass += massesKg[bottom]
		heat += massesKg[bottom] * tempsC[bottom]
	}
	mean := heat / mass
	for i := bottom; i <= top; i++ {
		tempsC[i] = mean
	}
}

// PushUp moves water up through the layers as a draw does: drawnKg enters below
// at inC in degC and as much leaves at the top, whose mean temperature in degC
// it returns. Each layer stays mixed. Energy is conserved to rounding for every
// amount. A draw of exactly one layer from equal layers moves each temperature
// up by one, without smearing. Nothing drawn returns the top's temperature; no
// layers return inC.
//
// Source: balance of energy, upwind. How much a real draw is smeared depends on
// the number of layers, see MixedLayersOutletShare.
func PushUp(tempsC, massesKg []float64, drawnKg, inC float64) (outMeanC float64) {
	layers := min(len(tempsC), len(massesKg))
	if layers == 0 {
		return inC
	}
	top, smallest := layers-1, slices.Min(massesKg[:layers])
	if !(drawnKg > 0) || !(smallest > 0) {
		return tempsC[top]
	}
	// No part may push more than the smallest layer holds, or the water would
	// have to pass a layer unseen.
	parts := math.Ceil(drawnKg / smallest)
	part, out := drawnKg/parts, 0.0
	for range int(parts) {
		out += tempsC[top]
		for i := top; i > 0; i-- {
			tempsC[i] += (tempsC[i-1] - tempsC[i]) * part / massesKg[i]
		}
		tempsC[0] += (inC - tempsC[0]) * part / massesKg[0]
	}
	return out / parts
}

// ConductionConductanceWK is lambda A/L in W/K between two layers: the
// conductivity in W/(m K), the cross section in m2 and the distance of their
// middles in m. A distance of zero or less is no gap: +Inf; a conductivity or area
// below zero counts as none.
//
// Source: Fourier's law. The wall of a steel tank adds to the conductivity of
// the water; how much depends on the tank.
func ConductionConductanceWK(conductivityWmK, areaM2, distanceM float64) float64 {
	if !(distanceM > 0) {
		return math.Inf(1)
	}
	return notNegative(conductivityWmK) * notNegative(areaM2) / distanceM
}

// DiffusivityM2S is lambda/(rho cp) in m2/s at the temperature in degC. Sources,
// clamp and errors are those of the three properties.
func (f Fluid) DiffusivityM2S(tempC float64) float64 {
	return f.ConductivityWmK(tempC) / (f.DensityKgM3(tempC) * f.SpecificHeatJKgK(tempC))
}

// LayerDecay is by what factor conduction shrinks the slowest wave of
// temperature, cos(pi x/H), in an insulated column of height H in m after
// seconds: exp(-alpha (pi/H)^2 t), the diffusivity alpha in m2/s. Seconds and
// diffusivity below zero count as zero; a column of no height is even at once.
//
// Source: exact solution of the heat equation (Carslaw and Jaeger).
func LayerDecay(diffusivityM2S, heightM, seconds float64) float64 {
	if !(heightM > 0) {
		return 0
	}
	waves := math.Pi / heightM
	return math.Exp(-notNegative(diffusivityM2S) * waves * waves * math.Max(seconds, 0))
}

// MixedLayersOutletShare is the share of the step from hot to cold that has
// reached the outlet of equal mixed layers in series after the given number of
// tank volumes: 1 - exp(-N v) sum (N v)^k/k!, k below N. It tells how much a
// simulated tank with that many layers smears its front. Layers below 1 count
// as 1, volumes below zero as none.
//
// Source: exact solution for tanks in series (Levenspiel, Chemical Reaction
// Engineering).
func MixedLayersOutletShare(layers int, tankVolumes float64) float64 {
	layers = max(layers, 1)
	passed := float64(layers) * math.Max(tankVolumes, 0)
	// The terms are summed with the exponential inside, which keeps them finite
	// for many layers.
	sum, logTerm := 0.0, -passed
	for k := range layers {
		sum += math.Exp(logTerm)
		logTerm += math.Log(passed) - math.Log(float64(k+1))
		if passed == 0 {
			break
		}
	}
	return clamp(1-sum, 0, 1)
}
