package plant

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// bare is a tank of the given layers, bottom first.
func bare(t testing.TB, layersC []float64) *tank {
	t.Helper()
	c := Typical()
	c.Layers = len(layersC)
	c.TankUAWK, c.TankConductivityWmK = 0, 0
	tk := newTank(c)
	copy(tk.tempC[1:], layersC)
	tk.tempC[0] = tk.tempC[1]
	return &tk
}

type stratified struct {
	InversionMixing []struct {
		MassKg []float64 `json:"mass_kg"`
		Before []float64 `json:"before_degC"`
		After  []float64 `json:"after_degC"`
	} `json:"inversion_mixing"`
	PlugFlow struct {
		Before    []float64 `json:"before_degC"`
		ColdC     float64   `json:"cold_degC"`
		After     []float64 `json:"after_degC"`
		Delivered float64   `json:"delivered_degC"`
	} `json:"plug_flow"`
	Conduction struct {
		Alpha      float64   `json:"alpha_m2_s"`
		HeightM    float64   `json:"H_m"`
		MeanC      float64   `json:"Tm"`
		AmplitudeK float64   `json:"A"`
		Discrete   []float64 `json:"discrete_N10_amplitude_K"`
		Cases      []struct {
			Days       float64 `json:"days"`
			AmplitudeK float64 `json:"amplitude_K"`
		} `json:"cases"`
	} `json:"conduction"`
}

func readStratified(t *testing.T) (s stratified) {
	t.Helper()
	readJSON(t, "tank_stratified.json", &s)
	return s
}

// Source: exact consequence of the heat balance, in the file.
func TestDrawOfOneLayerIsExactPlugFlow(t *testing.T) {
	f := readStratified(t).PlugFlow
	for _, parts := range []int{1, 7, 1000} {
		tk := bare(t, f.Before)
		litres := tk.layerJK / WaterJKgK
		for range parts {
			got, _ := tk.tap(Draw{Litres: litres / float64(parts), TapC: 99}, f.ColdC, 99)
			near(t, "delivered", got.MeanC, f.Delivered, 1e-9)
		}
		for k, want := range f.After {
			near(t, "layer", tk.tempC[k+1], want, 1e-6)
		}
	}
}

// A whole tank is delivered at its own temperature, to the last layer.
func TestPlugFlowDeliversTheWholeTankHot(t *testing.T) {
	tk := bare(t, []float64{60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 60})
	got, _ := tk.tap(Draw{Litres: 300, TapC: 99}, 10, 99)
	near(t, "delivered", got.MeanC, 60, 1e-6)
	near(t, "left in the tank", tk.hottestC(), 10, 1e-6)
}

// Source: exact, in the file; equal layers only, as the tank has them. Unequal
// ones are the partial cells of TestMixingKeepsHeatAndOrders.
func TestInversionMixing(t *testing.T) {
	tried := 0
	for _, c := range readStratified(t).InversionMixing {
		equal := true
		for _, m := range c.MassKg {
			equal = equal && m == c.MassKg[0]
		}
		if !equal {
			continue
		}
		tried++
		tk := bare(t, c.Before)
		tk.mixInversions()
		for k, want := range c.After {
			near(t, "mixed layer", tk.tempC[k+1], want, 1e-6)
		}
	}
	if tried < 2 {
		t.Fatalf("only %d cases with equal layers", tried)
	}
}

// Unequal bodies: 40 and 60 litres of a tank that is 40 % into a layer.
func TestInversionMixingWeighsByContent(t *testing.T) {
	tk := bare(t, []float64{20, 45, 70})
	tk.fill = 0.4
	tk.tempC[0] = 55 // below a whole layer at 20, which is below the one at 45
	tk.mixInversions()
	near(t, "mixed bottom", tk.tempC[0], (0.4*55+20)/1.4, 1e-9)
	near(t, "mixed bottom", tk.tempC[1], (0.4*55+20)/1.4, 1e-9)
	near(t, "layer above", tk.tempC[2], 45, 0)
}

func TestMixingKeepsHeatAndOrders(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 20).Draw(t, "layers")
		c := Typical()
		c.Layers = n
		tk := newTank(c)
		tk.fill = rapid.SampledFrom([]float64{0, 1e-8, 0.3, 0.999}).Draw(t, "fill")
		for k := range tk.tempC {
			tk.tempC[k] = rapid.Float64Range(1, 99).Draw(t, "cell")
		}
		if tk.fill == 0 {
			tk.tempC[0] = tk.tempC[1]
		}
		before := tk.storedJ()
		tk.mixInversions()
		if math.Abs(tk.storedJ()-before) > 1e-9*before {
			t.Fatalf("heat went from %g to %g J", before, tk.storedJ())
		}
		for k := 1; k <= n; k++ {
			if tk.tempC[k] < tk.tempC[k-1]-1e-9 {
				t.Fatalf("cell %d at %g is colder than the one below at %g", k, tk.tempC[k], tk.tempC[k-1])
			}
		}
	})
}

// Source: exact solution of conduction in an insulated column, in the file: 10
// layers must match the solution of the ten-layer chain, which lies within
// 0.3 % of the continuous one.
func TestConductionOfALayeredColumn(t *testing.T) {
	f := readStratified(t).Conduction
	c := Typical()
	c.Layers, c.TankHeightM, c.TankUAWK = 10, f.HeightM, 0
	c.TankConductivityWmK = f.Alpha * 1000 * WaterJKgK
	tk := newTank(c)
	middle := func(k int) float64 { return math.Cos(math.Pi * (float64(k) - 0.5) / 10) }
	for k := 1; k <= 10; k++ {
		tk.tempC[k] = f.MeanC - f.AmplitudeK*middle(k) // warm above
	}
	minutes := 0
	for i, want := range f.Cases {
		for ; minutes < int(want.Days*1440); minutes++ {
			tk.relax(20, 60)
		}
		amplitude := 0.0
		for k := 1; k <= 10; k++ {
			amplitude -= (tk.tempC[k] - f.MeanC) * middle(k) / 5
		}
		near(t, "amplitude of the ten-layer chain", amplitude, f.Discrete[i], 1e-4)
		near(t, "amplitude of the column", amplitude, want.AmplitudeK, 0.003*want.AmplitudeK+0.01)
	}
}

// At rest a layered tank stays layered and keeps its heat but for the loss.
func TestRestMakesNoInversion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Typical()
		c.Layers = rapid.IntRange(1, 40).Draw(t, "layers")
		tk := newTank(c)
		if c.Layers > 1 {
			tk.fill = rapid.SampledFrom([]float64{0, 1e-8, 0.5, 0.9999}).Draw(t, "fill")
		}
		temp := rapid.Float64Range(2, 20).Draw(t, "bottom")
		for k := range tk.tempC {
			tk.tempC[k] = temp
			temp += rapid.Float64Range(0, 15).Draw(t, "step")
		}
		if tk.fill == 0 {
			tk.tempC[0] = tk.tempC[1]
		}
		stepS := rapid.Float64Range(0.1, 60).Draw(t, "seconds")
		for range 200 {
			before := tk.storedJ()
			lostJ := tk.relax(20, stepS)
			if math.Abs(before-lostJ-tk.storedJ()) > 1e-9*before {
				t.Fatalf("loss %g J does not explain %g J", lostJ, before-tk.storedJ())
			}
			for k := 2; k <= c.Layers; k++ {
				if tk.tempC[k] < tk.tempC[k-1]-1e-9 {
					t.Fatalf("inversion at cell %d: %g over %g", k, tk.tempC[k], tk.tempC[k-1])
				}
			}
		}
	})
}

// TestATankMayBeginWarmerAtTheTop: an even rise from the bottom.
func TestATankMayBeginWarmerAtTheTop(t *testing.T) {
	c := Typical()
	c.StartC, c.StartTopC = 20, 60
	p := build(t, c)
	for height, want := range map[float64]float64{0: 20, 0.25: 30, 0.5: 40, 0.75: 50, 1: 60} {
		if got := p.TankC(height); math.Abs(got-want) > 40.0/float64(c.Layers) {
			t.Errorf("at %g: %g °C, want %g", height, got, want)
		}
	}
	c.StartTopC = 120
	if _, err := New(c); err == nil {
		t.Error("a top of 120 °C is taken")
	}
}
