package control

import "slices"

// hides says which findings are only consequences of another one, and are not
// shown while it stands: one dead bus is one finding, not six. What hides is
// never less urgent than what it hides. A finding of the house hides those of
// all systems, one about a probe only those about the same probe.
var hides = [numFindingKinds][]FindingKind{
	FoundBusStuck:            {FoundAllProbesSilent, FoundProbeSilent, FoundProbeTrouble, FoundFrostBlind},
	FoundAllProbesSilent:     {FoundProbeSilent, FoundProbeTrouble, FoundFrostBlind},
	FoundProbeJumps:          {FoundProbeTrouble, FoundProbeUnsteady, FoundSunInTheDark},
	FoundProbeTrouble:        {FoundProbeUnsteady, FoundSunInTheDark},
	FoundProbePowersUp:       {FoundProbeTrouble, FoundProbeUnsteady, FoundSunInTheDark},
	FoundHeaterNoCurrent:     {FoundHeaterGivesNothing, FoundHeaterSlow},
	FoundHeaterCutOut:        {FoundHeaterNoCurrent, FoundHeaterGivesNothing, FoundHeaterSlow, FoundHygieneOverdue},
	FoundHeaterFruitless:     {FoundHeaterGivesNothing},
	FoundHeaterGivesNothing:  {FoundHeaterSlow, FoundHygieneOverdue},
	FoundHeaterThermostatLow: {FoundHygieneOverdue, FoundHeaterSlow},
	FoundHygieneOverdue:      {FoundPipesOverdue},
	FoundPumpRelayStuck:      {FoundReverseCirculation, FoundFlowMeterAtRest, FoundCollectorDrifts},
	FoundReverseCirculation:  {FoundFlowMeterAtRest, FoundCollectorDrifts},
	FoundPumpNoCurrent:       {FoundPumpMovesNoHeat, FoundPumpWeak, FoundYieldPoor, FoundStagnation, FoundFlowMeterSilent},
	FoundPumpMovesNoHeat:     {FoundPumpWeak, FoundYieldPoor, FoundStagnation},
	FoundLoopAir:             {FoundPumpMovesNoHeat, FoundPumpWeak, FoundYieldPoor, FoundStagnation},
	FoundLoopStandsStill:     {FoundYieldPoor, FoundStagnation, FoundPressureFalling},
	FoundLoopDry:             {FoundLoopAir, FoundPumpMovesNoHeat, FoundPumpWeak, FoundYieldPoor, FoundStagnation, FoundPressureLow, FoundPressureFalling},
	FoundPressureLow:         {FoundPressureFalling},
	FoundPumpWeak:            {FoundYieldPoor},
	FoundCoilScaled:          {FoundPumpWeak, FoundYieldPoor},
	FoundCollectorSwapped:    {FoundSunInTheDark, FoundTankProbesSwapped, FoundProbeOutOfPocket, FoundYieldPoor, FoundCollectorDrifts, FoundReverseCirculation},
	FoundProbeOutOfPocket:    {FoundCollectorDrifts, FoundSunInTheDark},
	FoundProbeFrozen:         {FoundTankTopStuck, FoundSunInTheDark, FoundLoopStandsStill, FoundCollectorSwapped, FoundTankProbesSwapped},
	FoundClockUnset:          {FoundClockJumps, FoundClockWrong},
	FoundClockWrong:          {FoundSunInTheDark, FoundProbeOutOfPocket, FoundPumpRelayStuck, FoundReverseCirculation, FoundCollectorDrifts},
	FoundStorageReadOnly:     {FoundStateUnsaved, FoundStorageNearlyFull, FoundHistoryUnwritten},
	FoundStorageNearlyFull:   {FoundStateUnsaved, FoundHistoryUnwritten},
}

// withoutConsequences drops the findings that another one of the list hides.
func withoutConsequences(list []Finding) []Finding {
	for i := range list {
		list[i].hidden = slices.ContainsFunc(list, func(root Finding) bool { return root.hides(&list[i]) })
	}
	return slices.DeleteFunc(list, func(f Finding) bool { return f.hidden })
}

func (f *Finding) hides(other *Finding) bool {
	if !slices.Contains(hides[f.Kind], other.Kind) {
		return false
	}
	if f.About == AboutProbe && other.About == AboutProbe && f.Place != other.Place {
		return false
	}
	return f.System == House || f.System == other.System
}
