package campaign

import (
	"bytes"
	"context"
	"testing"
)

// TestProofYears runs plant-years of seeded weather, people and faults. The same seed
// gives the same log to the last byte.
func TestProofYears(t *testing.T) {
	if testing.Short() {
		t.Skip("long simulations")
	}
	years := 2
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
		}
	}
	t.Logf("proof: log of the plant-years, sha256 = %x", run.Hash)
}
