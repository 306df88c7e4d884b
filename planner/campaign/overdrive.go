package campaign

import "sunstoker/planner"

// Overdrive holds every output of a house on for a day, as no program would:
// only the independent parts are left to keep people safe. Parts can be taken
// away. It gives the hazards that came about, and whether the cut-out and the
// tank's relief valve opened.
func Overdrive(h *House, sc *Scene, without ...Hardware) (hazards []Hazard, cutOut, relief bool, err error) {
	return forced(h, sc, true, without)
}

// forced holds every output of a house on, or off as a board without power does, for a
// day.
func forced(h *House, sc *Scene, on bool, without []Hardware) (hazards []Hazard, cutOut, relief bool, err error) {
	t := Trial{House: h, Scene: sc, Without: without, Step: usualStep}
	config, _, err := t.plan()
	if err != nil {
		return nil, false, false, err
	}
	run, err := planner.RunIn(h.site, config)
	if err != nil {
		return nil, false, false, err
	}
	w := newWatch(run, &h.site.Plan, usualStep)
	w.begin()
	level := 0.0
	if on {
		level = 1
	}
	for run.House.Elapsed() < day {
		for i := range h.site.Systems {
			run.House.SetPump(i, level)
			run.House.SetHeater(i, on)
			run.House.SetCirculation(i, on)
		}
		run.House.Step(usualStep)
		w.look()
		for i := range h.site.Systems {
			truth := run.House.Truth(i)
			cutOut, relief = cutOut || truth.CutOutOpen, relief || truth.Hazards.ReliefOpen
		}
	}
	for _, hazard := range []Hazard{TapScalds, TankBoils, LoopBurst, LoopPressure} {
		if w.harm.Amount[hazard] > 0 {
			hazards = append(hazards, hazard)
		}
	}
	return hazards, cutOut, relief, nil
}
