package physics_test

import (
	"math"
	"strings"
	"testing"

	"sunstoker/physics"
)

// Every function that returns an error must refuse what it cannot answer and
// name the figure that is wrong.
func TestBadInputIsRefused(t *testing.T) {
	nan := math.NaN()
	good := physics.Collector{Eta0: 0.78, A1WM2K: 3.8, A2WM2K2: 0.012, AreaM2: 4}
	inlet := physics.InletCollector{FRTauAlpha: 0.75, FRULWM2K: 4}
	cases := []struct {
		names string
		err   error
	}{
		{"glycol", second(physics.PropyleneGlycol(-0.01))},
		{"glycol", second(physics.PropyleneGlycol(nan))},
		{"glycol", second(physics.MassFractionFromVolumePercent(60.1))},
		{"glycol", second(physics.VolumePercentFromMassFraction(0.7))},
		{"freezing point", second(physics.GlycolVolumePercentForFreezing(-60))},
		{"freezing point", second(physics.GlycolVolumePercentForFreezing(5))},
		{"cold filling", second(physics.Water().ExpansionFraction(-5, 80))},
		{"hot filling", second(physics.Water().ExpansionFraction(80, 10))},
		{"fill pressure", second(physics.FilledVesselLitre(5, 1.5, 1, 5))},
		{"end pressure", second(physics.FilledVesselLitre(5, 1, 1.5, 1.5))},
		{"eta0", physics.Collector{Eta0: 1.2, AreaM2: 1}.Validate()},
		{"area", physics.Collector{Eta0: 0.7}.Validate()},
		{"irradiance", second(good.Efficiency(0, 40, 20))},
		{"capacity rate", second(good.InletForm(0, 10))},
		{"effectiveness", second(inlet.LoopExchangerFactor(4, 190, 190, 0))},
		{"smaller capacity rate", second(inlet.LoopExchangerFactor(4, 190, 200, 0.5))},
		{"stagnation test", second(physics.StagnationFromTest(0, 20, 170, 1000, 30))},
		{"stagnation temperature", second(physics.StagnationFromTest(900, 20, 10, 1000, 30))},
		{"50 degrees", second(physics.B0FromK50(1.1))},
		{"tilt", physics.Plane{TiltDeg: 95}.Validate()},
		{"azimuth", physics.Plane{AzimuthDeg: -10}.Validate()},
		{"month", second(physics.MonthMeanDay(13))},
		{"tank volume", second(physics.StandingLossLimitClassCW(0))},
		{"end pressure", second(physics.VesselNeed{ContentLitre: 20, PrechargeBar: 3, EndBar: 3}.VesselLitre())},
		{"content of the loop", second(physics.VesselNeed{PrechargeBar: 1, EndBar: 3}.VesselLitre())},
		{"mean air temperature", physics.MainsWater{MeanAirC: 45}.Validate()},
		{"clearness", second(physics.DailyUtilizability(0.1, 1, 0.3))},
		{"diameter of the pipe", second(physics.PipeLossWMK(0, 0.013, 0.04, 10))},
		{"conductivity of the insulation", second(physics.PipeLossWMK(0.022, 0.013, 0, 10))},
		{"heat transfer of the surface", second(physics.PipeLossWMK(0.022, 0.013, 0.04, nan))},
		{"thickness", second(physics.PipeLossWMK(0.022, nan, 0.04, 10))},
		{"critical ratio", second(physics.HourlyUtilizability(-1, 1, 0.5, 40, 0))},
		{"loss ratio", second(physics.ChartFraction(20, 1))},
		{"gain ratio", second(physics.ChartFraction(2, 3.5))},
		{"litres per m2", second(physics.StoreVolumeCorrection(20))},
		{"delivered water", second(physics.HotWaterCorrection(20, 10, 10))},
		{"wanted temperature", second(physics.ConvertLitres(100, 60, 5, 10))},
		{"start difference", second(physics.LargestStableStopDifferenceK(nan, 4, inlet, 1, 190))},
		{"loss constant", second(physics.LargestStableStopDifferenceK(8, 4, physics.InletCollector{}, 1, 190))},
	}
	for i, c := range cases {
		switch {
		case c.err == nil:
			t.Errorf("case %d (%s) gives no error", i, c.names)
		case !strings.Contains(c.err.Error(), c.names) || !strings.Contains(c.err.Error(), "give a"):
			t.Errorf("case %d: %q neither names %q nor says what to give", i, c.err, c.names)
		}
	}
}

// Out of range a figure without an error is a clamp that its comment names: never a
// number without meaning.
func TestClampsAreAsDescribed(t *testing.T) {
	inf := math.Inf(1)
	water := physics.Water()
	for name, c := range map[string]struct{ got, want float64 }{
		"pipe without a bore":              {water.PipeFrictionPa(0.02, 0, 10, 40), inf},
		"pipe without a bore, backwards":   {water.PipeFrictionPa(-0.02, 0, 10, 40), -inf},
		"pipe without a bore, still":       {water.PipeFrictionPa(0, 0, 10, 40), 0},
		"pipe of no length":                {water.PipeFrictionPa(0.02, 0.02, -1, 40), 0},
		"Reynolds of a pipe without bore":  {water.Reynolds(0.02, 0, 40), inf},
		"ring without flow":                {physics.CirculationDropK(10, 20, 0), inf},
		"pipe that would gain heat":        {physics.PipeOutletC(60, 15, -0.3, 10, 100), 60},
		"no content":                       {physics.PipeContentLitre(-0.02, 10), 0},
		"nothing to wait for":              {physics.PipeDelayS(-3, 5), 0},
		"no heat capacity":                 {physics.CooledC(60, 20, 100, 0), 20},
		"before the start":                 {physics.CooledC(60, 20, -100, 50), 60},
		"no tank":                          {physics.TankAfterDrawC(60, 10, 0, 5), 10},
		"no water to mix":                  {physics.MixedC(0, 60, 0, 10), 60},
		"less than no water to mix":        {physics.MixedC(2, 60, -1, 10), 60},
		"gain for a loss":                  {physics.LossConductanceWK(-45), 0},
		"layers that touch":                {physics.ConductionConductanceWK(0.6, 0.2, 0), inf},
		"column of no height":              {physics.LayerDecay(1.5e-7, 0, 100), 0},
		"no fluid":                         {physics.FlowAtFixedLoss(4e-4, 1, 500, 0, 2e-4, 4180, 20), 0},
		"no resistance":                    {physics.LaminarFlowKgS(4e-4, 1, 500, 990, 4180, 0), 0},
		"no vessel":                        {physics.SealedGas{PrechargePaAbs: 2e5}.PressurePaAbs(3), 2e5},
		"nothing in no vessel":             {physics.SealedGas{PrechargePaAbs: 2e5}.TakenLitre(3e5), 0},
		"valve that would suck":            {physics.VesselEndBar(-2), 0},
		"refraction without air":           {physics.RefractionDeg(10, -5e4, 15), 0},
		"day length beyond the tropics":    {physics.DayLengthHours(45, 80) - physics.DayLengthHours(45, 23.46), 0},
		"glass that would shine":           {physics.Glass{RefractiveIndex: 1.5, ExtinctionPerM: -40, ThicknessM: 0.002}.AngleModifier(60) - physics.Glass{RefractiveIndex: 1.5}.AngleModifier(60), 0},
		"clear sky above the last station": {physics.ClearSkyIneichen(30, 0.8, 3, 4000, 1367).GlobalHorizontalWM2 - physics.ClearSkyIneichen(30, 0.8, 3, 2000, 1367).GlobalHorizontalWM2, 0},
	} {
		if c.got != c.want {
			t.Errorf("%s: %g, want %g", name, c.got, c.want)
		}
	}
	layers := []float64{60, 20}
	if physics.MixInversions(layers, []float64{10, 0}) || layers[0] != 60 {
		t.Errorf("layers without mass were mixed: %v", layers)
	}
}

func second[T any](_ T, err error) error { return err }

// Without flow, heat or surface the formulas have plain answers, not NaN.
func TestStillLoop(t *testing.T) {
	within(t, "still exchanger", physics.ExchangerHeatW(physics.CounterFlow, 300, 0, 200, 60, 40), 0, 0)
	within(t, "still coil", physics.CoilEffectiveness(300, 0), 1, 0)
	within(t, "no coil", physics.CoilEffectiveness(0, 190), 0, 0)
	within(t, "still pipe", physics.PipeOutletC(60, 15, 0.3, 10, 0), 15, 0)
	within(t, "no heat, no flow", physics.FlowAtFixedLoss(4e-4, 1, 0, 990, 2e-4, 4180, 20), 0, 0)
	within(t, "upside down", physics.LaminarFlowKgS(4e-4, -1, 500, 990, 4180, 1e4), 0, 0)
	if delay := physics.PipeDelayS(3, 0); !math.IsInf(delay, 1) {
		t.Errorf("without flow one waits %g s, want +Inf", delay)
	}
	within(t, "empty vessel", physics.SealedGas{VolumeLitre: 18, PrechargePaAbs: 2e5}.PressurePaAbs(-3), 2e5, 0)
	within(t, "full vessel", physics.SealedGas{VolumeLitre: 18, PrechargePaAbs: 2e5}.PressurePaAbs(30), 2e7, 1e-3)
	within(t, "zero fluid is water", physics.Fluid{}.DensityKgM3(20), physics.Water().DensityKgM3(20), 0)
	within(t, "no layers passed", physics.MixedLayersOutletShare(5, 0), 0, 1e-12)
	within(t, "many layers", physics.MixedLayersOutletShare(500, 1), 0.5, 0.02)
}
