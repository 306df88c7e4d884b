package control

// Words is the key of a sentence. The sentences stand in one table, so that
// they read as one voice and can be translated in one place.
type Words uint8

// The sentences. Each one's template names its figures as {0 °C}: the figure's
// number in [Reason].Values and its unit.
const (
	SaysNothing Words = iota

	// Why an output is as it is.
	SaysNobodyAsks
	SaysMinimumRun
	SaysMinimumRest
	SaysOverride
	SaysLoopGains
	SaysLoopGainsByTop
	SaysLoopSlowed
	SaysLoopFull
	SaysLoopNoGain
	SaysLoopGathers
	SaysLoopNoGainByTop
	SaysLoopEnds
	SaysLoopNoCollector
	SaysLoopNoTank
	SaysTankFull
	SaysTankFullUnseen
	SaysCollectorSteaming
	SaysSteamingUnseen
	SaysFrostCirculation
	SaysFrostWatchAir
	SaysFrostWatchBlind
	SaysFrostWatchDispute
	SaysFrostTankCold
	SaysLastResort
	SaysLastResortByAir
	SaysLastResortTankCold
	SaysLastResortVain
	SaysFluidThick
	SaysFluidThickByAir
	SaysHeaterCold
	SaysHeaterHeating
	SaysHeaterWarm
	SaysHeaterOutsideWindows
	SaysHeaterFloor
	SaysHeaterClock
	SaysHeaterFeeds
	SaysHoliday
	SaysHeaterNoReading
	SaysHeaterTankFull
	SaysHeaterLocked
	SaysTankFrost
	SaysOffPeak
	SaysSunFirstHeats
	SaysSunFirstAhead
	SaysSunFirstWaits
	SaysSunFirstLater
	SaysSunFirstEnough
	SaysSunFirstLearns
	SaysSunFirstBlind
	SaysToldSunHeats
	SaysToldSunWaits
	SaysToldSunEnough
	SaysSupplyUsed
	SaysSupplyTooSmall
	SaysDump
	SaysDumpPumps
	SaysDumpLocked
	SaysDumpBlind
	SaysDumpTooHot
	SaysDumpNotHot
	SaysDumpNotFull
	SaysCirculationBlind
	SaysCirculationTankCold
	SaysCirculationWarm
	SaysCirculationSpent
	SaysCirculationAsked
	SaysCirculationWindow
	SaysCirculationUnmetered
	SaysCirculationClock
	SaysCirculationOutside
	SaysCirculationHygiene
	SaysBoost
	SaysHygiene
	SaysServicing
	SaysExercise
	SaysNightCooling
	SaysLoopFruitless

	// Why a reading is not good.
	SaysNoAnswer
	SaysTooOld
	SaysSettling
	SaysOutOfRange
	SaysBeyondRange
	SaysJumped
	SaysFrozenReading
	SaysPowerUp
	SaysStillWhilePumped
	SaysColderThanSky

	// What a finding has seen.
	SawProbeMissing
	SawProbeOutOfRange
	SawProbeBeyondRange
	SawProbeJump
	SawProbeUnsettled
	SawProbeTrouble
	SawHeaterLocked
	SawDumpLocked
	SawProbeFrozen
	SawProbeStillWhilePumped
	SawProbeColderThanSky
	SawAllProbesMissing
	SawClockUnset
	SawNearFreezing
	SawFrostNotHelped
	SawLastResortEnded
	SawLastResortTankCold
	SawFrostBlind
	SawStagnation
	SawTankAboveLimit
	SawOutputFault
	SawBusStuck
	SawStateUnsaved
	SawHygieneOverdue
	SawPipesOverdue
	SawServicing
	SawObserving
	SawMemoryLost
	SawPumpMovesNoHeat
	SawPumpNoCurrent
	SawLoopAir
	SawLoopAirFlow
	SawLoopDryPressure
	SawLoopDryHot
	SawPumpWeakFlow
	SawPumpWeakGap
	SawPumpWeakStep
	SawPumpCurrentOff
	SawWarmRoof
	SawNightGap
	SawWarmWall
	SawSunInTheNight
	SawSunInTheDark
	SawHeaterNoCurrent
	SawHeaterCurrentOff
	SawHeaterRises
	SawHeaterCutOut
	SawHeaterGivesNothing
	SawHeaterFlat
	SawHeaterSlow
	SawHeaterNotAsDescribed
	SawTankPartEmpty
	SawFlowMeterSilent
	SawFlowMeterAtRest
	SawColdDays
	SawHeatFromNowhere
	SawTankProbesSwapped
	SawCollectorSwapped
	SawTankTopStuck
	SawProbeUnsteady
	SawProbePowersUp
	SawProbeNotGenuine
	SawProbeStranger
	SawPressureLow
	SawPressureTooHigh
	SawPressureFalling
	SawVesselSteep
	SawVacuum
	SawCoilScaled
	SawYieldPoor
	SawCirculationAlways
	SawCirculationCold
	SawTapTooHot
	SawTapLukewarm
	SawTankUnused
	SawTankNearFreezing
	SawFrostRuns
	SawClockJumps
	SawSupplySags
	SawBoardHot
	SawStorageNearlyFull
	SawStorageReadOnly
	SawRestartsMany
	SawRelayWorn
	SawWatchdogUnarmed
	SawClockLeap
	SawAway
	SawStandstill
	SawAirInstead
	SawWild
	SawProbePowerUp
	SawHistoryUnwritten

	numWords
)

type sentence struct{ key, text string }

var english = [numWords]sentence{
	SaysNothing: {"nothing", ""},

	SaysNobodyAsks:           {"nobody_asks", "nothing asks for it"},
	SaysMinimumRun:           {"minimum_run", "runs on to its minimum run time, {0 time} left"},
	SaysMinimumRest:          {"minimum_rest", "waits for its minimum rest time, {0 time} left"},
	SaysOverride:             {"override", "set by hand for another {0 time}"},
	SaysLoopGains:            {"loop_gains", "the collector, {0 °C}, is {1 K} hotter than the tank bottom"},
	SaysLoopGainsByTop:       {"loop_gains_by_top", "the collector, {0 °C}, is {1 K} hotter than the tank top, which stands in for the tank bottom"},
	SaysLoopSlowed:           {"loop_slowed", "the collector, {0 °C}, is {1 K} hotter than the tank bottom, and the pump's speed is regulated to keep it at {2 K}"},
	SaysLoopFull:             {"loop_full", "the collector, {0 °C}, is {1 K} hotter than the tank bottom, and one of them is near its limit: the pump runs at full"},
	SaysLoopNoGain:           {"loop_no_gain", "the collector, {0 °C}, is not {2 K} hotter than the tank bottom, {1 °C}"},
	SaysLoopGathers:          {"loop_gathers", "the collector, {0 °C}, is {1 K} hotter than the tank bottom; a start is worth it when it has gathered heat for another {2 time}"},
	SaysLoopNoGainByTop:      {"loop_no_gain_by_top", "the collector, {0 °C}, is not {2 K} hotter than the tank top, {1 °C}, which stands in for the tank bottom"},
	SaysLoopEnds:             {"loop_ends", "the collector, {0 °C}, is only {1 K} hotter than the tank; the pump stops at {2 K}"},
	SaysLoopNoCollector:      {"loop_no_collector", "there is no good collector reading to judge the sun by"},
	SaysLoopNoTank:           {"loop_no_tank", "there is no good tank reading to compare the collector with"},
	SaysTankFull:             {"tank_full", "the tank is full: its hottest reading is {0 °C}, and it must cool to {1 °C} first"},
	SaysTankFullUnseen:       {"tank_full_unseen", "the tank was full before a probe of it was lost, and may still be hotter than {0 °C}"},
	SaysCollectorSteaming:    {"collector_steaming", "the collector, {0 °C}, may be steaming; it must cool below {1 °C} first"},
	SaysSteamingUnseen:       {"steaming_unseen", "the collector was above {0 °C} when it was last read, and may still be steaming"},
	SaysFrostCirculation:     {"frost_circulation", "frost protection: the collector is at {0 °C}, the tank's warmth keeps it from freezing"},
	SaysFrostWatchAir:        {"frost_watch_air", "frost watch: the outdoor air is at {0 °C}, short runs keep the pipes from freezing"},
	SaysFrostWatchBlind:      {"frost_watch_blind", "frost watch: neither collector nor outdoor air can be read in the cold season, short runs to be sure"},
	SaysFrostWatchDispute:    {"frost_watch_dispute", "frost watch: collector, {0 °C}, and outdoor air, {1 °C}, can't both be right, short runs to be sure"},
	SaysLastResort:           {"frost_last_resort", "last resort against frost: the collector is at {0 °C}, its fluid begins to freeze at {1 °C}; a short burst of the tank's warmth"},
	SaysLastResortByAir:      {"frost_last_resort_by_air", "last resort against frost: the outdoor air is at {0 °C}, the loop's fluid begins to freeze at {1 °C}; a short burst of the tank's warmth"},
	SaysLastResortTankCold:   {"frost_last_resort_tank_cold", "the loop is near its freezing point, {0 °C}, but the tank, {1 °C}, has no warmth to give above {2 °C}"},
	SaysLastResortVain:       {"frost_last_resort_vain", "the loop is near its freezing point, {0 °C}, and {1} bursts of the tank's warmth were not seen to help: the pump rests until it is warmer"},
	SaysFluidThick:           {"fluid_thick", "the collector is at {0 °C}, below the {1 °C} where its fluid begins to freeze: no pump is run against thick or frozen fluid"},
	SaysFluidThickByAir:      {"fluid_thick_by_air", "the outdoor air is at {0 °C}, and the loop's fluid begins to freeze at {1 °C}: no pump is run against thick or frozen fluid"},
	SaysFrostTankCold:        {"frost_tank_cold", "frost protection is needed but the tank, {0 °C}, has no warmth to give above {1 °C}"},
	SaysHeaterCold:           {"heater_cold", "the tank top, {0 °C}, is colder than {1 °C} inside a heater window"},
	SaysHeaterHeating:        {"heater_heating", "the tank top, {0 °C}, is on its way to {1 °C}"},
	SaysHeaterWarm:           {"heater_warm", "the tank top, {0 °C}, is warm enough; the heater helps from {1 °C} down"},
	SaysHeaterOutsideWindows: {"heater_outside_windows", "outside the heater's windows; the tank top is at {0 °C}"},
	SaysHeaterFloor:          {"heater_floor", "the tank top, {0 °C}, is heated to {1 °C}: it was below the floor of {2 °C} that holds at any time"},
	SaysHeaterClock:          {"heater_clock", "the clock is not set, so the heater's windows can't be kept; the tank top is at {0 °C}"},
	SaysHeaterFeeds:          {"heater_feeds", "the water passes the tank of system {1}, counted as in the site file, on its way to the taps, and is heated there; here the tank top is at {0 °C}"},
	SaysHoliday:              {"holiday", "holiday for another {1 time}: nobody draws water; the tank top is at {0 °C}"},
	SaysHeaterNoReading:      {"heater_no_reading", "there is no good tank top reading, and without one the heater must stay off"},
	SaysHeaterTankFull:       {"heater_tank_full", "the tank is too hot to be heated: its hottest reading is {0 °C}, and it must cool to {1 °C} first"},
	SaysHeaterLocked:         {"heater_locked", "it has heated for {0 time} with no sign of it at the tank top, so it is locked and tried once a day"},

	SaysTankFrost:      {"tank_frost", "it keeps the tank from freezing: the tank top, {0 °C}, is heated to {1 °C}"},
	SaysOffPeak:        {"off_peak", "power is cheap now: the tank top, {0 °C}, is heated to {1 °C}"},
	SaysSunFirstHeats:  {"sun_first_heats", "hot water may be wanted before the sun brings it: the tank top, {0 °C}, is heated; {1 kWh} will likely be drawn in 18 h, and the sun should bring {2 kWh} in 12 h"},
	SaysSunFirstAhead:  {"sun_first_ahead", "power costs less now than later: the tank top, {0 °C}, is heated ahead; {1 kWh} will likely be drawn in 18 h, and the sun should bring {2 kWh} in 12 h"},
	SaysSunFirstWaits:  {"sun_first_waits", "waiting: the sun should bring {0 kWh} in 12 h, and {1 kWh} will likely be drawn in 18 h; the heater gives up waiting at {2 clock}"},
	SaysSunFirstLater:  {"sun_first_later", "the hot water lasts for a while: {0 kWh} will likely be drawn in 18 h; the heater starts at {1 clock}"},
	SaysSunFirstEnough: {"sun_first_enough", "there is hot water enough: {0 kWh} will likely be drawn in 18 h, and the sun should bring {1 kWh} in 12 h"},
	SaysSunFirstLearns: {"sun_first_learns", "the heater's windows hold while the household is learned: {0} of {1} days"},
	SaysSunFirstBlind:  {"sun_first_blind", "the heater's windows hold: to wait for the sun it takes both tank readings and a clock that is set; the tank top is at {0 °C}"},
	SaysToldSunHeats:   {"told_sun_heats", "hot water may be wanted before the sun brings it: the tank top, {0 °C}, is heated; {1 kWh} will likely be drawn in 18 h, and by the site's forecast, as this plant has come to know it, the sun should bring {2 kWh} in 12 h"},
	SaysToldSunWaits:   {"told_sun_waits", "waiting: by the site's forecast, as this plant has come to know it, the sun should bring {0 kWh} in 12 h, and {1 kWh} will likely be drawn in 18 h; the heater gives up waiting at {2 clock}"},
	SaysToldSunEnough:  {"told_sun_enough", "there is hot water enough: {0 kWh} will likely be drawn in 18 h, and by the site's forecast, as this plant has come to know it, the sun should bring {1 kWh} in 12 h"},
	SaysSupplyUsed:     {"supply_used", "waits: of the supply of {0 W} too little is left beside the heater of system {1}, counted as in the site file"},
	SaysSupplyTooSmall: {"supply_too_small", "the supply of {0 W} is less than the {1 W} that this heater draws"},
	SaysDump:           {"dump", "the tank is full, {1 °C}, and the collector is at {0 °C}: its heat is led to the heat dump"},
	SaysDumpPumps:      {"dump_pumps", "the heat dump takes the heat of the collector, {0 °C}, past the full tank, {1 °C}"},
	SaysDumpLocked:     {"dump_locked", "the tank got hotter though the heat was to pass it by, so the heat dump is locked for another {0 time}"},
	SaysDumpBlind:      {"dump_blind", "there are no good readings of collector and tank, and without them no heat is led past the tank"},
	SaysDumpTooHot:     {"dump_too_hot", "the tank, {0 °C}, is too far above its limit of {1 °C} to lead heat past it"},
	SaysDumpNotHot:     {"dump_not_hot", "the tank is full, but the collector, {0 °C}, is not as hot as {1 °C}"},
	SaysDumpNotFull:    {"dump_not_full", "the tank takes the heat: its hottest reading is {0 °C}, and its limit is {1 °C}"},

	SaysCirculationBlind:     {"circulation_blind", "there is no good tank top reading to tell whether the tank has hot water for the pipes"},
	SaysCirculationTankCold:  {"circulation_tank_cold", "the tank top, {0 °C}, has no water of {1 °C} to keep the pipes hot with"},
	SaysCirculationWarm:      {"circulation_warm", "the pipes are hot: the circulation's return is at {0 °C}, and {1 °C} will do"},
	SaysCirculationSpent:     {"circulation_spent", "it has run for {0 time} in this day, and more is not allowed"},
	SaysCirculationAsked:     {"circulation_asked", "somebody wants hot water: the pipes are kept hot for another {0 time}"},
	SaysCirculationWindow:    {"circulation_window", "inside a window of the circulation; its return is at {0 °C} on its way to {1 °C}"},
	SaysCirculationUnmetered: {"circulation_unmetered", "inside a window of the circulation, and no reading tells how warm its return is"},
	SaysCirculationClock:     {"circulation_clock", "the clock is not set, so the circulation's windows can't be kept"},
	SaysCirculationOutside:   {"circulation_outside", "outside the circulation's windows, and nobody asks for hot water"},
	SaysCirculationHygiene:   {"circulation_hygiene", "the heat of the hygiene heat-up is taken through the pipes for another {0 time}"},

	SaysBoost:        {"boost", "hot water was asked for now: the tank top, {0 °C}, is heated to {1 °C}, for {2 time} at most"},
	SaysHygiene:      {"hygiene", "hygiene heat-up: the tank top, {0 °C}, must be held at {1 °C} for {2 time}"},
	SaysServicing:    {"servicing", "the service state is on: somebody works on the plant"},
	SaysExercise:     {"exercise", "turned over for a moment after {0 time} at rest, so that it does not seize"},
	SaysNightCooling: {"night_cooling", "night cooling: the tank, {0 °C}, is cooled to {1 °C} through the collector, {2 °C}"},

	SaysLoopFruitless: {"loop_fruitless", "it has run {0} times without moving any heat, so it rests for another {1 time} before it is tried again"},

	SaysNoAnswer:         {"no_answer", "the probe gives no value"},
	SaysTooOld:           {"too_old", "the last value is {0 time} old"},
	SaysSettling:         {"settling", "first values are watched for a moment before they are believed"},
	SaysOutOfRange:       {"out_of_range", "{0 °C} can't be: this place lies between {1 °C} and {2 °C}"},
	SaysBeyondRange:      {"beyond_range", "{0 figure} can't be: this place lies between {1 figure} and {2 figure}"},
	SaysJumped:           {"jumped", "jumped from {0 °C} to {1 °C}, faster than metal and water can"},
	SaysStillWhilePumped: {"still_while_pumped", "has stood at exactly {0 °C} while the pump ran for {1 time} and the tank moved by {2 K}"},
	SaysFrozenReading:    {"frozen_reading", "has stood at exactly {0 °C} for {1 time} while its neighbour moved by {2 K}"},
	SaysPowerUp:          {"power_up", "has stood for {1 time} at exactly {0 °C}, with which digital probes wake up, below a tank top of {2 °C}"},
	SaysColderThanSky:    {"colder_than_sky", "{0 °C} is further below the outdoor air, {1 °C}, than a clear night sky can cool it"},

	SawProbeMissing:          {"saw_probe_missing", "no value for {0 time}"},
	SawProbeOutOfRange:       {"saw_probe_out_of_range", "it says {0 °C}, outside of {1 °C} to {2 °C}"},
	SawProbeBeyondRange:      {"saw_probe_beyond_range", "it says {0 figure}, outside of {1 figure} to {2 figure}"},
	SawProbeJump:             {"saw_probe_jump", "it jumps, last from {0 °C} to {1 °C}"},
	SawProbeUnsettled:        {"saw_probe_unsettled", "its values do not settle, the last is {0 °C}"},
	SawProbeTrouble:          {"saw_probe_trouble", "it fails again and again for moments, lately {0 time} in all"},
	SawHeaterLocked:          {"saw_heater_locked", "{0 time} of heating have not shown at the tank top, {1 °C}"},
	SawDumpLocked:            {"saw_dump_locked", "the tank's hottest reading rose from {0 °C} by {1 K} while the heat was to pass it by, {2 time} ago"},
	SawProbeFrozen:           {"saw_probe_frozen", "exactly {0 °C} for {1 time} while its neighbour moved by {2 K}"},
	SawProbeStillWhilePumped: {"saw_probe_still_while_pumped", "exactly {0 °C} while the pump ran for {1 time} and the tank moved by {2 K}"},
	SawProbeColderThanSky:    {"saw_probe_colder_than_sky", "it says {0 °C} while the outdoor air is at {1 °C}"},
	SawAllProbesMissing:      {"saw_all_probes_missing", "all {0} probes have been silent for {1 time}"},
	SawClockUnset:            {"saw_clock_unset", "the clock has not been set for {0 time} of running"},
	SawNearFreezing:          {"saw_near_freezing", "it is {0 °C} outside or at the collector, and the fluid freezes at {1 °C}"},
	SawFrostNotHelped:        {"saw_frost_not_helped", "the collector has called for frost protection for {1 time} and is at {0 °C}"},
	SawLastResortEnded:       {"saw_last_resort_ended", "collector or outdoor air are at {0 °C}, the loop's fluid begins to freeze at {1 °C}, and {2} bursts of the tank's warmth were not seen to help"},
	SawLastResortTankCold:    {"saw_last_resort_tank_cold", "collector or outdoor air are at {0 °C}, the loop's fluid begins to freeze at {1 °C}, and the tank has no warmth to give"},
	SawFrostBlind:            {"saw_frost_blind", "collector and outdoor air can't be read, or contradict each other, in the cold season"},
	SawStagnation:            {"saw_stagnation", "the collector is at {0 °C} with the pump at rest for {1 time}"},
	SawTankAboveLimit:        {"saw_tank_above_limit", "the tank's hottest reading is {0 °C}, well above its limit of {1 °C}"},
	SawOutputFault:           {"saw_output_fault", "the last command did not get through"},
	SawBusStuck:              {"saw_bus_stuck", "a read has not come back for {0 time}"},
	SawHygieneOverdue:        {"saw_hygiene_overdue", "the last proven heat-up was {0 time} ago, and one is due every {1 time}"},
	SawPipesOverdue:          {"saw_pipes_overdue", "heat at which germs die was last proven in the pipes {0 time} ago, and is due every {1 time}"},
	SawServicing:             {"saw_servicing", "all outputs have been held off for {0 time}"},
	SawObserving:             {"saw_observing", "everything has been decided and nothing switched for {0 time}"},
	SawMemoryLost:            {"saw_memory_lost", "it has started without what it knew before, {0 time} ago"},
	SawStateUnsaved:          {"saw_state_unsaved", "nothing could be saved for {0 time}"},

	SawPumpMovesNoHeat:      {"saw_pump_moves_no_heat", "after {2 time} of running the collector, {0 °C}, is still {1 K} hotter than the tank, and the tank has not gained"},
	SawPumpNoCurrent:        {"saw_pump_no_current", "{0 A} after {1 time} of running"},
	SawLoopAir:              {"saw_loop_air", "the collector stays {0 K} hotter than the tank with the pump turning, and has turned round {1} times in an hour"},
	SawLoopAirFlow:          {"saw_loop_air_flow", "the flow swings: {0 l/min} in the mean, by {1 l/min} up and down"},
	SawLoopDryPressure:      {"saw_loop_dry_pressure", "the loop's pressure is {0 bar}, and running the pump changes nothing"},
	SawLoopDryHot:           {"saw_loop_dry_hot", "the collector is at {0 °C}, hotter than fluid lets it be, and running the pump changes nothing"},
	SawPumpWeakFlow:         {"saw_pump_weak_flow", "{0 l/min}, usually {1 l/min}"},
	SawPumpWeakGap:          {"saw_pump_weak_gap", "at best the collector stood {0 K} above the tank in the last weeks, {1 K} before"},
	SawPumpWeakStep:         {"saw_pump_weak_step", "at best the collector stood {0 K} above the tank in the last seven days of sun, {1 K} in the weeks before"},
	SawPumpCurrentOff:       {"saw_pump_current_off", "{0 A} with the pump switched off for {1 time}"},
	SawWarmRoof:             {"saw_warm_roof", "in the dark the collector is at {0 °C} and the air at {1 °C}; the tank is at {2 °C}"},
	SawWarmWall:             {"saw_warm_wall", "from night to night the outdoor probe follows the roof by {0 %} only, and reads {1 K} warmer"},
	SawNightGap:             {"saw_night_gap", "before dawn the collector stands {0 K} from the air, learned in {1} nights"},
	SawSunInTheNight:        {"saw_sun_in_the_night", "the collector, {0 °C}, is hotter than the tank, {1 °C}, while the sun should be {2 °} below the horizon"},
	SawSunInTheDark:         {"saw_sun_in_the_dark", "the pump has run for the sun's sake for {2 time} in the dark: collector {0 °C}, tank bottom {1 °C}"},
	SawHeaterNoCurrent:      {"saw_heater_no_current", "{0 A} while it should heat; the tank top is at {1 °C}"},
	SawHeaterCurrentOff:     {"saw_heater_current_off", "{0 A} with the heater switched off for {1 time}"},
	SawHeaterRises:          {"saw_heater_rises", "with loop and heater off for {2 time} the tank top has risen from {0 °C} to {1 °C}"},
	SawHeaterCutOut:         {"saw_heater_cut_out", "it gives nothing; before that the tank was at {0 °C}"},
	SawHeaterGivesNothing:   {"saw_heater_gives_nothing", "{0 time} of heating have not warmed the tank top, {1 °C}"},
	SawHeaterFlat:           {"saw_heater_flat", "it heats up to about {0 °C} and no further, for {1 time}"},
	SawHeaterSlow:           {"saw_heater_slow", "{0 K} an hour, {1 K} while it was new"},
	SawHeaterNotAsDescribed: {"saw_heater_not_as_described", "the tank top rises by {0 K} an hour; by volume and power the whole tank would by {1 K}"},
	SawTankPartEmpty:        {"saw_tank_part_empty", "the tank top rose by {0 K} in {1 time}"},
	SawFlowMeterSilent:      {"saw_flow_meter_silent", "it says {0 l/min}, and the tank gains heat from the loop"},
	SawFlowMeterAtRest:      {"saw_flow_meter_at_rest", "it says {0 l/min} with the pump at rest for {1 time}"},
	SawColdDays:             {"saw_cold_days", "on {0} days with the sun up the collector came no nearer to heat than {1 K} above the air"},
	SawHeatFromNowhere:      {"saw_heat_from_nowhere", "the tank rose by {0 K} in one run of the pump, while the collector stayed at {1 °C}, as cold as the air, {2 °C}"},
	SawTankProbesSwapped:    {"saw_tank_probes_swapped", "the tank top, {0 °C}, is colder than the tank bottom, {1 °C}"},
	SawCollectorSwapped:     {"saw_collector_swapped", "the tank bottom, {0 °C}, is hotter than the tank top, {1 °C}, and the collector, {2 °C}"},
	SawTankTopStuck:         {"saw_tank_top_stuck", "{0 °C} for {1 time}, while the tank bottom swung by {2 K}"},
	SawProbeUnsteady:        {"saw_probe_unsteady", "it bends by {0 K} from minute to minute in quiet nights"},
	SawProbePowersUp:        {"saw_probe_powers_up", "it jumped to {0 °C}, with which digital probes wake up, at least {1} times in some hours"},
	SawProbeNotGenuine:      {"saw_probe_not_genuine", "its identity tells"},
	SawProbeStranger:        {"saw_probe_stranger", "it is on the bus and in no place of the site file"},
	SawPressureLow:          {"saw_pressure_low", "{0 bar}"},
	SawPressureTooHigh:      {"saw_pressure_too_high", "{0 bar}; the relief valve opens at {1 bar}"},
	SawPressureFalling:      {"saw_pressure_falling", "in cold nights {0 bar}, before that {1 bar}"},
	SawVesselSteep:          {"saw_vessel_steep", "from {0 bar} to {1 bar} with {2 K} more at the collector"},
	SawVacuum:               {"saw_vacuum", "{0 bar} with the collector at {1 °C}: less than the air around"},
	SawCoilScaled:           {"saw_coil_scaled", "the fluid gives {0 %} of its difference to the tank, {1 %} while the coil was new"},
	SawYieldPoor:            {"saw_yield_poor", "{0 kWh} today; the good days of late give {1 %} of what good days gave before"},
	SawCirculationAlways:    {"saw_circulation_always", "the return is at {0 °C} with the circulation off for {1 time}"},
	SawCirculationCold:      {"saw_circulation_cold", "the return is at {0 °C} with the circulation on, the tank top at {1 °C}"},
	SawTapTooHot:            {"saw_tap_too_hot", "{0 °C} behind the tempering valve"},
	SawTapLukewarm:          {"saw_tap_lukewarm", "at best {0 °C} today, with the tank top never below {1 °C}"},
	SawTankUnused:           {"saw_tank_unused", "no draw for {0 time}; the tank is at {1 °C}"},
	SawTankNearFreezing:     {"saw_tank_near_freezing", "{0 °C}"},
	SawFrostRuns:            {"saw_frost_runs", "{0 time} of circulation against frost in about a day; the tank bottom is at {1 °C}"},
	SawClockJumps:           {"saw_clock_jumps", "{0} jumps in about a day"},
	SawSupplySags:           {"saw_supply_sags", "the supply was too low {0} times since the start"},
	SawBoardHot:             {"saw_board_hot", "{0 °C}"},
	SawStorageNearlyFull:    {"saw_storage_nearly_full", "{0 MB} are free"},
	SawStorageReadOnly:      {"saw_storage_read_only", "nothing can be written"},
	SawRestartsMany:         {"saw_restarts_many", "{0} starts in about a day"},
	SawRelayWorn:            {"saw_relay_worn", "it has switched {0} times"},
	SawWatchdogUnarmed:      {"saw_watchdog_unarmed", "a board that hangs is not reset"},
	SawClockLeap:            {"saw_clock_leap", "it has moved by {0 time} at once"},
	SawAway:                 {"saw_away", "no program had run for {0 time}, until {1 time} ago"},
	SawStandstill:           {"saw_standstill", "for {2 time} the collector, {0 °C}, has been far above the tank, now {1 K} above its hottest"},
	SawAirInstead:           {"saw_air_instead", "for {0 time}, by day and by night, the collector has followed the air between {1 °C} and {2 °C}"},
	SawWild:                 {"saw_wild", "it bends by {0 K} from minute to minute, for an hour and longer"},
	SawHistoryUnwritten:     {"saw_history_unwritten", "nothing can be written for {0 time}"},
	SawProbePowerUp:         {"saw_probe_power_up", "exactly {0 °C} for {1 time}, with which digital probes wake up, below a tank top of {2 °C}"},
}

// Key is the sentence's name for programs: "tank_full".
func (w Words) Key() string {
	if w >= numWords {
		return "unknown"
	}
	return english[w].key
}

// Template is the sentence with its figures still open.
func (w Words) Template() string {
	if w >= numWords {
		return ""
	}
	return english[w].text
}

// wordsOf finds a sentence by its key.
func wordsOf(key string) (Words, bool) {
	for w := range english {
		if english[w].key == key {
			return Words(w), true
		}
	}
	return SaysNothing, false
}
