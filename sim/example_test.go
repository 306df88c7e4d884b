package sim_test

import (
	"fmt"
	"time"

	"sunstoker/physics"
	"sunstoker/sim"
	"sunstoker/sim/household"
	"sunstoker/sim/plant"
	"sunstoker/sim/weather"
)

// Four June days in north Italy with a pump that stops turning on the third day.
func Example() {
	house, err := sim.New(sim.Config{
		Weather:   weather.NorthItaly(),
		Start:     time.Date(2025, 6, 1, 0, 0, 0, 0, time.UTC),
		Household: household.People{Persons: 3, LitresAt60: 40, Seed: 1},
		Systems:   []sim.System{{Name: "roof", Plant: plant.Typical(), Plane: physics.Plane{TiltDeg: 40, AzimuthDeg: 180}}},
		RoomC:     20,
		Albedo:    0.2,
		Probes: []sim.ProbeConfig{
			{Name: "collector", Place: "collector", StepK: sim.UsualStepK, NoiseK: 0.05},
			{Name: "tank bottom", Place: "tank_bottom", StepK: sim.UsualStepK, Lag: 20 * time.Second},
		},
		Faults: []sim.Fault{{Name: "pump does not turn", Start: 48 * time.Hour, Duration: 24 * time.Hour}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	collector, _ := house.Probe("collector")
	bottom, _ := house.Probe("tank bottom")
	for day := range 4 {
		for house.Elapsed() < time.Duration(day+1)*24*time.Hour {
			hot, seen := collector.Read(house.Elapsed())
			cold, _ := bottom.Read(house.Elapsed())
			if seen && hot > cold+6 {
				house.SetPump(0, 1)
			} else {
				house.SetPump(0, 0)
			}
			house.Advance(house.Elapsed() + time.Minute)
		}
		fmt.Printf("day %d: steam so far: %v\n", day+1, house.Tally(0).SteamingS > 0)
	}
	// Output:
	// day 1: steam so far: false
	// day 2: steam so far: false
	// day 3: steam so far: true
	// day 4: steam so far: true
}
