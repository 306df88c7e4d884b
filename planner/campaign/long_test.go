package campaign

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"strings"
	"testing"
)

// mostHarm is what 200 plant-years of the campaign's seed may come to: the times each
// severe hazard began, and the times that nothing told of it: most are of what is
// fitted (a tempering valve, a cut-out, a relief valve that does not do its work), or
// of probes that lie alone where none stands beside them. A change that makes more of
// them has to argue why here.
var mostHarm = map[Hazard]struct{ times, untold int }{
	TapScalds:    {32, 16},
	TankTooHot:   {509, 0},
	TankBoils:    {65, 0},
	LoopBurst:    {42, 4},
	LoopPressure: {98, 39},
	PumpOnSteam:  {43, 0},
	HeaterDry:    {30, 14},
	FalseHygiene: {69, 46},
}

// TestSafetyPageTellsTheHarm: what stays stands in SAFETY.md in plain words.
func TestSafetyPageTellsTheHarm(t *testing.T) {
	page, err := os.ReadFile("../../SAFETY.md")
	if err != nil {
		t.Fatal(err)
	}
	for h, most := range mostHarm {
		if row := fmt.Sprintf("| %s | %d | %d |\n", h, most.times, most.untold); !strings.Contains(string(page), row) {
			t.Errorf("SAFETY.md lacks the row %q", row)
		}
	}
}

// TestProofYears runs a plant-year of seeded weather, people and faults, 200 in a proof. The same seed
// gives the same log to the last byte.
func TestProofYears(t *testing.T) {
	if testing.Short() {
		t.Skip("long simulations")
	}
	years := 1
	if whole() {
		years = 200
	}
	var log bytes.Buffer
	run, err := Years(context.Background(), houses(t), campaignSeed, years, &log, progress("plant-years"))
	if err != nil {
		t.Fatal(err)
	}
	var again bytes.Buffer
	second, err := Years(context.Background(), houses(t), campaignSeed, 1, &again, nil)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.HasPrefix(log.Bytes(), again.Bytes()) {
		t.Error("the same seed gave another log")
	}
	other, err := Years(context.Background(), houses(t), campaignSeed+1, 1, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	if other.Hash == second.Hash {
		t.Error("another seed gave the same log")
	}
	if run.Faults == 0 || run.Found == 0 {
		t.Errorf("%d faults, %d findings", run.Faults, run.Found)
	}
	t.Logf("proof: plant-years with faults = %d years", run.Years)
	t.Logf("proof: faults in them = %d faults", run.Faults)
	t.Logf("proof: faults in whose time something was told = %d faults", run.Told)
	for h := range numHazards {
		if h.Severe() {
			t.Logf("proof: plant-years: %s = %d times, %.0f %s in all, %d times untold", h, run.Times[h], run.Sum[h], hazardTable[h].unit, run.Silent[h])
			most := mostHarm[h]
			if whole() && (run.Times[h] > most.times || run.Silent[h] > most.untold) {
				t.Errorf("%s: %d times, %d of them untold; %d and %d are argued for", h, run.Times[h], run.Silent[h], most.times, most.untold)
			}
		}
	}
	t.Logf("proof: log of the plant-years, sha256 = %x", run.Hash)
}
