package physics_test

import (
	"fmt"
	"time"

	"sunstoker/physics"
)

func ExamplePropyleneGlycol() {
	massFraction, err := physics.MassFractionFromVolumePercent(40)
	if err != nil {
		fmt.Println(err)
		return
	}
	fluid, err := physics.PropyleneGlycol(massFraction)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(fluid)
	fmt.Printf("freezes at %.0f degC, carries %.0f J/(kg K) at 60 degC\n", fluid.FreezingPointC(), fluid.SpecificHeatJKgK(60))

	_, err = physics.PropyleneGlycol(40)
	fmt.Println(err)
	// Output:
	// propylene glycol 40.4 % by mass in water
	// freezes at -21 degC, carries 3828 J/(kg K) at 60 degC
	// propylene glycol mass fraction is 40 (by mass); give a value from 0 to 0.6 (by mass)
}

func ExampleCollector() {
	collector := physics.Collector{Eta0: 0.78, A1WM2K: 3.8, A2WM2K2: 0.012, AreaM2: 4}
	fmt.Printf("%.0f W at 60 degC, %.0f degC when the flow stops\n",
		collector.OutputW(1000, 60, 20), collector.StagnationC(1000, 30))
	// Output: 2435 W at 60 degC, 172 degC when the flow stops
}

func ExampleSunAt() {
	sun := physics.SunAt(time.Date(2003, 10, 17, 19, 30, 30, 0, time.UTC), 39.742476, -105.1786)
	roof := physics.Plane{TiltDeg: 30, AzimuthDeg: 170}
	fmt.Printf("%.2f degrees up, azimuth %.2f, incidence %.1f\n", sun.ElevationDeg, sun.AzimuthDeg, roof.Incidence(sun))
	// Output: 39.87 degrees up, azimuth 194.34, incidence 25.2
}

func ExamplePlane_On() {
	sun := physics.SunPosition{ZenithDeg: 50, AzimuthDeg: 180}
	outside := physics.ExtraterrestrialNormalWM2(80)
	light := physics.SplitGlobal(600, sun.ZenithDeg, outside)
	roof := physics.Plane{TiltDeg: 45, AzimuthDeg: 180}
	onRoof := roof.On(light, sun, outside, 0.2, physics.SkyReindl)
	fmt.Printf("beam %.0f, sky %.0f, ground %.0f W/m2\n", onRoof.BeamWM2, onRoof.SkyWM2, onRoof.GroundWM2)
	// Output: beam 668, sky 205, ground 18 W/m2
}

func ExampleVesselNeed() {
	need := physics.VesselNeed{
		ContentLitre: 20, ExpansionFraction: 0.10, ReserveLitre: 3, SteamLitre: 4,
		PrechargeBar: physics.VesselPrechargeBar(8), EndBar: physics.VesselEndBar(6),
	}
	litres, err := need.VesselLitre()
	fmt.Printf("%.1f litres %v\n", litres, err)
	// Output: 14.0 litres <nil>
}

func ExampleHotLitres() {
	layersC, litres := []float64{20, 35, 50, 60}, []float64{50, 50, 50, 50}
	fmt.Printf("%.0f litres at 40 degC\n", physics.HotLitres(layersC, litres, 40, 10))
	// Output: 150 litres at 40 degC
}

func ExampleLargestStableStopDifferenceK() {
	collector := physics.InletCollector{FRTauAlpha: 0.74, FRULWM2K: 4}
	largest, err := physics.LargestStableStopDifferenceK(8, 4, collector, 0.5, 190)
	fmt.Printf("%.2f K %v\n", largest, err)
	// Output: 1.35 K <nil>
}
