package sim

import (
	"testing"
	"time"

	"sunstoker/sim/household"
)

// oneDraw is a day with a single draw of ten litres in two minutes.
type oneDraw struct{}

func (oneDraw) Day(_ household.Date, into []household.Draw) []household.Draw {
	return append(into, household.Draw{At: time.Hour, For: 2 * time.Minute, FlowLMin: 5, TapC: 90, UsefulC: 40})
}

// A draw hotter than the tank comes out of it unmixed, so the meter in its inlet
// shows the tap's own flow; half of it in each of two equal systems, all of it in
// both of a series.
func TestDrawFlowAndButton(t *testing.T) {
	for _, series := range []bool{false, true} {
		c := sunnyHouse(t)
		c.Household, c.DrawsInSeries = oneDraw{}, series
		c.Systems[0].Plant.TemperingC = 0
		second := c.Systems[0]
		second.Name = "second"
		c.Systems = append(c.Systems, second)
		h := build(t, c)
		flow, _ := h.TruthAt(1, "draw_flow")
		button, _ := h.TruthAt(0, "circulation_button")
		want := 2.5
		if series {
			want = 5
		}
		for _, at := range []struct {
			time    time.Duration
			flow    float64
			pressed float64
		}{{59 * time.Minute, 0, 0}, {time.Hour, 0, 0}, {time.Hour + 10*time.Second, want, 1}, {61 * time.Minute, want, 0}, {63 * time.Minute, 0, 0}} {
			h.Advance(at.time)
			near(t, "flow into the tank", flow(), at.flow, 1e-9)
			near(t, "the button", button(), at.pressed, 0)
		}
	}
}

// What a clamp shows is the power of the config over the voltage, and what
// breaks the current is seen by it.
func TestCurrents(t *testing.T) {
	c := sunnyHouse(t)
	c.Systems[0].Plant.PumpW, c.Systems[0].Plant.HeaterW = 46, 2300
	h := build(t, c)
	pump, _ := h.TruthAt(0, "pump_current")
	heater, _ := h.TruthAt(0, "heater_current")
	check := func(what string, pumpA, heaterA float64) {
		t.Helper()
		h.Step(time.Second)
		near(t, what+": pump", pump(), pumpA, 1e-9)
		near(t, what+": heater", heater(), heaterA, 1e-9)
	}
	check("at rest", 0, 0)
	h.SetPump(0, 1)
	h.SetHeater(0, true)
	check("both on", 0.2, 10)
	for name, want := range map[string][2]float64{
		"pump dry or air-locked": {0.2, 10},
		"pump does not turn":     {0, 10},
		"heater element scaled":  {0.2, 6},
		"heater element open":    {0.2, 0},
		"mains power cut":        {0, 0},
	} {
		if err := h.AddFault(Fault{Name: name}); err != nil {
			t.Fatal(err)
		}
		check(name, want[0], want[1])
		h.ClearFaults()
	}
}

func TestProbeInTheWrongPlaceOutdoors(t *testing.T) {
	h := build(t, sunnyHouse(t))
	outdoors, _ := h.Probe("outdoors")
	outdoors.config.Lag = 0
	h.Advance(noon)
	read := func(name string) float64 {
		h.ClearFaults()
		if err := h.AddFault(Fault{Name: name, Probe: "outdoors"}); err != nil {
			t.Fatal(err)
		}
		h.Step(time.Second)
		value, _ := outdoors.Read(h.Elapsed())
		return value
	}
	inSun := read("probe in the sun")
	sun := h.Sky().GlobalHorizontalWM2
	if sun < 500 {
		t.Fatalf("%g W/m² at a clear noon", sun)
	}
	near(t, "in the sun", inSun, h.Sky().AirC+12*sun/1000, 1e-6)
	near(t, "on a warm wall", read("probe on a warm wall"), 0.6*h.Sky().AirC+0.4*h.config.RoomC, 1e-6)
	h.Advance(24 * time.Hour)
	near(t, "in the sun at midnight", read("probe in the sun"), h.Sky().AirC, 1e-6)
}

// Shift and hum are the same at all temperature probes of the bus, and leave
// flow and pressure alone.
func TestBusShiftAndHum(t *testing.T) {
	c := sunnyHouse(t)
	c.Probes = []ProbeConfig{{Name: "top", Place: "tank_top"}, {Name: "bottom", Place: "tank_bottom"}, {Name: "pressure", Place: "loop_pressure"}}
	h := build(t, c)
	off := func(p *Probe) float64 {
		value, _ := p.Read(h.Elapsed())
		return value - p.truth()
	}
	most, sum := 0.0, 0.0
	for _, name := range []string{"probe bus shifted", "probe bus hums"} {
		h.ClearFaults()
		if err := h.AddFault(Fault{Name: name, Amount: new(3.0)}); err != nil {
			t.Fatal(err)
		}
		for range 470 {
			h.Step(time.Second)
			near(t, name+": two probes", off(h.probes[0]), off(h.probes[1]), 1e-9)
			near(t, name+": pressure", off(h.probes[2]), 0, 1e-12)
			if name == "probe bus shifted" {
				near(t, name, off(h.probes[0]), 3, 1e-9)
				continue
			}
			most, sum = max(most, off(h.probes[0])), sum+off(h.probes[0])
		}
	}
	near(t, "swing of the hum", most, 3, 0.01)
	near(t, "mean of the hum", sum/470, 0, 0.01)
}
