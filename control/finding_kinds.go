package control

import "time"

// FindingKind is one thing that can be wrong.
type FindingKind uint8

// The kinds of finding.
const (
	FoundHeaterRelayStuck FindingKind = iota // first of all
	FoundAllProbesSilent
	FoundProbeSilent
	FoundProbeOutOfRange
	FoundProbeJumps
	FoundProbeFrozen
	FoundProbeColderThanSky
	FoundTankTooHot
	FoundNearFreezing
	FoundFrostNotHelped
	FoundFrostBlind
	FoundStagnation
	FoundClockUnset
	FoundOutputFault
	FoundBusStuck
	FoundStateUnsaved
	FoundHygieneOverdue
	FoundPipesOverdue
	FoundServicing
	FoundProbeTrouble
	FoundHeaterFruitless
	FoundObserving
	FoundMemoryLost
	FoundHeatDumpFruitless
	FoundLoopDry
	FoundPressureTooHigh
	FoundTankPartEmpty
	FoundTapTooHot
	FoundTankNearFreezing
	FoundPumpMovesNoHeat
	FoundPumpNoCurrent
	FoundLoopAir
	FoundPumpWeak
	FoundPumpRelayStuck
	FoundHeaterNoCurrent
	FoundHeaterCutOut
	FoundHeaterGivesNothing
	FoundHeaterThermostatLow
	FoundHeaterSlow
	FoundHeaterNotAsDescribed
	FoundReverseCirculation
	FoundFlowMeterSilent
	FoundFlowMeterAtRest
	FoundProbeOutOfPocket
	FoundTankProbesSwapped
	FoundCollectorSwapped
	FoundCollectorDrifts
	FoundOutdoorWarm
	FoundTankTopStuck
	FoundProbeUnsteady
	FoundProbeNotGenuine
	FoundProbeStranger
	FoundPressureLow
	FoundPressureFalling
	FoundVesselCushionLost
	FoundCoilScaled
	FoundYieldPoor
	FoundCirculationAlways
	FoundCirculationCold
	FoundTapLukewarm
	FoundTankUnused
	FoundFrostRuns
	FoundClockWrong
	FoundClockJumps
	FoundSupplySags
	FoundBoardHot
	FoundStorageNearlyFull
	FoundStorageReadOnly
	FoundRestartsMany
	FoundRelayWorn
	FoundWatchdogUnarmed
	FoundWasAway
	FoundSunInTheDark
	FoundLoopStandsStill
	FoundHistoryUnwritten
	FoundProbePowersUp
	numFindingKinds
)

type findingRow struct {
	key        string
	title      string
	likely     string // what it likely is
	check      string // what to check
	urgency    Urgency
	about      About
	raiseAfter time.Duration
	clearAfter time.Duration
	word       bool // it waits for proof of health, or for a person's word: the end of the service state
}

// findingRows are the rows of a subject.
type findingRows map[FindingKind]findingRow

// findingTable says what each kind means to a person, and how long its sign
// must be seen, or not be seen, before it is raised or cleared. Its rows lie in
// a file for each subject: finding_kinds_*.go.
var findingTable = joinRows(findingsProbes, findingsLoop, findingsTank, findingsBoard)

func joinRows(subjects ...findingRows) (table [numFindingKinds]findingRow) {
	for _, rows := range subjects {
		for kind, row := range rows {
			table[kind] = row
		}
	}
	return table
}

// String is the kind as metrics and saved state name it.
func (k FindingKind) String() string {
	if k >= numFindingKinds {
		return "unknown"
	}
	return findingTable[k].key
}

// Title says in a few words what is wrong.
func (k FindingKind) Title() string { return findingTable[k].title }

// Likely says what it likely is.
func (k FindingKind) Likely() string { return findingTable[k].likely }

// Check says what to check and do.
func (k FindingKind) Check() string {
	if findingTable[k].word {
		return findingTable[k].check + wordHelps
	}
	return findingTable[k].check
}

// TakesWord tells whether the end of the service state clears it.
func (k FindingKind) TakesWord() bool { return findingTable[k].word }

// Urgency says how soon somebody should act.
func (k FindingKind) Urgency() Urgency { return findingTable[k].urgency }

// FindingKinds lists every kind.
func FindingKinds() []FindingKind {
	kinds := make([]FindingKind, numFindingKinds)
	for i := range kinds {
		kinds[i] = FindingKind(i)
	}
	return kinds
}
