package site

import (
	"cmp"
	"slices"

	"sunstoker/control"
)

// order puts probes and outputs in their fixed order (the house's probes
// first, then system by system, each in the order of control.Places and
// control.Actuators) and makes the controller's plan.
func (w *walker) order() {
	s := w.site
	slices.SortStableFunc(w.probes, func(a, b *ProbeWiring) int {
		return cmp.Or(cmp.Compare(a.System, b.System), cmp.Compare(a.Place, b.Place))
	})
	w.sortOutputs()
	s.Plan = control.Plan{Zone: s.Zone, LatitudeDeg: s.LatitudeDeg, LongitudeDeg: s.LongitudeDeg, Settings: s.Settings, SupplyW: s.SupplyW, ObserveOnly: s.ObserveOnly, DrawsInSeries: s.Household.DrawsInSeries,
		PricePerKWh: s.Electricity.PerKWh, Prices: s.PricesByTime}
	for _, p := range w.probes {
		s.Probes = append(s.Probes, *p)
		s.Plan.Probes = append(s.Plan.Probes, p.Probe)
	}
	for _, o := range w.outputs {
		s.Outputs = append(s.Outputs, *o)
		s.Plan.Outputs = append(s.Plan.Outputs, o.Output)
	}
	for i, system := range w.systems {
		if system.Store == LoopFluid {
			system.Settings.HygieneInterval = 0 // such a tank stores no drinking water
		}
		w.sparePump(i, system)
		s.Systems = append(s.Systems, *system)
		s.Plan.Systems = append(s.Plan.Systems, control.System{
			Name:           system.Name,
			Loop:           system.Loop,
			Settings:       system.Settings,
			FreezingPointC: system.FreezingPointC,
			WaterFilled:    !system.Glycol,
			Tempered:       system.Tank.TemperingC > 0,
			TankL:          system.Tank.VolumeL,
			TankLossWK:     system.Tank.LossWK,
			HeaterW:        system.Heater.PowerW,
			PumpW:          system.PumpW,

			HeaterHeight:      system.Heater.HeightPercent / 100,
			TopProbeHeight:    system.TankFittings.TopProbePercent / 100,
			BottomProbeHeight: system.TankFittings.LowProbePercent / 100,

			CirculationLMin: system.CirculationLMin,
			CirculationW:    system.CirculationW,
			LoopFluidStore:  system.Store == LoopFluid,
			LoopHeatJLK:     loopHeatJLK(system),
			Plane:           system.Collector.Plane(),
			ReliefBar:       system.Plumbing.ReliefBar,
		})
	}
}

func (w *walker) sortOutputs() {
	slices.SortStableFunc(w.outputs, func(a, b *OutputWiring) int {
		return cmp.Or(cmp.Compare(a.System, b.System), cmp.Compare(a.Actuator, b.Actuator))
	})
}

// loopHeatJLK is the heat that a litre of a system's fluid carries per kelvin at
// its usual temperature, J/(l K); 0 for a mixture that can't be, which has an
// error of its own.
func loopHeatJLK(s *System) float64 {
	fluid, err := s.LoopFluid()
	if err != nil {
		return 0
	}
	return fluid.DensityKgM3(workingC) / 1000 * fluid.SpecificHeatJKgK(workingC)
}

// sparePump sets how far the loop pump is spared where the file does not say it.
func (w *walker) sparePump(index int, system *System) {
	const name = "pump_saving"
	pump := w.outputAt(index, control.LoopPump)
	if pump == nil || w.written("settings."+name) || w.written(element("system", index)+".settings."+name) {
		return
	}
	system.Settings.PumpSavingPercent = control.UsualPumpSaving(&pump.Output)
}
