package site

import (
	"os"
	"strings"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/physics"
)

// twoSystems writes house and systems in an order that is not the plan's.
func twoSystems(t *testing.T) *Site {
	t.Helper()
	roof, err := os.ReadFile("../deploy/sites/house-with-winter.toml")
	if err != nil {
		t.Fatal(err)
	}
	highland, err := os.ReadFile("../deploy/sites/highland-house.toml")
	if err != nil {
		t.Fatal(err)
	}
	second := string(highland[strings.Index(string(highland), "[[system]]"):])
	second = strings.Replace(second, "GPIO22", "GPIO23", 1)
	second = strings.Replace(second, `"25 %"`, `"45 %"`, 1)
	s, err := Parse("two.toml", []byte(string(roof)+"\n"+second))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestPlanOrder(t *testing.T) {
	s := twoSystems(t)
	wantProbes := []control.Probe{
		{System: control.House, Place: control.OutdoorAir},
		{System: 0, Place: control.Collector}, {System: 0, Place: control.TankTop}, {System: 0, Place: control.TankBottom},
		{System: 1, Place: control.Collector}, {System: 1, Place: control.TankTop},
	}
	wantOutputs := []control.Output{
		{System: 0, Actuator: control.LoopPump}, {System: 0, Actuator: control.BackupHeater},
		{System: 1, Actuator: control.BackupHeater},
	}
	if len(s.Probes) != len(wantProbes) || len(s.Outputs) != len(wantOutputs) {
		t.Fatalf("got %+v and %+v", s.Probes, s.Outputs)
	}
	for i, want := range wantProbes {
		if s.Probes[i].Probe != want || s.Plan.Probes[i] != want {
			t.Errorf("probe %d: got %+v and %+v, want %+v", i, s.Probes[i], s.Plan.Probes[i], want)
		}
	}
	for i, want := range wantOutputs {
		if s.Outputs[i].Output != want || s.Plan.Outputs[i] != want {
			t.Errorf("output %d: got %+v and %+v, want %+v", i, s.Outputs[i], s.Plan.Outputs[i], want)
		}
	}
	if _, err := control.New(s.Plan); err != nil {
		t.Error(err)
	}
}

func TestPlanTellsThePlant(t *testing.T) {
	s := twoSystems(t)
	roof, patio := s.Plan.Systems[0], s.Plan.Systems[1]
	if roof.Loop != control.Pumped || patio.Loop != control.Natural || roof.WaterFilled || roof.HeaterW != 2000 {
		t.Errorf("got %+v and %+v", roof, patio)
	}
	if roof.Settings.StartDifferenceK != 7 || patio.Settings.StartDifferenceK != 8 || s.Plan.Settings.StartDifferenceK != 8 {
		t.Errorf("the start difference of the roof leaks: %g, %g, %g", roof.Settings.StartDifferenceK, patio.Settings.StartDifferenceK, s.Plan.Settings.StartDifferenceK)
	}
	if want := "05:00 to 07:00, 17:00 to 20:30"; patio.Settings.HeaterWindows.String() != want {
		t.Errorf("the house's heater windows do not reach the second system: %s", patio.Settings.HeaterWindows)
	}
	if s.Plan.Zone == nil || s.Plan.Zone.String() != "Europe/Rome" || s.Plan.LatitudeDeg != 46.5 {
		t.Errorf("got %v, %g", s.Plan.Zone, s.Plan.LatitudeDeg)
	}
	_, winter := time.Date(2026, 1, 15, 12, 0, 0, 0, time.UTC).In(s.Plan.Zone).Zone()
	if winter != 3600 {
		t.Errorf("the zone is %d s from UTC in winter", winter)
	}
}

// TestFreezingPoints holds the plan's freezing points against the table of the
// ASHRAE Handbook, Fundamentals, for aqueous propylene glycol (percent by
// volume; second hand, from a public data base). The formulas behind the plan
// are of another source (Melinder 2010), and the two differ by up to 1.5 K.
func TestFreezingPoints(t *testing.T) {
	for _, row := range []struct{ percent, freezingC float64 }{{19.4, -7.1}, {29.4, -12.7}, {39.6, -21.1}, {49.9, -33.5}} {
		s := System{Glycol: true, AntifreezePercent: row.percent}
		fluid, err := s.LoopFluid()
		if err != nil {
			t.Fatal(err)
		}
		if got := fluid.FreezingPointC(); got < row.freezingC-1.5 || got > row.freezingC+1.5 {
			t.Errorf("%g %%: freezes at %.1f °C, the table says %g °C", row.percent, got, row.freezingC)
		}
	}
}

// TestLoopBoils holds the boiling point behind the restart ceiling's check
// against the steam table: 99.6 °C at 1 bar, 120.2 °C at 2 bar, 133.5 °C at
// 3 bar, all absolute (IAPWS-IF97).
func TestLoopBoils(t *testing.T) {
	for _, row := range []struct{ absoluteBar, boilsC float64 }{{1, 99.61}, {2, 120.21}, {3, 133.52}} {
		s := System{LoopPressureBar: row.absoluteBar - physics.StandardPressurePa/physics.PascalPerBar}
		if got := physics.WaterBoilingPointC(s.LoopPressurePaAbs(0)); got < row.boilsC-0.02 || got > row.boilsC+0.02 {
			t.Errorf("%g bar: boils at %.2f °C, the table says %g °C", row.absoluteBar, got, row.boilsC)
		}
	}
}
