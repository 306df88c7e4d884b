package physics_test

import (
	"math"
	"testing"

	"sunstoker/physics"
)

func TestWaterAgainstIAPWS(t *testing.T) {
	water := physics.Water()
	for _, row := range readTable(t, "water_iapws.csv") {
		tempC := row.number("temperature_degC")
		// The fits' own largest errors, as documented, plus the effect of
		// 0.3 MPa in some rows on a fit made along one atmosphere.
		row.nearRelative("density_kg_m3", water.DensityKgM3(tempC), 2e-4)
		row.nearRelative("specific_heat_J_kgK", water.SpecificHeatJKgK(tempC), 1e-3)
		row.nearRelative("viscosity_mPa_s", 1000*water.ViscosityPaS(tempC), 5e-3)
		row.nearRelative("conductivity_W_mK", water.ConductivityWmK(tempC), 1e-3)
	}
}

// The whole range along the line of the fit, at its documented errors.
func TestWaterOverItsRange(t *testing.T) {
	water := physics.Water()
	for _, row := range readTable(t, "water_range_iapws.csv") {
		tempC := row.number("temperature_degC")
		row.nearRelative("density_kg_m3", water.DensityKgM3(tempC), 1e-4)
		row.nearRelative("specific_heat_J_kgK", water.SpecificHeatJKgK(tempC), 8e-4)
		row.nearRelative("viscosity_mPa_s", 1000*water.ViscosityPaS(tempC), 5e-3)
		row.nearRelative("conductivity_W_mK", water.ConductivityWmK(tempC), 9e-4)
	}
}

func TestWaterBoilingAgainstIAPWS(t *testing.T) {
	for _, row := range readTable(t, "water_boiling.csv") {
		pressurePa := 1e6 * row.number("pressure_MPa_abs")
		// The table has three decimals.
		row.near("saturation_temperature_degC", physics.WaterBoilingPointC(pressurePa), 0.0006)
		row.near("saturation_temperature_degC", physics.Water().BoilingPointC(pressurePa), 0.0006)
		back := physics.WaterSaturationPressurePa(physics.WaterBoilingPointC(pressurePa))
		within(t, "pressure of the boiling point", back, pressurePa, pressurePa*1e-6)
	}
}

func TestSaturationPressureAgainstReleaseCheckValue(t *testing.T) {
	var file struct {
		Source string
		Cases  []struct {
			TempK      float64 `json:"T_K"`
			Saturation float64 `json:"saturation_MPa"`
		}
	}
	readJSON(t, "water_if97_checks.json", &file)
	for _, c := range file.Cases {
		if c.Saturation != 0 {
			within(t, file.Source, physics.WaterSaturationPressurePa(c.TempK-physics.ZeroCelsiusK), 1e6*c.Saturation, 1e-5)
		}
	}
}

// Melinder's own coefficients: the cases were computed from the same equation
// by other code, so only their printed digits limit the agreement.
func TestGlycolAgainstMelinderCases(t *testing.T) {
	var file struct {
		Cases []struct {
			MassFraction float64 `json:"mass_fraction"`
			TempC        float64 `json:"temperature_degC"`
			Density      float64 `json:"density_kg_m3"`
			SpecificHeat float64 `json:"specific_heat_J_kgK"`
			Conductivity float64 `json:"conductivity_W_mK"`
			Viscosity    float64 `json:"viscosity_mPa_s"`
		} `json:"cases"`
		Freezing []struct {
			MassFraction float64 `json:"mass_fraction"`
			FreezingC    float64 `json:"freezing_degC"`
		} `json:"freezing_cases"`
	}
	readJSON(t, "propylene_glycol_melinder_fit.json", &file)
	for _, c := range file.Cases {
		fluid := glycol(t, c.MassFraction)
		within(t, "density", fluid.DensityKgM3(c.TempC), c.Density, 0.001)
		within(t, "specific heat", fluid.SpecificHeatJKgK(c.TempC), c.SpecificHeat, 0.01)
		within(t, "conductivity", fluid.ConductivityWmK(c.TempC), c.Conductivity, 1e-5)
		within(t, "viscosity", 1000*fluid.ViscosityPaS(c.TempC), c.Viscosity, 1e-4)
	}
	for _, c := range file.Freezing {
		within(t, "freezing point", glycol(t, c.MassFraction).FreezingPointC(), c.FreezingC, 0.001)
	}
}

// The table as stored, summed term by term, against the folded polynomials:
// every coefficient over the whole range.
func TestGlycolAgainstMelinderCoefficients(t *testing.T) {
	type fit struct{ Coeffs [][]float64 }
	var file struct {
		BaseC        float64 `json:"Tbase_degC"`
		BaseFraction float64 `json:"xbase_mass_fraction"`
		Density      fit
		SpecificHeat fit `json:"specific_heat"`
		Conductivity fit
		Viscosity    fit
		FreezeK      fit `json:"T_freeze_K"`
	}
	readJSON(t, "propylene_glycol_melinder_fit.json", &file)
	sum := func(f fit, tempC, x float64) float64 {
		total := 0.0
		for i, row := range f.Coeffs {
			for j, c := range row {
				total += c * math.Pow(tempC-file.BaseC, float64(i)) * math.Pow(x-file.BaseFraction, float64(j))
			}
		}
		return total
	}
	for x := 0.05; x <= 0.6; x += 0.05 {
		fluid := glycol(t, x)
		low, high := fluid.TemperatureRangeC()
		within(t, "freezing point", low, sum(file.FreezeK, 0, x)-physics.ZeroCelsiusK, 1e-9)
		within(t, "upper end", high, 100, 0)
		for tempC := low; tempC <= high; tempC += 5 {
			within(t, "density", fluid.DensityKgM3(tempC), sum(file.Density, tempC, x), 1e-8)
			within(t, "specific heat", fluid.SpecificHeatJKgK(tempC), sum(file.SpecificHeat, tempC, x), 1e-8)
			within(t, "conductivity", fluid.ConductivityWmK(tempC), sum(file.Conductivity, tempC, x), 1e-12)
			within(t, "viscosity", math.Log(fluid.ViscosityPaS(tempC)), sum(file.Viscosity, tempC, x), 1e-12)
		}
	}
}

// Two sources: the functions follow Melinder (2010), the table is ASHRAE's.
// The tolerances are how far the two differ, and are what the doc comment of
// PropyleneGlycol states.
func TestGlycolAgainstASHRAE(t *testing.T) {
	for _, row := range readTable(t, "propylene_glycol_properties.csv") {
		mass, err := physics.MassFractionFromVolumePercent(row.number("volume_percent"))
		if err != nil {
			t.Fatal(err)
		}
		fluid, tempC := glycol(t, mass), row.number("temperature_degC")
		row.nearRelative("density_kg_m3", fluid.DensityKgM3(tempC), 0.007)
		row.nearRelative("specific_heat_J_kgK", fluid.SpecificHeatJKgK(tempC), 0.004)
		row.nearRelative("viscosity_mPa_s", 1000*fluid.ViscosityPaS(tempC), 0.17)
		row.nearRelative("conductivity_W_mK", fluid.ConductivityWmK(tempC), 0.055)
	}
}

func TestGlycolFreezingAgainstASHRAE(t *testing.T) {
	for _, row := range readTable(t, "propylene_glycol_freezing.csv") {
		volume, frozen := row.number("volume_percent"), row.number("freezing_point_degC")
		mass, err := physics.MassFractionFromVolumePercent(volume)
		if err != nil {
			t.Fatal(err)
		}
		row.near("mass_percent", 100*mass, 1e-9)
		if back, err := physics.VolumePercentFromMassFraction(mass); err != nil || math.Abs(back-volume) > 1e-9 {
			t.Errorf("%s: back to volume gives %g, %v", row.where, back, err)
		}
		// Melinder against ASHRAE: half a kelvin up to 40 %, one and a half beyond.
		tolerance := 0.6
		if mass > 0.4 {
			tolerance = 1.5
		}
		row.near("freezing_point_degC", glycol(t, mass).FreezingPointC(), tolerance)
		if needed, err := physics.GlycolVolumePercentForFreezing(frozen); err != nil || math.Abs(needed-volume) > 1e-9 {
			t.Errorf("%s: percent for that freezing point %g, %v", row.where, needed, err)
		}
	}
}

func TestGlycolBoilsLittleAboveWater(t *testing.T) {
	// Handbook figures from memory (102.2, 103.9, 105.6 degC at 30, 40, 50 % by
	// volume at sea level): plausibility only.
	for volume, boilsC := range map[float64]float64{30: 102.2, 40: 103.9, 50: 105.6} {
		mass, _ := physics.MassFractionFromVolumePercent(volume)
		within(t, "boiling point", glycol(t, mass).BoilingPointC(physics.StandardPressurePa), boilsC, 1)
	}
}

func glycol(t testing.TB, massFraction float64) physics.Fluid {
	t.Helper()
	fluid, err := physics.PropyleneGlycol(massFraction)
	if err != nil {
		t.Fatal(err)
	}
	return fluid
}
