package sim

import (
	"testing"
	"time"

	"sunstoker/sim/household"
	"sunstoker/sim/weather"
)

// Other weather is felt from the next step on, by air and collector.
func TestSetWeather(t *testing.T) {
	sky := func(cover, airC float64) weather.Source {
		w, err := weather.NewScripted(weather.Place{LatitudeDeg: 45, LongitudeDeg: 8, AltitudeM: 250}, []weather.Moment{{Cover: cover, AirC: airC}})
		if err != nil {
			t.Fatal(err)
		}
		return w
	}
	c := usualHouse(t, sky(0, 20))
	c.Start = time.Date(2023, 6, 21, 10, 30, 0, 0, time.UTC)
	h := build(t, c)
	h.Advance(10 * time.Minute)
	clear := h.Light(0).AbsorbableWM2
	h.SetWeather(sky(1, -5))
	h.Step(time.Second)
	if now := h.Light(0).AbsorbableWM2; now > clear/3 || h.Sky().AirC != -5 {
		t.Errorf("under cloud %g W/m² after %g, air %g °C", now, clear, h.Sky().AirC)
	}
}

// A tap opened by hand draws its litres, beside those of the household and in a
// house without one.
func TestOpenTap(t *testing.T) {
	for _, empty := range []bool{false, true} {
		c := usualHouse(t, northItaly())
		if empty {
			c.Household = nil
		}
		alone := build(t, c)
		alone.Advance(30 * time.Hour)
		h := build(t, c)
		h.Advance(13*time.Hour + 7*time.Second)
		if err := h.OpenTap(household.Draw{FlowLMin: 8, For: 5 * time.Minute, TapC: 40, UsefulC: 38}); err != nil {
			t.Fatal(err)
		}
		h.Advance(30 * time.Hour)
		near(t, "litres", h.Usage().Litres-alone.Usage().Litres, 40, 0.01)
		if h.Usage().Draws != alone.Usage().Draws+1 {
			t.Errorf("%d draws after %d", h.Usage().Draws, alone.Usage().Draws)
		}
	}
	h := build(t, usualHouse(t, northItaly()))
	for _, d := range []household.Draw{{For: time.Minute, TapC: 40}, {FlowLMin: 8, TapC: 40}, {FlowLMin: 8, For: time.Minute}} {
		if err := h.OpenTap(d); err == nil {
			t.Errorf("%+v is taken", d)
		}
	}
}

func TestEndFaults(t *testing.T) {
	h := build(t, usualHouse(t, northItaly()))
	for _, f := range []Fault{{Name: "pump does not turn"}, {Name: "pump does not turn", Start: time.Hour}, {Name: "flow blocked"}} {
		if err := h.AddFault(f); err != nil {
			t.Fatal(err)
		}
	}
	h.Step(time.Second)
	if n := h.EndFaults("pump does not turn"); n != 2 {
		t.Errorf("%d ended", n)
	}
	h.Advance(2 * time.Hour)
	if left := h.ActiveFaults(nil); len(left) != 1 || left[0].Name != "flow blocked" || h.systems[0].plant.Damage.PumpDead {
		t.Errorf("left: %+v", left)
	}
}
