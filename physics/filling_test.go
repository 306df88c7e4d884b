package physics_test

import (
	"math"
	"testing"

	"sunstoker/physics"
)

// TestFillPressure: the sum by hand, and a boiling point of our own choosing: at
// 2000 m the standard atmosphere has 79 495 Pa (from memory), and water boils at
// 130 degC under 2.7026 bar (IAPWS release, computed).
func TestFillPressure(t *testing.T) {
	within(t, "at the sea, 8 m", physics.FillPressureBar(8, 0, 115), 2.1, 1e-9)
	within(t, "no height", physics.FillPressureBar(-3, 0, 115), 1.3, 1e-9)
	within(t, "thin air", physics.FillPressureBar(4, 2000, 130), 0.4+2.7026-0.79495, 2e-3)
	for altitude := 0.0; altitude <= 5500; altitude += 500 {
		fill := physics.FillPressureBar(6, altitude, 115)
		boils := physics.WaterBoilingPointC((fill-0.6)*physics.PascalPerBar + physics.AirPressurePa(altitude))
		if boils < 115-0.01 {
			t.Errorf("at %g m the loop boils at %g degC", altitude, boils)
		}
	}
}

// TestFilledVessel holds the vessel against the law of its gas: filled, then with
// all it must take.
func TestFilledVessel(t *testing.T) {
	const precharge, fill, end, taken = 1.3, 1.8, 5.4, 6.0
	vessel, err := physics.FilledVesselLitre(taken, precharge, fill, end)
	if err != nil {
		t.Fatal(err)
	}
	gas := physics.SealedGas{VolumeLitre: vessel, PrechargePaAbs: (precharge + 1) * 1e5}
	cold := gas.TakenLitre((fill + 1) * 1e5)
	within(t, "pressure with all taken", gas.PressurePaAbs(cold+taken)/1e5-1, end, 1e-9)
	for _, c := range [][4]float64{{-1, 1, 1.5, 5}, {1, 1, 0.9, 5}, {1, 1, 1.5, 1.55}, {1, math.NaN(), 1.5, 5}} {
		if got, err := physics.FilledVesselLitre(c[0], c[1], c[2], c[3]); err == nil {
			t.Errorf("%v gives %g litres", c, got)
		}
	}
}

func TestPipeSpeed(t *testing.T) {
	// 10 l/min in 16 mm: 1.6667e-4 m3/s over 2.0106e-4 m2 (by hand).
	within(t, "speed", physics.PipeSpeedMS(10, 0.016), 0.8289, 1e-4)
	if !math.IsInf(physics.PipeSpeedMS(1, 0), 1) {
		t.Error("a pipe without a bore lets something through")
	}
}

// TestHeaterPower is the inverse of the computed heating time.
func TestHeaterPower(t *testing.T) {
	var file struct {
		Heater struct {
			Litre, Watt, Minutes float64
			From                 float64 `json:"from_degC"`
			To                   float64 `json:"to_degC"`
		}
	}
	readJSON(t, "tank_mixed_other.json", &file)
	c := file.Heater
	within(t, "power", physics.HeaterPowerW(c.Litre, c.From, c.To, 60*c.Minutes), c.Watt, 0.012*c.Watt)
	if physics.HeaterPowerW(100, 60, 50, 1) != 0 || !math.IsInf(physics.HeaterPowerW(100, 10, 50, 0), 1) {
		t.Error("hot already, or no time: not as promised")
	}
}
