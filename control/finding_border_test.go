package control

import (
	"testing"
	"time"
)

// TestRelaysWearOut: at so many switchings, and not before.
func TestRelaysWearOut(t *testing.T) {
	for switchings, worn := range map[uint64]bool{relayLife - 1: false, relayLife: true} {
		d := newDesk(t)
		d.c.st.Outputs[outHeater].Switchings = switchings
		for range 200 {
			d.out = d.c.Step(time.Minute, d.wall, d.readings)
		}
		d.expectFinding(FoundRelayWorn, worn)
	}
}

// TestALoneProbeIsNotAllProbes: a plant with one probe has no cable that all share.
func TestALoneProbeIsNotAllProbes(t *testing.T) {
	p := testPlan(1, func(p *Plan) {
		p.Probes = []Probe{{0, TankTop}}
		p.Outputs = []Output{{System: 0, Actuator: BackupHeater}}
	})
	c, err := New(p)
	if err != nil {
		t.Fatal(err)
	}
	d := &desk{t: t, c: c, wall: noon, readings: []Reading{{Fault: "no answer"}}}
	d.run(5 * time.Minute)
	d.expectFinding(FoundProbeSilent, true)
	d.expectFinding(FoundAllProbesSilent, false)
}

// TestTwoSilentProbesAreAllProbes: of two probes both are all.
func TestTwoSilentProbesAreAllProbes(t *testing.T) {
	c, err := New(testPlan(1, func(p *Plan) {
		p.Probes = []Probe{{0, TankTop}, {0, TankBottom}}
		p.Outputs = []Output{{System: 0, Actuator: BackupHeater}}
	}))
	if err != nil {
		t.Fatal(err)
	}
	d := &desk{t: t, c: c, wall: noon, readings: []Reading{{Fault: "no answer"}, {Fault: "no answer"}}}
	d.run(5 * time.Minute)
	d.expectFinding(FoundAllProbesSilent, true)
}
