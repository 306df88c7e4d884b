package twin_test

import (
	"math"
	"os"
	"regexp"
	"strings"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/physics"
	"sunstoker/sim"
	"sunstoker/sim/weather"
	"sunstoker/site"
	"sunstoker/site/twin"
)

func readFile(t *testing.T) string {
	t.Helper()
	data, err := os.ReadFile("../../deploy/sites/house-with-winter.toml")
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// onSimulatedWires takes probes and outputs off their buses and lines, which no
// two can share.
func onSimulatedWires(text string) string {
	wires := regexp.MustCompile(`kind = "(one-wire|relay)"\n((identity|chip|line) = .*\n)+`)
	return wires.ReplaceAllString(text, "kind = \"simulated\"\n")
}

func config(t *testing.T, change func(text string) string) (*site.Site, sim.Config) {
	t.Helper()
	s, err := site.Load("../../deploy/sites/house-with-winter.toml")
	if change != nil {
		s, err = site.Parse("changed.toml", []byte(change(readFile(t))))
	}
	if err != nil {
		t.Fatal(err)
	}
	c, err := twin.Config(s, twin.Options{Weather: weather.NorthItaly(), Start: time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)})
	if err != nil {
		t.Fatal(err)
	}
	return s, c
}

// TestTwinIsThePlantOfTheFile: what the file says is what is simulated, and a
// probe hangs at every place of the plan, in its order.
func TestTwinIsThePlantOfTheFile(t *testing.T) {
	s, c := config(t, nil)
	house, err := sim.New(c)
	if err != nil {
		t.Fatal(err)
	}
	p, sys := c.Systems[0].Plant, s.Systems[0]
	if p.TankLitres != sys.Tank.VolumeL || p.HeaterW != sys.Heater.PowerW || p.PumpFlowLMin != sys.LoopFlowLPerMin || !p.CheckValve ||
		p.Collector.AreaM2 != sys.Collector.AreaM2 || c.Systems[0].Plane.TiltDeg != sys.Collector.TiltDeg {
		t.Errorf("plant %+v is not the system %+v", p, sys)
	}
	if p.ThermostatC >= p.CutOutC {
		t.Errorf("the thermostat at %g °C opens after the cut-out at %g °C", p.ThermostatC, p.CutOutC)
	}
	for i, probe := range s.Plan.Probes {
		if _, err := house.Probe(twin.ProbeName(s, i)); err != nil || c.Probes[i].Place != probe.Place.String() {
			t.Errorf("reading %d: probe at %q, want %v (error %v)", i, c.Probes[i].Place, probe.Place, err)
		}
	}
}

// TestEveryKindOfPlantHasATwin builds each combination of loop and store.
func TestEveryKindOfPlantHasATwin(t *testing.T) {
	_, store := config(t, func(text string) string {
		return strings.Replace(text, `store = "drinking water"`, `store = "loop fluid"`, 1)
	})
	if p := store.Systems[0].Plant; p.Store.TapCoilUAWK == 0 || p.CoilUAWK != 0 {
		t.Errorf("a store of loop fluid is simulated as %+v", p)
	}
	s, err := site.Load("../../deploy/sites/highland-house.toml")
	if err != nil {
		t.Fatal(err)
	}
	natural, err := twin.Config(s, twin.Options{Weather: weather.NorthItaly(), Start: time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)})
	if err != nil {
		t.Fatal(err)
	}
	if p := natural.Systems[0].Plant; p.CheckValve || p.CollectorAboveTankM >= 0 || p.HotPipe.BoreM == 0 {
		t.Errorf("a loop of natural circulation is simulated as %+v", p)
	}
	for _, c := range []sim.Config{store, natural} {
		if _, err := sim.New(c); err != nil {
			t.Error(err)
		}
	}
}

// TestNaturalLoopHasItsPressure: what the file says of the pressure, else that of
// the air at the place, and the loop boils accordingly.
func TestNaturalLoopHasItsPressure(t *testing.T) {
	data, err := os.ReadFile("../../deploy/sites/highland-house.toml")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		line    string
		gaugePa float64
	}{{"", 0}, {"loop_pressure = \"1.5 bar\"\n", 1.5e5}} {
		s, err := site.Parse("changed.toml", []byte(strings.Replace(string(data), "antifreeze =", c.line+"antifreeze =", 1)))
		if err != nil {
			t.Fatal(err)
		}
		config, err := twin.Config(s, twin.Options{Weather: weather.NorthItaly(), Start: time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)})
		if err != nil {
			t.Fatal(err)
		}
		p := config.Systems[0].Plant
		// 2800 m in the ICAO standard atmosphere: 71.9 kPa (its table, from memory).
		if math.Abs(p.AirPaAbs-71.9e3) > 100 || math.Abs(p.LoopPressurePaAbs-c.gaugePa-71.9e3) > 100 {
			t.Errorf("%q: air %g Pa, loop %g Pa", c.line, p.AirPaAbs, p.LoopPressurePaAbs)
		}
		if _, err := sim.New(config); err != nil {
			t.Error(err)
		}
	}
}

// TestHeightZeroIsAHeight: a collector beside the tank is not one of the usual
// height.
func TestHeightZeroIsAHeight(t *testing.T) {
	for line, want := range map[string]float64{"": 5, "height = \"0 m\"": 0} {
		_, c := config(t, func(text string) string { return text + "\n[system.plumbing]\n" + line + "\n" })
		if got := c.Systems[0].Plant.CollectorAboveTankM; got != want {
			t.Errorf("%q: %g m, want %g", line, got, want)
		}
	}
}

// TestPlumbingReachesThePlant: what a site file says of pipes, safety parts and
// the hot-water line stands in the simulated plant.
func TestPlumbingReachesThePlant(t *testing.T) {
	s, c := config(t, func(text string) string {
		return text + `
[system.plumbing]
pipe_length = "20 m"
pipe_bore = "20 mm"
pipe_outdoors = "50 %"
height = "7 m"
no_check_valve = true
expansion_vessel = "18 l"
relief_valve = "6 bar"
[system.hot_water_line]
length = "15 m"
bore = "16 mm"
circulation = true
`
	})
	p := c.Systems[0].Plant
	// 20 m of 20 mm hold pi/4 times 0.02 squared times 20 m = 6.28 l.
	if v := p.HotPipe.VolumeL; math.Abs(v-6.283) > 0.001 || p.HotPipe.OutdoorShare != 0.5 || p.ColdPipe != p.HotPipe {
		t.Errorf("pipes %+v, %+v", p.HotPipe, p.ColdPipe)
	}
	if p.CheckValve || p.CollectorAboveTankM != 7 || p.Sealing.VesselL != 18 {
		t.Errorf("check valve %v, height %g, vessel %g", p.CheckValve, p.CollectorAboveTankM, p.Sealing.VesselL)
	}
	if gauge := (p.Sealing.ReliefPaAbs - physics.AirPressurePa(s.AltitudeM)) / physics.PascalPerBar; math.Abs(gauge-6) > 1e-9 {
		t.Errorf("relief at %g bar", gauge)
	}
	// 15 m of 16 mm: 3.016 l, the published waiting-time case.
	if v := p.Circulation.Supply.VolumeL; math.Abs(v-3.0159) > 0.001 || p.Circulation.PumpFlowLMin == 0 {
		t.Errorf("hot-water line %+v", p.Circulation)
	}
	if _, err := sim.New(c); err != nil {
		t.Errorf("the plant is refused: %v", err)
	}
}

// TestDrawSharesReachTheHouse: thirds in percent are whole shares in the house;
// without shares, or in series, the house decides.
func TestDrawSharesReachTheHouse(t *testing.T) {
	for shares, want := range map[[2]string]float64{
		{`draw_share = "33.3 %"`, `draw_share = "66.6 %"`}: 1.0 / 3,
		{"", ""}: 0,
		{`draw_share = "0 %"`, `draw_share = "100 %"`}: 0,
	} {
		_, c := config(t, func(text string) string {
			text = onSimulatedWires(text)
			at := strings.Index(text, "[[system]]")
			second := strings.Replace(text[at:], `"roof"`, `"annexe"`, 1)
			first := strings.Replace(text, "[[system]]\n", "[[system]]\n"+shares[0]+"\n", 1)
			return first + strings.Replace(second, "[[system]]\n", "[[system]]\n"+shares[1]+"\n", 1)
		})
		if got := c.Systems[0].DrawShare; math.Abs(got-want) > 1e-3 {
			t.Errorf("%v: share %g, want %g", shares, got, want)
		}
		if _, err := sim.New(c); err != nil {
			t.Errorf("%v: %v", shares, err)
		}
	}
}

// TestUsualProbes: the place says how a probe follows and scatters, unless the
// file does.
func TestUsualProbes(t *testing.T) {
	_, c := config(t, func(text string) string {
		return strings.Replace(text, "[system.probe.tank_top]\n", "[system.probe.tank_top]\nlag = \"0 s\"\nnoise = \"none\"\n", 1)
	})
	for _, p := range c.Probes {
		switch p.Place {
		case "tank_top":
			if p.Lag != 0 || p.NoiseK != 0 || p.NoiseShare != 0 {
				t.Errorf("the file asks for a perfect probe, not %+v", p)
			}
		case "outdoor_air":
			if p.Lag != 5*time.Minute || p.NoiseK == 0 {
				t.Errorf("outdoors %+v", p)
			}
		default:
			if p.Lag != 30*time.Second || p.NoiseK == 0 || p.StepK != sim.UsualStepK {
				t.Errorf("%s %+v", p.Place, p)
			}
		}
	}
}

// TestEveryPlaceHasAUsualProbe: a place without a row would be read perfectly.
func TestEveryPlaceHasAUsualProbe(t *testing.T) {
	text := onSimulatedWires(readFile(t))
	for _, place := range control.Places() {
		if header := "[system.probe." + place.String() + "]"; !place.OfHouse() && !strings.Contains(text, header) {
			text += header + "\nkind = \"simulated\"\n"
		}
	}
	_, c := config(t, func(string) string { return text })
	if len(c.Probes) != len(control.Places()) {
		t.Fatalf("%d probes at %d places", len(c.Probes), len(control.Places()))
	}
	for _, p := range c.Probes {
		if p.StepK == 0 {
			t.Errorf("%s has no usual probe", p.Place)
		}
	}
	if _, err := sim.New(c); err != nil {
		t.Error(err)
	}
}
