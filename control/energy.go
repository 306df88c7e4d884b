package control

import (
	"fmt"
	"math"
	"time"
)

// Energy is a system's energy book since the site was first started, in joules.
// No figure ever falls. Electricity is counted by rated powers and run times,
// heat by a meter where there is one, else by the tank's own balance
// (tank_balance.go).
type Energy struct {
	SunJ      float64 `json:"sun_j"`       // heat that the loop has brought
	MeterJ    float64 `json:"meter_j"`     // electricity of the backup heater, all of which becomes heat
	DrawnJ    float64 `json:"drawn_j"`     // heat drawn as hot water
	TankLossJ float64 `json:"tank_loss_j"` // heat lost by the tank to its room
	LoopLossJ float64 `json:"loop_loss_j"` // heat that the loop has carried out of the tank: frost protection, night cooling
	PumpJ     float64 `json:"pump_j"`      // electricity of the loop pump

	CirculationLossJ float64 `json:"circulation_loss_j"` // heat that the hot-water circulation has taken through its pipes and not brought back
	CirculationPumpJ float64 `json:"circulation_pump_j"` // electricity of its pump
}

// EnergyOf gives the energy book of a system.
func (c *Controller) EnergyOf(system int) Energy { return c.st.Systems[system].Energy }

// CountsHeat tells whether a system has the probes that its heat is counted by:
// both of the tank, or a meter in the loop. Without them only electricity is.
func (c *Controller) CountsHeat(system int) bool {
	has := func(place Place) bool { return c.plan.probeAt(system, place) != none }
	return has(TankTop) && has(TankBottom) && c.plan.Systems[system].TankL > 0 ||
		has(LoopFlow) && has(CoilReturn) && has(Collector)
}

// CountsCirculation tells whether a system's loss by its hot-water circulation
// can be counted: by the circulation's rated flow and what its return has cooled.
// Without that it counts as drawn.
func (c *Controller) CountsCirculation(system int) bool {
	has := func(place Place) bool { return c.plan.probeAt(system, place) != none }
	return c.plan.outputOf(system, HotWaterCirculation) != none && has(TankTop) && has(CirculationReturn) &&
		c.plan.Systems[system].CirculationLMin > 0
}

// bookPeriod is how often the tank's balance is looked at.
const bookPeriod = time.Minute

// leastHeaterA is the current from which a heater counts as drawing power.
const leastHeaterA = 0.5

// keepBook counts what flowed in this step, by the levels that were driven.
func (c *Controller) keepBook(elapsed time.Duration) {
	c.st.BookFor += elapsed
	look := c.st.BookFor >= bookPeriod
	for i := range c.systems {
		s := &c.systems[i]
		c.countElectricity(s, elapsed)
		if s.circulation != none && c.st.Outputs[s.circulation].Level > 0 {
			s.countCirculationHeat(elapsed)
		}
		if s.loopFlow != &c.absent && c.loopMayFlow(s) {
			s.countMeteredLoop(elapsed)
		}
		if s.drawFlow != &c.absent {
			s.countMeteredDraw(elapsed)
		}
		if look {
			c.balanceTank(s, c.st.BookFor)
			c.followHabits(s, c.st.BookFor)
		}
	}
	if look {
		c.st.BookFor = 0
	}
}

func (c *Controller) countElectricity(s *system, elapsed time.Duration) {
	m := s.mem
	if s.pump != none {
		if level := c.st.Outputs[s.pump].Level; level > 0 {
			// A centrifugal pump's power goes with the cube of its speed (affinity
			// law; any textbook on pumps, from memory).
			m.Energy.PumpJ += s.plan.PumpW * level * level * level * seconds(elapsed)
			m.Balance.LoopRan += elapsed
		}
	}
	if s.heater == none {
		return
	}
	if level := c.st.Outputs[s.heater].Level; level > 0 && !(s.heaterCurrent.OK() && s.heaterCurrent.Value < leastHeaterA) {
		heat := s.plan.HeaterW * level * seconds(elapsed)
		m.Energy.MeterJ += heat
		m.Balance.HeaterJ += heat
	}
}

// countCirculationHeat counts what the hot-water circulation costs while it runs.
// The heat is that by which its water comes back colder, when that can be read: a
// ring that cooled since the last run is so counted as it is heated again. A return
// that is 2 K colder, read by probes that agree within 0.5 K, gives it to a quarter.
func (s *system) countCirculationHeat(elapsed time.Duration) {
	m := s.mem
	m.Energy.CirculationPumpJ += s.plan.CirculationW * seconds(elapsed)
	if !s.tankTop.OK() || !s.circulationReturn.OK() {
		return
	}
	heat := s.plan.CirculationLMin / 60 * seconds(elapsed) * waterJLK * max(0, s.tankTop.Value-s.circulationReturn.Value)
	m.Energy.CirculationLossJ += heat
	m.Balance.RingJ += heat
}

// loopMayFlow tells whether what the loop's meter counts is taken for flow: in
// natural circulation always, else while the pump is on. At rest it is noise, or
// fluid that creeps backwards, of which the meter tells no direction.
func (c *Controller) loopMayFlow(s *system) bool {
	return s.pump == none || c.st.Outputs[s.pump].Level > 0
}

// countMeteredLoop is the equation of a heat meter (EN 1434-1, from memory):
// volume through the return times density, specific heat and the difference
// between flow and return.
func (s *system) countMeteredLoop(elapsed time.Duration) {
	m := s.mem
	if !s.loopFlow.OK() || !s.coilReturn.OK() || !s.collector.OK() {
		return
	}
	heat := s.loopFlow.Value / 60 * seconds(elapsed) * s.plan.loopHeatJLK() * (s.collector.Value - s.coilReturn.Value)
	m.Balance.LoopJ += heat
	if heat >= 0 {
		m.Energy.SunJ += heat
	} else {
		m.Energy.LoopLossJ -= heat
	}
}

// countMeteredDraw counts drawn litres from the tank top down to the coldest
// that the inlet has been of late.
func (s *system) countMeteredDraw(elapsed time.Duration) {
	if s.drawFlow.OK() && s.tankTop.OK() {
		warmK := max(0, s.tankTop.Value-s.coldWaterC())
		drawnJ := s.drawFlow.Value / 60 * seconds(elapsed) * waterJLK * warmK
		s.mem.Energy.DrawnJ += drawnJ
		s.forgetColdWater(drawnJ)
	}
}

// waterJLK is the heat that a litre of water takes per kelvin, J/(l K), at
// 40 °C: 0.992 kg/l times 4179 J/(kg K) (IAPWS-IF97).
const waterJLK = 4146

// loopHeatJLK is what a litre of the loop's fluid carries per kelvin, J/(l K).
func (s *System) loopHeatJLK() float64 {
	if s.LoopHeatJLK > 0 {
		return s.LoopHeatJLK
	}
	return waterJLK
}

// mostJ bounds an energy book: no house heats that much in a hundred years.
const mostJ = 1e15

// checkEnergy refuses an energy book that no run of this program can have left.
func (m *SystemState) checkEnergy() error {
	e, b := &m.Energy, &m.Balance
	for _, v := range []float64{e.SunJ, e.MeterJ, e.DrawnJ, e.TankLossJ, e.LoopLossJ, e.PumpJ, e.CirculationLossJ, e.CirculationPumpJ, b.CreditJ, b.HeaterJ, b.RingJ} {
		if !(v >= 0 && v <= mostJ) {
			return fmt.Errorf("control: the saved state has %g J in the energy book of %q", v, m.System)
		}
	}
	for _, v := range []float64{b.StoredJ, b.OpenJ, b.LoopJ} {
		if !(math.Abs(v) <= mostJ) {
			return fmt.Errorf("control: the saved state has %g J in the tank balance of %q", v, m.System)
		}
	}
	return nil
}
