package physics_test

import (
	"math"
	"testing"

	"sunstoker/physics"
)

// TestSolarVessel reckons both forms by hand, and lets the gas of the vessel that
// comes out take all of it by Boyle's law.
func TestSolarVessel(t *testing.T) {
	usual := physics.SolarVessel{ContentLitre: 14, SteamLitre: 5.9, PrechargeBar: 1.4, FillBar: 1.9, EndBar: 5.4}
	low := usual // as a vessel comes from the works whose gas nobody has set
	low.PrechargeBar = 0.5
	for _, c := range []struct {
		need physics.SolarVessel
		want float64
	}{
		{usual, (0.13*14 + 3 + 5.9) * 6.4 / 4.0},
		{low, (0.13*14 + 5.9) / (1.5/2.9 - 1.5/6.4)},
	} {
		got, err := c.need.Litre()
		if err != nil || math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%+v: %g l, %v, want %g l", c.need, got, err, c.want)
		}
		gas := physics.SealedGas{VolumeLitre: got, PrechargePaAbs: (c.need.PrechargeBar + 1) * physics.PascalPerBar}
		hot := gas.PressurePaAbs(gas.TakenLitre((c.need.FillBar+1)*physics.PascalPerBar)+c.need.GrowthLitre()+c.need.SteamLitre)/physics.PascalPerBar - 1
		if hot > c.need.EndBar+1e-9 {
			t.Errorf("%+v: %.2f bar in stagnation in %g l", c.need, hot, got)
		}
	}
	for _, wrong := range []physics.SolarVessel{{PrechargeBar: 1, FillBar: 1.5, EndBar: 5}, {ContentLitre: 14, PrechargeBar: 2, FillBar: 1.5, EndBar: 5}} {
		if litre, err := wrong.Litre(); err == nil {
			t.Errorf("%+v: %g l", wrong, litre)
		}
	}
}

// TestSolarVesselGrowthIsCautious: no fluid of the range grows by more, from the
// coldest to the hottest for which its density is known.
func TestSolarVesselGrowthIsCautious(t *testing.T) {
	fluids := []physics.Fluid{physics.Water()}
	for _, percent := range []float64{25, 40, 50} {
		fraction, err := physics.MassFractionFromVolumePercent(percent)
		if err != nil {
			t.Fatal(err)
		}
		fluid, err := physics.PropyleneGlycol(fraction)
		if err != nil {
			t.Fatal(err)
		}
		fluids = append(fluids, fluid)
	}
	for _, fluid := range fluids {
		low, high := fluid.TemperatureRangeC()
		if growth, err := fluid.ExpansionFraction(low, high); err != nil || growth > physics.SolarVesselGrowth {
			t.Errorf("%v from %g to %g °C: grows by %g, %v", fluid, low, high, growth, err)
		}
	}
}
