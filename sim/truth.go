package sim

import (
	"fmt"
	"time"

	"sunstoker/physics"
	"sunstoker/sim/plant"
	"sunstoker/sim/weather"
)

// Elapsed is the simulated time since the start.
func (h *House) Elapsed() time.Duration { return h.elapsed }

// Now is the simulated instant in UTC.
func (h *House) Now() time.Time { return h.config.Start.Add(h.elapsed) }

// Systems is the number of systems.
func (h *House) Systems() int { return len(h.systems) }

// SystemNamed is the index of the system of a name.
func (h *House) SystemNamed(name string) (int, error) {
	for i := range h.systems {
		if h.systems[i].name == name {
			return i, nil
		}
	}
	return 0, fmt.Errorf("sim: the house has no system %q", name)
}

// Truth is the state of a system as nature has it.
func (h *House) Truth(system int) plant.Truth { return h.systems[system].plant.Truth() }

// Book is the energy book of a system.
func (h *House) Book(system int) plant.Book { return h.systems[system].plant.Book() }

// Tally is what a system went through: hours, starts, extremes.
func (h *House) Tally(system int) plant.Tally { return h.systems[system].plant.Tally() }

// Usage is what the household asked for and got.
func (h *House) Usage() Usage { return h.usage }

// Sky is the weather now, as of the middle of its slot.
func (h *House) Sky() weather.Sample { return h.sky }

// Light is the light on the collector plane of a system now.
func (h *House) Light(system int) weather.OnField { return h.systems[system].light }

// ColdC is the temperature of the cold water in degC.
func (h *House) ColdC() float64 { return h.coldC }

// TankC is the water of a system's tank in degC at a height from 0 (bottom) to 1
// (top).
func (h *House) TankC(system int, height float64) float64 {
	return h.systems[system].plant.TankC(height)
}

// TankTruth returns a function that gives TankC of one height at any later time,
// for much less work.
func (h *House) TankTruth(system int, height float64) func() float64 {
	return h.systems[system].plant.TankProbe(height)
}

// place is a spot whose temperature can be asked.
type place struct {
	name string
	// elsewhere is the place a probe reads that has slipped out of this one.
	elsewhere string
	// truth makes the function that reads it in a system; a probe calls that at
	// each step.
	truth func(h *House, s *houseSystem) func() float64
}

// placeUnits are the units of places that have no temperature.
var placeUnits = map[string]string{
	"loop_pressure": "bar", // above the air around, beside the expansion vessel
	"loop_flow":     "l/min",
	"draw_flow":     "l/min", // cold water into the tank, for draws

	"pump_current":       "A", // at supplyV
	"heater_current":     "A",
	"circulation_button": "", // 1 in the step in which somebody opens a tap, else 0
}

// supplyV is the nominal mains voltage of IEC 60038 (from memory).
const supplyV = 230

// PlaceUnit is the unit of a place: "degC" for most. An error for a place there
// is not.
func PlaceUnit(name string) (string, error) {
	if _, err := placeNamed(name); err != nil {
		return "", err
	}
	if unit, ok := placeUnits[name]; ok {
		return unit, nil
	}
	return "degC", nil
}

// places lists all spots. Add a row to add one.
var places = []place{
	{"collector", "outdoor_air", func(_ *House, s *houseSystem) func() float64 { return s.plant.CollectorC }},
	{"tank_top", "room_air", func(_ *House, s *houseSystem) func() float64 {
		return s.plant.TankProbe(s.plant.Config().TopProbeHeight)
	}},
	{"tank_bottom", "room_air", func(_ *House, s *houseSystem) func() float64 {
		return s.plant.TankProbe(s.plant.Config().BottomProbeHeight)
	}},
	{"tank_middle", "room_air", func(_ *House, s *houseSystem) func() float64 { return s.plant.TankProbe(0.5) }},
	{"coil_supply", "room_air", ofTruth(func(t *plant.Truth) float64 { return t.CoilSupplyC })},
	{"coil_return", "room_air", ofTruth(func(t *plant.Truth) float64 { return t.CoilReturnC })},
	{"hot_pipe", "room_air", ofTruth(func(t *plant.Truth) float64 { return t.HotPipeC })},
	{"cold_pipe", "room_air", ofTruth(func(t *plant.Truth) float64 { return t.ColdPipeC })},
	{"circulation_supply", "room_air", func(_ *House, s *houseSystem) func() float64 {
		return func() float64 { supplyC, _ := s.plant.CirculationC(); return supplyC }
	}},
	{"circulation_return", "room_air", func(_ *House, s *houseSystem) func() float64 {
		return func() float64 { _, returnC := s.plant.CirculationC(); return returnC }
	}},
	{"tap", "room_air", ofTruth(func(t *plant.Truth) float64 { return t.AtTapC })},
	{"loop_pressure", "loop_pressure", func(_ *House, s *houseSystem) func() float64 {
		return func() float64 { return (s.plant.LoopPressurePa() - physics.StandardPressurePa) / 1e5 }
	}},
	{"loop_flow", "loop_flow", func(_ *House, s *houseSystem) func() float64 {
		const at = 40 // degC; a meter of this kind is no better than the error it makes
		perLMin := s.plant.Config().Fluid.DensityKgM3(at) / 60000
		return func() float64 { return max(0, s.plant.FlowKgS()) / perLMin }
	}},
	{"draw_flow", "draw_flow", func(h *House, s *houseSystem) func() float64 {
		return func() float64 {
			if s.drawnL == 0 {
				return 0
			}
			return s.drawnL / h.lastStepS * 60
		}
	}},
	{"pump_current", "pump_current", func(_ *House, s *houseSystem) func() float64 {
		return func() float64 { return s.plant.PumpNowW() / supplyV }
	}},
	{"heater_current", "heater_current", func(_ *House, s *houseSystem) func() float64 {
		return func() float64 { return s.plant.HeaterNowW() / supplyV }
	}},
	{"circulation_button", "circulation_button", func(h *House, _ *houseSystem) func() float64 {
		return func() float64 {
			if h.opened {
				return 1
			}
			return 0
		}
	}},
	{"outdoor_air", "outdoor_air", func(h *House, _ *houseSystem) func() float64 {
		return func() float64 { return h.sky.AirC }
	}},
	{"room_air", "room_air", func(h *House, _ *houseSystem) func() float64 {
		return func() float64 { return h.config.RoomC }
	}},
	{"cold_water", "room_air", func(h *House, _ *houseSystem) func() float64 {
		return func() float64 { return h.coldC }
	}},
}

// ofTruth reads a figure out of a plant's whole truth.
func ofTruth(figure func(*plant.Truth) float64) func(*House, *houseSystem) func() float64 {
	return func(_ *House, s *houseSystem) func() float64 {
		return func() float64 {
			truth := s.plant.Truth()
			return figure(&truth)
		}
	}
}

// Places are the names that TruthAt and AddProbe take.
func Places() []string {
	names := make([]string, len(places))
	for i, p := range places {
		names[i] = p.name
	}
	return names
}

func placeNamed(name string) (*place, error) {
	for i := range places {
		if places[i].name == name {
			return &places[i], nil
		}
	}
	return nil, fmt.Errorf("sim: there is no place %q; places are %v", name, Places())
}

// TruthAt returns a function that gives the true temperature of a place in
// degC whenever it is asked, or what else there is at it, see PlaceUnit.
func (h *House) TruthAt(system int, name string) (func() float64, error) {
	p, err := placeNamed(name)
	if err != nil {
		return nil, err
	}
	if system < 0 || system >= len(h.systems) {
		return nil, fmt.Errorf("sim: there is no system %d; there are %d, counted from 0", system, len(h.systems))
	}
	return p.truth(h, &h.systems[system]), nil
}
