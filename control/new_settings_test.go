package control

import (
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// settingsOf gives what counts in a plan, as NewSettings takes it.
func settingsOf(p *Plan) (house Settings, systems []Settings) {
	for i := range p.Systems {
		systems = append(systems, p.Systems[i].Settings)
	}
	return p.Settings, systems
}

// TestTheSameSettingsAnewChangeNothing: whatever comes in, a controller that is
// given its own settings again and again decides as one that is left alone.
func TestTheSameSettingsAnewChangeNothing(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		alter := anyPlant(rt)
		left, err := New(testPlan(2, alter))
		if err != nil {
			rt.Fatal(err)
		}
		told, err := New(left.plan)
		if err != nil {
			rt.Fatal(err)
		}
		readings := make([]Reading, len(left.plan.Probes))
		for i := range readings {
			readings[i] = anyReading(rt)
		}
		for range rapid.IntRange(1, 80).Draw(rt, "steps") {
			elapsed, wall := anyStep(rt, readings, left, told)
			if rapid.IntRange(0, 3).Draw(rt, "told") == 0 {
				if err := told.NewSettings(settingsOf(&told.plan)); err != nil {
					rt.Fatal(err)
				}
			}
			want, got := left.Step(elapsed, wall, readings), told.Step(elapsed, wall, readings)
			if !reflect.DeepEqual(got, want) {
				rt.Fatalf("got  %+v\nwant %+v", got, want)
			}
		}
	})
}

func TestNewSettingsCountFromTheNextStepOn(t *testing.T) {
	d := newDesk(t, eager).settled()
	before := d.c.Plan().Systems
	d.set(20, 20, 40, 30)
	d.run(time.Minute)
	d.expect(outHeater, false, SaysHeaterOutsideWindows)
	house, systems := settingsOf(d.c.Plan())
	systems[0].HeaterFloorC = 42
	if err := d.c.NewSettings(house, systems); err != nil {
		t.Fatal(err)
	}
	d.run(time.Second)
	d.expect(outHeater, true, SaysHeaterFloor)
	if before[0].Settings.HeaterFloorC == 42 || d.c.Plan().Systems[0].Settings.HeaterFloorC != 42 {
		t.Error("the plan of before was changed, or the one of now was not")
	}
}

// A run that is under way is held by the minimum run time that counts now.
func TestNewMinimumTimesHoldARunThatIsUnderWay(t *testing.T) {
	for name, c := range map[string]struct {
		minimum time.Duration
		on      bool
	}{"shorter": {0, false}, "longer": {20 * time.Minute, true}} {
		t.Run(name, func(t *testing.T) {
			d := newDesk(t).settled()
			d.set(20, 70, 40, 30)
			d.run(30 * time.Second)
			d.expect(outPump, true, SaysLoopGains)
			d.set(20, 31, 40, 30)
			house, systems := settingsOf(d.c.Plan())
			systems[0].MinimumRun = c.minimum
			if err := d.c.NewSettings(house, systems); err != nil {
				t.Fatal(err)
			}
			d.run(time.Minute)
			if got := d.c.Output(outPump).Level > 0; got != c.on {
				t.Errorf("the pump runs: %v, want %v", got, c.on)
			}
		})
	}
}

func TestSettingsBeyondTheirLimitsAreRefusedWhole(t *testing.T) {
	d := newDesk(t)
	for want, change := range map[string]func(*Settings, *Settings){
		"tank_limit of the house: 86 °C is outside of what is allowed, 40 °C to 85 °C": func(h, _ *Settings) { h.TankLimitC = 86 },
		`heater_start of roof: "NaN °C" is no number`:                                  func(_, s *Settings) { s.HeaterStartC = math.NaN() },
	} {
		house, systems := settingsOf(d.c.Plan())
		house.TapC = 41
		change(&house, &systems[0])
		err := d.c.NewSettings(house, systems)
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v, want %s", err, want)
		}
		if d.c.Plan().Settings.TapC == 41 {
			t.Error("a part of it was taken")
		}
	}
	house, _ := settingsOf(d.c.Plan())
	if d.c.NewSettings(house, nil) == nil {
		t.Error("settings for no system were taken")
	}
}

// TestAHeatUpIsHeldAtTheTemperatureThatCounts: what was held at
// 60 °C is no part of a heat-up at more, though the tank is as hot as that by now.
func TestAHeatUpIsHeldAtTheTemperatureThatCounts(t *testing.T) {
	for temperatureC, anew := range map[float64]bool{59: false, 60: false, 60.5: true} {
		d := newDesk(t, eager, tempered)
		d.set(20, 20, 61, 50)
		d.settled()
		m := &d.c.st.Systems[0]
		m.HygieneSince, m.HygieneHold = 8*24*time.Hour, 50*time.Minute
		set := *d.c.systems[0].set
		set.HygieneC = temperatureC
		if err := d.c.NewSettings(d.c.plan.Settings, []Settings{set}); err != nil {
			t.Fatal(err)
		}
		if begins := m.HygieneHold == 0; begins != anew {
			t.Errorf("hygiene_temperature from 60 °C to %g °C: held for %v", temperatureC, m.HygieneHold)
		}
	}
}
