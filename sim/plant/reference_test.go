package plant

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"sunstoker/physics"
)

// row is one line of a reference table. Every table names its source in a
// column of its own.
type row map[string]string

func (r row) number(t *testing.T, column string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r[column], 64)
	if err != nil {
		t.Fatalf("column %s: %v", column, err)
	}
	return v
}

func readRows(t *testing.T, name string) []row {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil || len(lines) < 2 {
		t.Fatalf("%s: %d lines, error %v", name, len(lines), err)
	}
	var rows []row
	for _, line := range lines[1:] {
		r := row{}
		for i, field := range line {
			r[lines[0][i]] = field
		}
		rows = append(rows, r)
	}
	return rows
}

func readJSON(t *testing.T, name string, into any) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, into); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.6g, want %.6g within %g", what, got, want, tolerance)
	}
}

func build(t testing.TB, c Config) *Plant {
	t.Helper()
	p, err := New(c)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// stirred is a tank of one layer without anything else going on.
func stirred(litres, uaWK, startC float64) Config {
	c := Typical()
	c.Layers, c.TankLitres, c.TankUAWK, c.StartC = 1, litres, uaWK, startC
	c.ThermostatC, c.CutOutC, c.ReliefC, c.TemperingC = 0, 0, 0, 0
	return c
}

// Source: root of the ISO 9806 / EN 12975-2 efficiency equation, in the table.
func TestStagnationSettlesAtThePublishedEquation(t *testing.T) {
	for _, r := range readRows(t, "stagnation.csv") {
		c := Typical()
		c.Collector.Eta0 = r.number(t, "eta0")
		c.Collector.A1WM2K = r.number(t, "a1_W_m2K")
		c.Collector.A2WM2K2 = r.number(t, "a2_W_m2K2")
		p := build(t, c)
		airC := r.number(t, "ambient_degC")
		s := Surroundings{AbsorbableWM2: r.number(t, "irradiance_W_m2"), AirC: airC, RoomC: 20, ColdC: 10}
		for range 24 * 60 {
			p.Step(&s, 60)
		}
		near(t, "stagnation temperature", p.CollectorC(), r.number(t, "stagnation_degC"), 0.01)
	}
}

// Source: ISO 9806 / EN 12975-2 steady-state equation, in the table. The
// mean fluid temperature is that of inlet and outlet; a field of stirred cells
// follows it within half a percent of the irradiance.
func TestCollectorOutputFollowsThePublishedEquation(t *testing.T) {
	for _, r := range readRows(t, "collector_efficiency.csv") {
		airC, meanC := r.number(t, "ambient_degC"), r.number(t, "mean_fluid_degC")
		irradiance := r.number(t, "irradiance_W_m2")
		c := Typical()
		c.Fluid = physics.Water()
		c.NightSkyDropShare = 0
		c.Collector.Eta0 = r.number(t, "eta0")
		c.Collector.A1WM2K = r.number(t, "a1_W_m2K")
		c.Collector.A2WM2K2 = r.number(t, "a2_W_m2K2")
		output := r.number(t, "output_W_m2")
		for _, flowLMin := range []float64{2, 4, 12} {
			c.PumpFlowLMin = flowLMin
			// A huge tank held at the inlet temperature and an endless coil
			// make a test rig with a constant inlet.
			rate := flowLMin / 60000 * c.Fluid.DensityKgM3(meanC) * c.Fluid.SpecificHeatJKgK(meanC)
			rise := output * c.Collector.AreaM2 / rate
			c.HotPipe, c.ColdPipe = Pipe{}, Pipe{}
			c.TankLitres, c.TankUAWK, c.CoilUAWK = 1e6, 0, 1e6
			c.StartC = clamp(meanC-rise/2, 0.5, 99)
			p := build(t, c)
			p.SetPump(1)
			s := Surroundings{AbsorbableWM2: irradiance, AirC: airC, RoomC: c.StartC, ColdC: 10}
			for range 120 {
				p.Step(&s, 60)
			}
			before := p.Book().LoopToTankJ
			p.Step(&s, 60)
			got := (p.Book().LoopToTankJ - before) / 60 / c.Collector.AreaM2
			near(t, "output W/m2 at "+r["mean_fluid_degC"], got, output, 0.005*irradiance)
		}
	}
}

// Source: effectiveness of an exchanger with one side at an even temperature
// (Incropera / Kays and London forms), in the table. The plant's coil passes
// several layers, all at one temperature here.
func TestCoilEffectiveness(t *testing.T) {
	tried := 0
	for _, r := range readRows(t, "effectiveness_ntu.csv") {
		if r["arrangement"] != "one_side_constant" {
			continue
		}
		tried++
		c := Typical()
		c.TankLitres = 1e6 // too large to warm in one step
		rateWK := 200.0
		c.CoilUAWK = r.number(t, "NTU") * rateWK
		tk, coil := newTank(c), newCoil(c)
		coil.prepare(&tk, rateWK, 1)
		const inC = 70
		outC, heatJ := coil.settle(&tk, true, inC, rateWK, 1)
		want := r.number(t, "effectiveness")
		near(t, "effectiveness", (inC-outC)/(inC-c.StartC), want, 1e-5)
		near(t, "heat in a second", heatJ, want*rateWK*(inC-c.StartC), 0.1)
	}
	if tried < 2 {
		t.Fatalf("only %d cases", tried)
	}
}

// Exact solution of a collector without flow and without quadratic loss: it
// comes to rest as 1 - exp(-t a1/C).
func TestCollectorWarmsWithItsTimeConstant(t *testing.T) {
	c := Typical()
	c.Collector.A2WM2K2 = 0
	timeConstantS := c.Collector.CapacityJM2K / c.Collector.A1WM2K
	for _, limits := range []struct{ stepS, toleranceK float64 }{{0.1, 0.01}, {10, 0.5}, {60, 2}} {
		p := build(t, c)
		s := Surroundings{AbsorbableWM2: 800, AirC: c.StartC, RoomC: 20}
		steps := math.Round(timeConstantS / limits.stepS)
		for range int(steps) {
			p.Step(&s, limits.stepS)
		}
		rise := c.Collector.Eta0 * 800 / c.Collector.A1WM2K
		want := c.StartC + rise*-math.Expm1(-steps*limits.stepS/timeConstantS)
		near(t, "collector after a time constant", p.CollectorC(), want, limits.toleranceK)
	}
}

// Source: exact solution of the loss of a stirred tank, in the table.
func TestMixedTankDecay(t *testing.T) {
	for _, r := range readRows(t, "tank_mixed_decay.csv") {
		for _, layers := range []int{1, 12} {
			for _, stepS := range []float64{0.5, 10, 60} {
				c := stirred(r.number(t, "volume_litre"), r.number(t, "UA_W_K"), r.number(t, "start_degC"))
				c.Layers = layers
				p := build(t, c)
				s := Surroundings{AirC: 20, RoomC: r.number(t, "ambient_degC")}
				for range int(r.number(t, "hours") * 3600 / stepS) {
					p.Step(&s, stepS)
				}
				near(t, "tank after decay", p.TankC(0.5), r.number(t, "end_degC"), 1e-4)
			}
		}
	}
}

// Source: Kalogirou, Solar Energy Engineering (2009), chapter 5, Table 5.3. The
// book steps hourly with the old temperature, so it counts the loss of a
// warming hour too small: by UA times half the hour's rise, up to 0.4 MJ or
// 0.2 K an hour in its steepest hours.
func TestTenHoursOfAMixedTank(t *testing.T) {
	var table struct {
		Input struct {
			WaterKg     float64   `json:"water_kg"`
			UAWK        float64   `json:"UA_W_K"`
			RoomC       float64   `json:"room_degC"`
			StartC      float64   `json:"start_degC"`
			CollectedMJ []float64 `json:"collected_MJ"`
			LoadMJ      []float64 `json:"load_MJ"`
		} `json:"input"`
		BookC      []float64 `json:"book_temperature_degC"`
		BookLossMJ []float64 `json:"book_loss_MJ"`
		ToleranceK float64   `json:"tolerance_K"`
	}
	readJSON(t, "tank_mixed_textbook.json", &table)
	c := stirred(table.Input.WaterKg, table.Input.UAWK, table.Input.StartC)
	p := build(t, c)
	s := Surroundings{AirC: 20, RoomC: table.Input.RoomC}
	lossJ := 0.0
	for hour, wantC := range table.BookC {
		// The book's rule: heat and load of the hour, loss at the old
		// temperature. One layer, so heat and load are even over the hour.
		perStepJ := (table.Input.CollectedMJ[hour] - table.Input.LoadMJ[hour]) * 1e6 / 60
		for range 60 {
			p.tank.heat(perStepJ, 0, 1)
			p.Step(&s, 60)
		}
		near(t, "tank temperature", p.TankC(0.5), wantC, 0.5)
		now := p.Book().TankLossJ
		near(t, "loss of the hour in MJ", (now-lossJ)/1e6, table.BookLossMJ[hour], 0.41)
		lossJ = now
	}

	// With the book's own hourly steps the printed figures come out.
	p = build(t, c)
	for hour, wantC := range table.BookC {
		oldC := p.TankC(0.5)
		p.tank.heat((table.Input.CollectedMJ[hour]-table.Input.LoadMJ[hour])*1e6-
			table.Input.UAWK*3600*(oldC-table.Input.RoomC), 0, 1)
		near(t, "tank temperature by the book's step", p.TankC(0.5), wantC, table.ToleranceK)
	}
}

// Source: exact solutions for a stirred tank, in the file.
func TestMixedTankHeaterAndDraw(t *testing.T) {
	var f struct {
		Heater struct {
			Litre   float64 `json:"litre"`
			Watt    float64 `json:"watt"`
			FromC   float64 `json:"from_degC"`
			ToC     float64 `json:"to_degC"`
			Minutes float64 `json:"minutes"`
		} `json:"heater"`
		WithLoss struct {
			Litre  float64 `json:"litre"`
			UAWK   float64 `json:"UA_W_K"`
			AirC   float64 `json:"Ta"`
			StartC float64 `json:"T0"`
			Watt   float64 `json:"watt"`
			Hours  float64 `json:"after_h"`
			EndC   float64 `json:"T_degC"`
		} `json:"heater_with_loss"`
		Draw struct {
			Litre  float64 `json:"litre"`
			StartC float64 `json:"T0"`
			ColdC  float64 `json:"Tc"`
			Drawn  float64 `json:"drawn_litre"`
			EndC   float64 `json:"T_degC"`
		} `json:"draw_mixed"`
		Tap struct {
			HotC   float64 `json:"hot_degC"`
			ColdC  float64 `json:"cold_degC"`
			Wanted float64 `json:"wanted_degC"`
			Litre  float64 `json:"wanted_litre"`
			Hot    float64 `json:"hot_litre"`
		} `json:"tap_mixing"`
	}
	readJSON(t, "tank_mixed_other.json", &f)

	c := stirred(f.Heater.Litre, 0, f.Heater.FromC)
	c.HeaterW = f.Heater.Watt
	p := build(t, c)
	p.SetHeater(true)
	s := Surroundings{AirC: 20, RoomC: 20}
	for range int(f.Heater.Minutes * 6) {
		p.Step(&s, 10)
	}
	near(t, "heated tank", p.TankC(0.5), f.Heater.ToC, 0.01)

	c = stirred(f.WithLoss.Litre, f.WithLoss.UAWK, f.WithLoss.StartC)
	c.HeaterW = f.WithLoss.Watt
	p = build(t, c)
	p.SetHeater(true)
	s.RoomC = f.WithLoss.AirC
	for range int(f.WithLoss.Hours * 360) {
		p.Step(&s, 10)
	}
	near(t, "heated tank with loss", p.TankC(0.5), f.WithLoss.EndC, 0.01)

	p = build(t, stirred(f.Draw.Litre, 0, f.Draw.StartC))
	for range 25 { // many small draws are the same as one
		p.Tap(Draw{Litres: f.Draw.Drawn / 25, TapC: 99}, f.Draw.ColdC)
	}
	near(t, "drawn tank", p.TankC(0.5), f.Draw.EndC, 0.001)

	c = stirred(1000, 0, f.Tap.HotC)
	c.Layers = 20
	got := build(t, c).Tap(Draw{Litres: f.Tap.Litre, TapC: f.Tap.Wanted, UsefulC: f.Tap.Wanted}, f.Tap.ColdC)
	near(t, "hot litres of a tempered draw", got.HotLitres, f.Tap.Hot, 1e-9)
	near(t, "temperature at the tap", got.MeanC, f.Tap.Wanted, 1e-9)
	near(t, "heat at temperature", got.AtTemperatureJ, got.AskedJ, 1e-3)
}
