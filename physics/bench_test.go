package physics_test

import (
	"testing"
	"time"

	"sunstoker/physics"
)

// hotPaths are the functions a simulator calls every step.
func hotPaths(t testing.TB) map[string]func() float64 {
	fluid := glycol(t, 0.4)
	collector := physics.Collector{Eta0: 0.78, A1WM2K: 3.8, A2WM2K2: 0.012, AreaM2: 4, B0: 0.1}
	plane := physics.Plane{TiltDeg: 45, AzimuthDeg: 180}
	instant := time.Date(2026, 6, 21, 11, 0, 0, 0, time.UTC)
	sun := physics.SunAt(instant, 45, 8)
	light := physics.Irradiance{GlobalHorizontalWM2: 800, BeamNormalWM2: 700, DiffuseHorizontalWM2: 150}
	temps, masses := []float64{20, 40, 30, 50, 45, 60}, []float64{30, 30, 30, 30, 30, 30}
	legs := []physics.LoopLeg{{RiseM: 1.5, MeanC: 40}, {RiseM: 1, MeanC: 50}, {RiseM: -2.5, MeanC: 30}}
	work := make([]float64, len(temps))
	return map[string]func() float64{
		"density":          func() float64 { return fluid.DensityKgM3(55) },
		"viscosity":        func() float64 { return fluid.ViscosityPaS(55) },
		"boiling":          func() float64 { return fluid.BoilingPointC(3e5) },
		"collector output": func() float64 { return collector.OutputW(800, 55, 15) },
		"beam modifier":    func() float64 { return collector.BeamModifier(40) },
		"glass modifier":   func() float64 { return physics.SolarGlass.AngleModifier(40) },
		"sun":              func() float64 { return physics.SunAt(instant, 45, 8).ElevationDeg },
		"light on a plane": func() float64 { return plane.On(light, sun, 1330, 0.2, physics.SkyReindl).SkyWM2 },
		"split":            func() float64 { return physics.SplitGlobal(800, sun.ZenithDeg, 1330).BeamNormalWM2 },
		"exchanger":        func() float64 { return physics.ExchangerHeatW(physics.CounterFlow, 300, 190, 200, 65, 45) },
		"tank step":        func() float64 { return physics.TankAfterC(60, 20, 8e5, 1.8, 500, 60) },
		"mixing": func() float64 {
			copy(work, temps)
			physics.MixInversions(work, masses)
			return work[0]
		},
		"push up": func() float64 {
			copy(work, temps)
			return physics.PushUp(work, masses, 5, 10)
		},
		"pipe friction":  func() float64 { return fluid.PipeFrictionPa(0.05, 0.016, 20, 55) },
		"driving":        func() float64 { return fluid.DrivingPressurePa(legs) },
		"vessel":         func() float64 { return physics.SealedGas{VolumeLitre: 18, PrechargePaAbs: 2e5}.PressurePaAbs(5) },
		"hot litres":     func() float64 { return physics.HotLitres(temps, masses, 40, 10) },
		"germ reduction": func() float64 { return physics.CautiousDecimalReductionMinutes(57) },
	}
}

var sink float64

func TestHotPathsDoNotAllocate(t *testing.T) {
	for name, step := range hotPaths(t) {
		if allocations := testing.AllocsPerRun(100, func() { sink += step() }); allocations != 0 {
			t.Errorf("%s allocates %g times a call", name, allocations)
		}
	}
}

func BenchmarkHotPaths(b *testing.B) {
	for name, step := range hotPaths(b) {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				sink += step()
			}
		})
	}
}
