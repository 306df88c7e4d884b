package physics_test

import (
	"math"
	"testing"

	"sunstoker/physics"
)

// The cases of the tank files are computed with 1000 kg/m3 and 4180 J/(kg K).
const tankJKPerLitre = 4180

func TestTankDecay(t *testing.T) {
	for _, row := range readTable(t, "tank_mixed_decay.csv") {
		capacity, loss := tankJKPerLitre*row.number("volume_litre"), row.number("UA_W_K")
		end := physics.TankAfterC(row.number("start_degC"), row.number("ambient_degC"), capacity, loss, 0, 3600*row.number("hours"))
		row.near("end_degC", end, 1e-5)
		row.near("time_constant_h", physics.TimeConstantS(capacity, loss)/3600, 1e-4)
	}
}

func TestTankOther(t *testing.T) {
	var file struct {
		Heater struct {
			Litre, Watt, Minutes float64
			From                 float64 `json:"from_degC"`
			To                   float64 `json:"to_degC"`
		}
		WithLoss struct {
			Litre, Watt float64
			UA          float64 `json:"UA_W_K"`
			Ta, T0      float64
			Hours       float64 `json:"after_h"`
			TempC       float64 `json:"T_degC"`
		} `json:"heater_with_loss"`
		Draw struct {
			Litre, T0, Tc float64
			Drawn         float64 `json:"drawn_litre"`
			TempC         float64 `json:"T_degC"`
		} `json:"draw_mixed"`
		Mix struct {
			Litre []float64
			TempC []float64 `json:"degC"`
			Mixed float64   `json:"mixed_degC"`
		} `json:"mix_two_bodies"`
		Tap struct {
			Hot    float64 `json:"hot_degC"`
			Cold   float64 `json:"cold_degC"`
			Wanted float64 `json:"wanted_degC"`
			Litre  float64 `json:"wanted_litre"`
			Answer float64 `json:"hot_litre"`
		} `json:"tap_mixing"`
		Classes struct {
			Case struct {
				Litre float64
				Limit float64 `json:"C_limit_W"`
				UA    float64 `json:"UA_equivalent_W_K"`
			}
		} `json:"standing_loss_classes_W"`
	}
	readJSON(t, "tank_mixed_other.json", &file)

	heater := file.Heater
	seconds := physics.SecondsToHeat(heater.From, heater.To, 20, tankJKPerLitre*heater.Litre, 0, heater.Watt)
	within(t, "heating time in minutes", seconds/60, heater.Minutes, 0.05)

	loss := file.WithLoss
	after := physics.TankAfterC(loss.T0, loss.Ta, tankJKPerLitre*loss.Litre, loss.UA, loss.Watt, 3600*loss.Hours)
	within(t, "heating against loss", after, loss.TempC, 6e-5)
	back := physics.SecondsToHeat(loss.T0, after, loss.Ta, tankJKPerLitre*loss.Litre, loss.UA, loss.Watt)
	within(t, "hours back", back/3600, loss.Hours, 1e-9)
	if forever := physics.SecondsToHeat(15, 2000, 20, 836000, 1.8, 2000); !math.IsInf(forever, 1) {
		t.Errorf("a temperature above the balance takes %g s, want +Inf", forever)
	}

	draw := file.Draw
	within(t, "draw", physics.TankAfterDrawC(draw.T0, draw.Tc, draw.Litre, draw.Drawn), draw.TempC, 6e-4)
	mix := file.Mix
	within(t, "mixing", physics.MixedC(mix.Litre[0], mix.TempC[0], mix.Litre[1], mix.TempC[1]), mix.Mixed, 1e-12)
	tap := file.Tap
	hot, err := physics.ConvertLitres(tap.Litre, tap.Wanted, tap.Hot, tap.Cold)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "hot water for a tap", hot, tap.Answer, 1e-9)

	class := file.Classes.Case
	limit, err := physics.StandingLossLimitClassCW(class.Litre)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "class C", limit, class.Limit, 0.001)
	within(t, "class C conductance", physics.LossConductanceWK(limit), class.UA, 1e-4)
}

// Kalogirou (2009), Table 5.3. The book steps by the hour with the old
// temperature's loss; ours is exact within the hour, so each hour is given the
// book's loss as heat and no loss of its own.
func TestTankMixedTextbook(t *testing.T) {
	var book struct {
		Input struct {
			Kg        float64   `json:"water_kg"`
			UA        float64   `json:"UA_W_K"`
			Room      float64   `json:"room_degC"`
			Start     float64   `json:"start_degC"`
			Collected []float64 `json:"collected_MJ"`
			Load      []float64 `json:"load_MJ"`
		}
		TempsC    []float64 `json:"book_temperature_degC"`
		Tolerance float64   `json:"tolerance_K"`
	}
	readJSON(t, "tank_mixed_textbook.json", &book)
	in := book.Input
	explicitC, exactC := in.Start, in.Start
	for hour, want := range book.TempsC {
		heatW := 1e6 * (in.Collected[hour] - in.Load[hour]) / 3600
		lossW := in.UA * (explicitC - in.Room)
		explicitC = physics.TankAfterC(explicitC, in.Room, 4180*in.Kg, 0, heatW-lossW, 3600)
		within(t, "Table 5.3, the book's scheme", explicitC, want, book.Tolerance)
		exactC = physics.TankAfterC(exactC, in.Room, 4180*in.Kg, in.UA, heatW, 3600)
		// The explicit hour charges the loss of its start; the error adds up.
		within(t, "Table 5.3, exact", exactC, want, 0.5)
	}
}

type stratifiedFile struct {
	Inversions []struct {
		Mass   []float64 `json:"mass_kg"`
		Before []float64 `json:"before_degC"`
		After  []float64 `json:"after_degC"`
	} `json:"inversion_mixing"`
	Plug struct {
		Before    []float64 `json:"before_degC"`
		After     []float64 `json:"after_degC"`
		Cold      float64   `json:"cold_degC"`
		Delivered float64   `json:"delivered_degC"`
	} `json:"plug_flow"`
	Series struct {
		Cases []struct {
			N      int
			Theta  float64
			T0, Tc float64
			Outlet float64 `json:"outlet_degC"`
		}
	} `json:"tanks_in_series"`
	Conduction struct {
		Alpha  float64 `json:"alpha_m2_s"`
		Height float64 `json:"H_m"`
		A      float64
		Cases  []struct {
			Days      float64
			Amplitude float64 `json:"amplitude_K"`
		}
	}
}

func TestStratifiedTank(t *testing.T) {
	var file stratifiedFile
	readJSON(t, "tank_stratified.json", &file)
	for _, c := range file.Inversions {
		physics.MixInversions(c.Before, c.Mass)
		for i, want := range c.After {
			within(t, "mixed layer", c.Before[i], want, 1e-6)
		}
	}
	plug := file.Plug
	within(t, "delivered", physics.PushUp(plug.Before, []float64{40, 40, 40, 40, 40}, 40, plug.Cold), plug.Delivered, 1e-12)
	for i, want := range plug.After {
		within(t, "pushed layer", plug.Before[i], want, 1e-12)
	}
	for _, c := range file.Series.Cases {
		share := physics.MixedLayersOutletShare(c.N, c.Theta)
		within(t, "outlet of mixed layers", c.T0+share*(c.Tc-c.T0), c.Outlet, 6e-5)
		within(t, "the same by many small draws", manySmallDraws(c.N, c.Theta, c.T0, c.Tc), c.Outlet, 0.01)
	}
	column := file.Conduction
	for _, c := range column.Cases {
		amplitude := column.A * physics.LayerDecay(column.Alpha, column.Height, 86400*c.Days)
		within(t, "conduction", amplitude, c.Amplitude, 1e-6)
	}
	// The diffusivity of the file is that of water, rounded.
	within(t, "diffusivity at 45 degC", physics.Water().DiffusivityM2S(45), column.Alpha, 0.05e-7)
}

// manySmallDraws comes as close to the flow of mixed layers as its steps are
// small.
func manySmallDraws(layers int, tankVolumes, startC, coldC float64) float64 {
	temps, masses := make([]float64, layers), make([]float64, layers)
	for i := range temps {
		temps[i], masses[i] = startC, 1
	}
	const steps = 20000
	for range steps {
		physics.PushUp(temps, masses, tankVolumes*float64(layers)/steps, coldC)
	}
	return temps[layers-1]
}

func TestEffectiveness(t *testing.T) {
	arrangements := map[string]physics.FlowArrangement{
		"counterflow": physics.CounterFlow, "parallel": physics.ParallelFlow, "one_side_constant": physics.OneSideConstant,
	}
	for _, row := range readTable(t, "effectiveness_ntu.csv") {
		arrangement, known := arrangements[row.text("arrangement")]
		if !known {
			t.Fatalf("%s: unknown arrangement", row.where)
		}
		row.near("effectiveness", arrangement.Effectiveness(row.number("NTU"), row.number("C_ratio")), 6e-7)
	}
}

func TestHeatExchangerTextbook(t *testing.T) {
	// Som, Introduction to Heat Transfer, chapter 10 example 7: air 10 kg/s in
	// at 125, water 7 kg/s in at 20, 220 W/(m2 K) on 250 m2, cross flow.
	const airWK, waterWK = 10 * 1010.0, 7 * 4180.0
	heat := physics.ExchangerHeatW(physics.CrossFlowUnmixed, 220*250, airWK, waterWK, 125, 20)
	within(t, "heat", heat, 1010461, 1500)              // effectiveness to three digits
	within(t, "air out, book", 125-heat/airWK, 26, 1.2) // the book rounds the heat to 1 MW
	effectiveness := physics.CoilEffectiveness(300, 0.05*3800)
	within(t, "coil", effectiveness, 0.793808, 1e-6)
	within(t, "coil heat", effectiveness*0.05*3800*(65-45), 3016.47, 0.01)
	within(t, "coil heat, general form", physics.ExchangerHeatW(physics.OneSideConstant, 300, 190, math.Inf(1), 65, 45), 3016.47, 0.01)
}
