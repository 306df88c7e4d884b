package physics_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"sunstoker/physics"
)

func finite(t *rapid.T, what string, values ...float64) {
	for _, value := range values {
		if math.IsNaN(value) || math.IsInf(value, 0) {
			t.Fatalf("%s is %g", what, value)
		}
	}
}

func between(t *rapid.T, what string, value, low, high float64) {
	if !(value >= low && value <= high) {
		t.Fatalf("%s is %g, want %g to %g", what, value, low, high)
	}
}

func draw(t *rapid.T, what string, low, high float64) float64 {
	return rapid.Float64Range(low, high).Draw(t, what)
}

func anyFluid(t *rapid.T) physics.Fluid {
	fluid, err := physics.PropyleneGlycol(draw(t, "mass fraction", 0, 0.6))
	if err != nil {
		t.Fatal(err)
	}
	if rapid.Bool().Draw(t, "water") {
		return physics.Water()
	}
	return fluid
}

func TestFluidsBehave(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		fluid := anyFluid(t)
		low, high := fluid.TemperatureRangeC()
		a := draw(t, "a", -300, 1000)
		between(t, "density", fluid.DensityKgM3(a), 850, 1100)
		between(t, "specific heat", fluid.SpecificHeatJKgK(a), 2800, 4500)
		between(t, "conductivity", fluid.ConductivityWmK(a), 0.2, 0.75)
		between(t, "viscosity", fluid.ViscosityPaS(a), 1e-4, 5)
		between(t, "boiling at the same pressure as water", fluid.BoilingPointC(1e5), physics.WaterBoilingPointC(1e5), 130)

		// From 5 degC on every mixture gets lighter and thinner as it warms.
		cool := draw(t, "cool", math.Max(low, 5), high-1)
		warm := draw(t, "warm", cool+0.01, high)
		if !(fluid.DensityKgM3(warm) < fluid.DensityKgM3(cool)) {
			t.Fatalf("%v is not lighter at %g than at %g degC", fluid, warm, cool)
		}
		if !(fluid.ViscosityPaS(warm) < fluid.ViscosityPaS(cool)) {
			t.Fatalf("%v is not thinner at %g than at %g degC", fluid, warm, cool)
		}
		if fluid.DensityKgM3(high+1) != fluid.DensityKgM3(high) || fluid.DensityKgM3(low-1) != fluid.DensityKgM3(low) {
			t.Fatalf("%v is not clamped at the ends of its range", fluid)
		}
	})
}

func TestMoreGlycolFreezesLaterAndBoilsLater(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		thin := draw(t, "thin", 0, 0.59)
		thick := draw(t, "thick", thin+0.005, 0.6)
		a, errA := physics.PropyleneGlycol(thin)
		b, errB := physics.PropyleneGlycol(thick)
		if errA != nil || errB != nil {
			t.Fatal(errA, errB)
		}
		if b.FreezingPointC() >= a.FreezingPointC() && a.FreezingPointC() < 0 {
			t.Fatalf("freezing %g at %g, %g at %g", a.FreezingPointC(), thin, b.FreezingPointC(), thick)
		}
		if b.BoilingPointC(2e5) <= a.BoilingPointC(2e5) {
			t.Fatal("more glycol boils sooner")
		}
	})
}

func TestBoilingRisesWithPressure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := draw(t, "low", 700, 2e7)
		if physics.WaterBoilingPointC(low) >= physics.WaterBoilingPointC(low*1.01) {
			t.Fatalf("boiling point does not rise at %g Pa", low)
		}
		back := physics.WaterSaturationPressurePa(physics.WaterBoilingPointC(low))
		between(t, "pressure back by pressure", back/low, 1-1e-6, 1+1e-6)
	})
}

func anyCollector(t *rapid.T) physics.Collector {
	return physics.Collector{
		Eta0: draw(t, "eta0", 0.3, 0.9), A1WM2K: draw(t, "a1", 0.5, 10), A2WM2K2: draw(t, "a2", 0, 0.05),
		AreaM2: draw(t, "area", 1, 50), B0: draw(t, "b0", 0, 0.3),
	}
}

func TestCollectorBehaves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		collector := anyCollector(t)
		sun, air := draw(t, "sun", 0, 1400), draw(t, "air", -40, 45)
		mean := draw(t, "mean", -40, 250)
		if collector.OutputWM2(sun, mean, air) <= collector.OutputWM2(sun, mean+1, air) {
			t.Fatal("a warmer collector gives more")
		}
		stagnation := collector.StagnationC(sun, air)
		between(t, "stagnation above air", stagnation-air, 0, 3000)
		between(t, "output at stagnation", collector.OutputWM2(sun, stagnation, air), -1e-6, 1e-6)
		if collector.StagnationC(sun+10, air) <= stagnation {
			t.Fatal("more sun stagnates cooler")
		}
		between(t, "modifier", collector.BeamModifier(draw(t, "incidence", -180, 180)), 0, 1)
		between(t, "glass", physics.SolarGlass.AngleModifier(draw(t, "angle", -180, 180)), 0, 1.0001)
	})
}

func anySun(t *rapid.T) physics.SunPosition {
	return physics.SunPosition{ZenithDeg: draw(t, "zenith", 0, 180), AzimuthDeg: draw(t, "azimuth", 0, 360)}
}

func TestLightOnAPlaneBehaves(t *testing.T) {
	models := []physics.SkyModel{physics.SkyIsotropic, physics.SkyHayDavies, physics.SkyReindl}
	rapid.Check(t, func(t *rapid.T) {
		sun := anySun(t)
		light := physics.SplitGlobal(draw(t, "global", 0, 1400), sun.ZenithDeg, 1367)
		model := rapid.SampledFrom(models).Draw(t, "model")
		plane := physics.Plane{TiltDeg: draw(t, "tilt", 0, 90), AzimuthDeg: draw(t, "facing", 0, 360)}
		got := plane.On(light, sun, 1367, 0.2, model)
		between(t, "beam", got.BeamWM2, 0, light.BeamNormalWM2)
		between(t, "beam and the ring around it", got.BeamWM2+got.SkyWM2, 0, 1367+1.36*light.DiffuseHorizontalWM2)
		between(t, "ground", got.GroundWM2, 0, light.GlobalHorizontalWM2)
		between(t, "total less parts", got.TotalWM2()-got.BeamWM2-got.SkyWM2-got.GroundWM2, -1e-9, 1e-9)

		// Every model must give back the global light on a level plane.
		level := physics.Plane{}.On(light, sun, 1367, 0.2, model)
		between(t, "level less global", level.TotalWM2()-light.GlobalHorizontalWM2, -1e-6, 1e-6)
	})
}

func TestSplitsClose(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		zenith := draw(t, "zenith", 0, 180)
		cosZenith := math.Cos(zenith * math.Pi / 180)
		for _, light := range []physics.Irradiance{
			physics.SplitGlobal(draw(t, "global", -10, 2000), zenith, 1367),
			physics.ClearSkyIneichen(zenith, physics.AirMass(zenith), draw(t, "haze", 1, 10), draw(t, "altitude", 0, 4000), 1367),
		} {
			between(t, "beam", light.BeamNormalWM2, 0, 1367)
			between(t, "diffuse", light.DiffuseHorizontalWM2, 0, 2000)
			gap := light.GlobalHorizontalWM2 - light.DiffuseHorizontalWM2 - light.BeamNormalWM2*math.Max(cosZenith, 0)
			between(t, "global less its parts", gap, -1e-6, 1e-6)
		}
	})
}

func TestSunStaysOnTheSky(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		instant := time.Unix(rapid.Int64Range(-3e9, 6e9).Draw(t, "unix"), 0)
		latitude, longitude := draw(t, "latitude", -90, 90), draw(t, "longitude", -180, 180)
		sun := physics.SunAt(instant, latitude, longitude)
		between(t, "elevation", sun.ElevationDeg, -90.01, 90)
		between(t, "azimuth", sun.AzimuthDeg, 0, 360)
		between(t, "declination", sun.DeclinationDeg, -23.5, 23.5)
		between(t, "distance", sun.DistanceAU, 0.982, 1.018)
		between(t, "noon elevation bound", sun.ElevationDeg, -90.01, 90-math.Abs(latitude-sun.DeclinationDeg)+0.01)
		between(t, "refraction", sun.ApparentElevationDeg(101325, 15)-sun.ElevationDeg, -0.001, 0.7)
	})
}

func TestSunDayIsInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		date := time.Date(2026, 1, rapid.IntRange(1, 365).Draw(t, "day"), 0, 0, 0, 0, time.UTC)
		latitude, longitude := draw(t, "latitude", -90, 90), draw(t, "longitude", -180, 180)
		day := physics.SunDayOn(date.Year(), date.Month(), date.Day(), latitude, longitude)
		twelve := date.Add(12*time.Hour - time.Duration(longitude/15*float64(time.Hour)))
		if day.Noon.Sub(twelve).Abs() > 17*time.Minute {
			t.Fatalf("noon at %v, mean noon %v", day.Noon, twelve)
		}
		if day.Kind == physics.SunRisesAndSets && !(day.Sunrise.Before(day.Noon) && day.Noon.Before(day.Sunset)) {
			t.Fatalf("rise %v, noon %v, set %v", day.Sunrise, day.Noon, day.Sunset)
		}
		if day.Kind == physics.SunNeverUp && day.NoonElevationDeg > -0.8 {
			t.Fatalf("never up, but at noon %g degrees high", day.NoonElevationDeg)
		}
	})
}

func TestEffectivenessBehaves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		units, ratio := draw(t, "units", 0, 50), draw(t, "ratio", 0, 1)
		counter := physics.CounterFlow.Effectiveness(units, ratio)
		for _, a := range []physics.FlowArrangement{physics.CounterFlow, physics.ParallelFlow, physics.CrossFlowUnmixed, physics.OneSideConstant} {
			one := a.Effectiveness(units, ratio)
			between(t, a.String(), one, 0, 1)
			between(t, a.String()+" with more surface", a.Effectiveness(units*1.1, ratio), one-1e-12, 1)
		}
		between(t, "parallel against counter", physics.ParallelFlow.Effectiveness(units, ratio), 0, counter+1e-9)
		between(t, "counter against a coil", counter, 0, physics.OneSideConstant.Effectiveness(units, 0)+1e-12)
	})
}

func TestMixingKeepsHeatAndOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		temps := rapid.SliceOfN(rapid.Float64Range(5, 95), 1, 20).Draw(t, "temps")
		masses := rapid.SliceOfN(rapid.Float64Range(1, 100), len(temps), len(temps)).Draw(t, "masses")
		heat := dot(temps, masses)
		inverted := !slices.IsSorted(temps)
		if mixed := physics.MixInversions(temps, masses); mixed != inverted {
			t.Fatalf("mixed is %v, inverted was %v", mixed, inverted)
		}
		for i := 1; i < len(temps); i++ {
			between(t, "layer above", temps[i]-temps[i-1], -1e-9, 100)
		}
		between(t, "heat by heat before", dot(temps, masses)/heat, 1-1e-12, 1+1e-12)
	})
}

func TestDrawsKeepHeat(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		temps := rapid.SliceOfN(rapid.Float64Range(5, 95), 1, 12).Draw(t, "temps")
		masses := rapid.SliceOfN(rapid.Float64Range(1, 100), len(temps), len(temps)).Draw(t, "masses")
		drawn, cold := draw(t, "drawn", 0, 300), draw(t, "cold", 5, 20)
		before := dot(temps, masses)
		out := physics.PushUp(temps, masses, drawn, cold)
		between(t, "delivered", out, 5-1e-9, 95+1e-9)
		gap := before + drawn*cold - drawn*out - dot(temps, masses)
		between(t, "heat before less after", gap/before, -1e-10, 1e-10)
	})
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

func TestTankStepsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		start, air := draw(t, "start", 5, 95), draw(t, "air", -10, 40)
		heat, loss := draw(t, "heat", -3000, 3000), draw(t, "loss", 0, 10)
		first, second := draw(t, "first", 0, 1e5), draw(t, "second", 0, 1e5)
		once := physics.TankAfterC(start, air, 8e5, loss, heat, first+second)
		twice := physics.TankAfterC(physics.TankAfterC(start, air, 8e5, loss, heat, first), air, 8e5, loss, heat, second)
		between(t, "one step less two", once-twice, -1e-6, 1e-6)
	})
}

func TestPipesBehave(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		fluid, tempC := anyFluid(t), draw(t, "temp", -20, 120)
		flow, inner := draw(t, "flow", 1e-5, 1), draw(t, "inner", 0.006, 0.06)
		loss := fluid.PipeFrictionPa(flow, inner, 10, tempC)
		finite(t, "friction", loss)
		if !(loss > 0 && fluid.PipeFrictionPa(flow*1.01, inner, 10, tempC) > loss) {
			t.Fatalf("friction %g Pa does not rise with the flow", loss)
		}
		outlet := physics.PipeOutletC(70, 10, draw(t, "loss", 0, 1), 20, flow*4000)
		between(t, "outlet", outlet, 10, 70)
	})
}

func TestMonthlyMethodsBehave(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, y := draw(t, "x", 0, 17), draw(t, "y", 0, 2.9)
		f, err := physics.ChartFraction(x, y)
		more, err2 := physics.ChartFraction(x, y+0.1)
		lossier, err3 := physics.ChartFraction(x+1, y)
		if err != nil || err2 != nil || err3 != nil {
			t.Fatal(err, err2, err3)
		}
		between(t, "fraction with more sun", more, f, 1)
		between(t, "fraction with more loss", lossier, 0, f)

		clearness, noon := draw(t, "clearness", 0.3, 0.75), draw(t, "noon ratio", 0.5, 2)
		critical := draw(t, "critical", 0, 3)
		low, err := physics.DailyUtilizability(clearness, noon, critical)
		high, err2 := physics.DailyUtilizability(clearness, noon, critical+0.1)
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		between(t, "utilizability", low, 0, 1)
		between(t, "utilizability at a higher level", high, 0, low)

		hour, err := physics.HourlyUtilizability(critical, draw(t, "hour ratio", 0.1, 10), draw(t, "kt", 0.2, 0.8),
			draw(t, "tilt", 0, 90), draw(t, "declination", -23.45, 23.45))
		if err != nil {
			t.Fatal(err)
		}
		between(t, "hourly utilizability", hour, 0, 1)
	})
}

func TestHeatKillsAndHurtsFasterWhenHotter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tempC := draw(t, "temp", 20, 95)
		if physics.DecimalReductionMinutes(tempC) < physics.DecimalReductionMinutes(tempC+0.5) {
			t.Fatalf("germs live longer above %g degC", tempC)
		}
		if physics.CautiousDecimalReductionMinutes(tempC) < physics.DecimalReductionMinutes(tempC) {
			t.Fatalf("the cautious figure is the shorter one at %g degC", tempC)
		}
		second, full := physics.ScaldSeconds(tempC)
		hotterSecond, hotterFull := physics.ScaldSeconds(tempC + 0.5)
		if hotterSecond > second || hotterFull > full || second > full {
			t.Fatalf("scald times out of order at %g degC: %g %g %g %g", tempC, second, full, hotterSecond, hotterFull)
		}
	})
}

func TestMainsAndAirBehave(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mains := physics.MainsWater{MeanAirC: draw(t, "mean", -60, 60), AirSwingK: draw(t, "swing", -10, 100), Southern: rapid.Bool().Draw(t, "southern")}
		between(t, "mains", mains.TemperatureC(draw(t, "day", -1000, 1000)), 1, 65)
		altitude := draw(t, "altitude", -1000, 12000)
		if physics.AirPressurePa(altitude+10) > physics.AirPressurePa(altitude) {
			t.Fatal("the air is denser higher up")
		}
	})
}
