// Package campaign tries the whole product: it throws every failure of the
// trade at simulated houses under their real controller, and tells what came of
// it in words that an installer reads.
//
// # What is done
//
// A table (Failures) holds the ways in which the parts of a plant and its board
// fail, each with its danger, with the faults of package sim that stand for it,
// with the findings that should tell of it, and with what must be fitted because
// no program can cover it. Each failure meets each plant and each scene: a
// healthy day, then the fault, then its repair, then time to come back to
// normal. The same house without the fault, its healthy twin, runs beside it;
// only what the twin did not suffer counts. What only a comparison of weeks can
// show meets a long run too: two months of seeded weather in which the program
// learns what is usual, then 45 days of the fault.
//
// # What is believed
//
// Hazards are watched in the plant's truth, never in what the controller reads
// or says. The one exception is its claim of a hygiene heat-up, which is held
// against that truth. Where the failure's cover is a part that is simulated (a
// thermostat, a cut-out, a valve), the run is made again with that part taken
// away: a hazard that then appears shows that the part, and not the program,
// kept people safe.
//
// # What counts
//
// What hurts people or destroys the plant counts from the first minute, and no
// figure of that moves to please a verdict. Comfort and energy count from the
// amounts in hazard.go on, the same for every failure: below them nobody would
// come and mend it. A verdict is as good as its findings' words: a failure counts
// as told when what was said names it among the causes, even if not first.
//
// # What it does not prove
//
// Plants, people and weather are invented, and each scene is one day of its
// kind. A failure that the simulator has no physics for is only as good as the
// test that its row names.
package campaign
