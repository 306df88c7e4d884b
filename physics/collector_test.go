package physics_test

import (
	"math"
	"testing"

	"sunstoker/physics"
)

func tableCollector(row tableRow) physics.Collector {
	return physics.Collector{
		Eta0: row.number("eta0"), A1WM2K: row.number("a1_W_m2K"), A2WM2K2: row.number("a2_W_m2K2"), AreaM2: 1,
	}
}

func TestCollectorOutput(t *testing.T) {
	for _, row := range readTable(t, "collector_efficiency.csv") {
		collector := tableCollector(row)
		sun, ambient, mean := row.number("irradiance_W_m2"), row.number("ambient_degC"), row.number("mean_fluid_degC")
		row.near("output_W_m2", collector.OutputWM2(sun, mean, ambient), 0.0005)
		efficiency, err := collector.Efficiency(sun, mean, ambient)
		if err != nil {
			t.Fatal(err)
		}
		row.near("efficiency", efficiency, 5e-7)
	}
}

func TestStagnation(t *testing.T) {
	for _, row := range readTable(t, "stagnation.csv") {
		collector := tableCollector(row)
		sun, ambient := row.number("irradiance_W_m2"), row.number("ambient_degC")
		row.near("stagnation_degC", collector.StagnationC(sun, ambient), 0.0006)
		within(t, "output at stagnation", collector.OutputWM2(sun, collector.StagnationC(sun, ambient), ambient), 0, 1e-9)
	}
	linear := physics.Collector{Eta0: 0.8, A1WM2K: 4, AreaM2: 1}
	within(t, "stagnation without a2", linear.StagnationC(1000, 30), 230, 1e-9)
	if got := (physics.Collector{Eta0: 0.8}).StagnationC(1000, 30); !math.IsInf(got, 1) {
		t.Errorf("a collector without loss stagnates at %g, want +Inf", got)
	}
}

type collectorTextbook struct {
	Cases []struct {
		Tau, Alpha float64
		UL         float64 `json:"UL_Btu_h_ft2_F"`
		FR         float64
		G          float64 `json:"G_Btu_h_ft2"`
		TaF        float64 `json:"Ta_F"`
		TiF        float64 `json:"Ti_F"`
		TiC        float64 `json:"Ti_degC"`
		Efficiency float64
	}
	Stagnation struct {
		Case struct {
			Gm, Gs float64
			Tam    float64 `json:"t_am"`
			Tsm    float64 `json:"t_sm"`
			Tas    float64 `json:"t_as"`
			Tstg   float64 `json:"t_stg"`
		}
	} `json:"stagnation_extrapolation"`
	Angle struct{ K50, B0 float64 } `json:"iam_b0_from_K50"`
	Forms struct {
		Case struct {
			AreaM2  float64 `json:"A_m2"`
			A1      float64
			FlowKgS float64 `json:"m_kg_s"`
			Cp      float64
			Ratio   float64
		}
	} `json:"mean_and_inlet_forms"`
	Critical struct {
		Case struct {
			FRUL       float64 `json:"FR_UL"`
			FRTauAlpha float64 `json:"FR_tau_alpha"`
			Ti, Ta     float64
			G          float64 `json:"G_c_W_m2"`
		}
	} `json:"critical_irradiance"`
}

func TestCollectorTextbook(t *testing.T) {
	var book collectorTextbook
	readJSON(t, "collector_textbook.json", &book)

	// Cengel problem 4-22, in its own units: 1 Btu/(h ft2 F) = 5.678263 W/(m2 K),
	// 1 Btu/(h ft2) = 3.154591 W/m2.
	problem := book.Cases[0]
	collector := physics.InletCollector{
		FRTauAlpha: problem.FR * problem.Tau * problem.Alpha, FRULWM2K: problem.FR * problem.UL * 5.678263,
	}
	sun, ambient := problem.G*3.154591, celsius(problem.TaF)
	within(t, "Cengel 4-22 efficiency", collector.OutputWM2(sun, celsius(problem.TiF), ambient)/sun, problem.Efficiency, 1e-4)
	within(t, "Cengel 4-22 balance", collector.CriticalIrradianceWM2(book.Cases[1].TiC, ambient), sun, 0.1)

	// Koffi et al. (2014) constants in Duffie and Beckman eq. 6.8.2.
	critical := book.Critical.Case
	measured := physics.InletCollector{FRTauAlpha: critical.FRTauAlpha, FRULWM2K: critical.FRUL}
	within(t, "critical irradiance", measured.CriticalIrradianceWM2(critical.Ti, critical.Ta), critical.G, 0.0006)
	within(t, "no loss, no critical irradiance", measured.CriticalIrradianceWM2(10, 15), 0, 0)

	test := book.Stagnation.Case
	carried, err := physics.StagnationFromTest(test.Gm, test.Tam, test.Tsm, test.Gs, test.Tas)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "stagnation from a test", carried, test.Tstg, 0.0006)

	b0, err := physics.B0FromK50(book.Angle.K50)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "b0", b0, book.Angle.B0, 1e-5)
	within(t, "back to 50 degrees", physics.AngleModifierB0(b0, 50), book.Angle.K50, 1e-12)

	forms := book.Forms.Case
	inlet, err := physics.Collector{Eta0: 0.78, A1WM2K: forms.A1, AreaM2: forms.AreaM2}.InletForm(forms.FlowKgS*forms.Cp, 0)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "inlet form", inlet.FRULWM2K/forms.A1, forms.Ratio, 1e-5)
	within(t, "inlet form", inlet.FRTauAlpha/0.78, forms.Ratio, 1e-5)
}

// The two forms must agree on the heat: Tm = Ti + Qu/(2 m cp).
func TestInletFormGivesTheSameHeat(t *testing.T) {
	collector := physics.Collector{Eta0: 0.78, A1WM2K: 3.8, AreaM2: 4}
	inlet, err := collector.InletForm(190, 0)
	if err != nil {
		t.Fatal(err)
	}
	heat := collector.AreaM2 * inlet.OutputWM2(800, 40, 10)
	within(t, "heat", collector.OutputW(800, 40+heat/(2*190), 10), heat, 1e-6)
}

func TestLoopExchangerFactor(t *testing.T) {
	collector := physics.InletCollector{FRTauAlpha: 0.75, FRULWM2K: 4}
	perfect, err := collector.LoopExchangerFactor(4, 190, 190, 1)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "a perfect exchanger costs nothing", perfect, 1, 1e-12)
	// Balance of heat with a coil of effectiveness 0.5: the loop runs warmer by
	// Q/(m cp) (1/eps - 1).
	factor, err := collector.LoopExchangerFactor(4, 190, 190, 0.5)
	if err != nil {
		t.Fatal(err)
	}
	heat := factor * 4 * collector.OutputWM2(800, 45, 15)
	inletC := 45 + heat/190*(1/0.5-1)
	within(t, "heat through the coil", 4*collector.OutputWM2(800, inletC, 15), heat, 1e-6)
}

func TestAngleModifiers(t *testing.T) {
	b0 := map[string]float64{"b0=0.05": 0.05, "b0=0.10": 0.10}
	for _, row := range readTable(t, "incidence_angle_modifier.csv") {
		angle := row.number("incidence_deg")
		if row.text("model") == "ashrae" {
			row.near("modifier", physics.Collector{B0: b0[row.text("parameters")]}.BeamModifier(angle), 1e-6)
			continue
		}
		row.near("modifier", physics.SolarGlass.AngleModifier(angle), 1e-8)
	}
}

func TestDiffuseAngles(t *testing.T) {
	var file struct {
		Cases []struct {
			Slope  float64 `json:"slope_deg"`
			Sky    float64 `json:"sky_deg"`
			Ground float64 `json:"ground_deg"`
		}
	}
	readJSON(t, "diffuse_equivalent_angles.json", &file)
	for _, c := range file.Cases {
		within(t, "sky", physics.DiffuseSkyAngleDeg(c.Slope), c.Sky, 6e-5)
		within(t, "ground", physics.DiffuseGroundAngleDeg(c.Slope), c.Ground, 6e-5)
	}
}

func celsius(fahrenheit float64) float64 { return (fahrenheit - 32) / 1.8 }
