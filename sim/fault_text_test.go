package sim

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"sunstoker/sim/plant"
)

// faultHouse has two systems, "roof" and "at home", with probes.
func faultHouse(t testing.TB) *House {
	t.Helper()
	c := sunnyHouse(t)
	second := c.Systems[0]
	c.Systems = append(c.Systems, second)
	c.Systems[0].Name, c.Systems[1].Name = "roof", "at home"
	c.Probes = []ProbeConfig{
		{Name: "roof, collector", System: 0, Place: "collector"},
		{Name: "roof, tank top", System: 0, Place: "tank_top"},
		{Name: "at home, tank top", System: 1, Place: "tank_top"},
		{Name: "outdoor air", System: 0, Place: "outdoor_air"},
		{Name: "roof, flow", System: 0, Place: "loop_flow"},
	}
	c.Systems[0].Plant.Circulation, c.Systems[1].Plant = plant.TypicalCirculation(), plant.TypicalStore()
	c.Systems[0].Plant.HeatDumpWK = 60
	h, err := New(c)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

func TestFaultInWords(t *testing.T) {
	const day = 24 * time.Hour
	h := faultHouse(t)
	for text, want := range map[string]Fault{
		"mains power cut at 40d for 3d":                             {Name: "mains power cut", Start: 40 * day, Duration: 3 * day},
		"mains power cut":                                           {Name: "mains power cut"},
		" Pump  Weak for 1d12h system ROOF amount 0.7 at 90m ":      {Name: "pump weak", Start: 90 * time.Minute, Duration: 36 * time.Hour, Amount: new(0.7)},
		`pump weak system "at home" at 0.5d`:                        {Name: "pump weak", System: 1, Start: 12 * time.Hour},
		"outputs on at start at 1d for 1 h":                         {Name: "outputs on at start", Start: day, Duration: time.Hour},
		"probe missing probe collector at 12h":                      {Name: "probe missing", Probe: "roof, collector", Start: 12 * time.Hour},
		"probe off by amount -5 probe tank top system roof":         {Name: "probe off by", Probe: "roof, tank top", Amount: new(-5.0)},
		`probe frozen probe tank_top system "at home"`:              {Name: "probe frozen", Probe: "at home, tank top"},
		`probe missing probe "roof, tank top"`:                      {Name: "probe missing", Probe: "roof, tank top"},
		"probes swapped probe collector with tank top system roof":  {Name: "probes swapped", Probe: "roof, collector", Other: "roof, tank top"},
		`"flow meter stuck at zero" probe loop flow at 1d for 1d1s`: {Name: "flow meter stuck at zero", Probe: "roof, flow", Start: day, Duration: day + time.Second},
	} {
		got, err := h.ParseFault(text)
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%q: %+v, error %v; want %+v", text, got, err, want)
		}
		if err := h.AddFault(got); err != nil {
			t.Errorf("%q is refused: %v", text, err)
		}
	}
}

func TestFaultInWordsRefused(t *testing.T) {
	h := faultHouse(t)
	for text, says := range map[string]string{
		"":                                                          "\n  probe: probe missing, probe frozen",
		"pmp weak at 3d":                                            `no fault "pmp weak at 3d"`,
		"pump weak":                                                 `several systems, "roof", "at home"; write which: system roof`,
		"pump weak system cellar":                                   `no system "cellar"; it has "roof", "at home"`,
		"pump weak system roof amount 2":                            "the share of the flow lost is 2; give 0 to 1",
		"pump weak system roof amount lots":                         `"lots" is no number`,
		"pump weak system roof amount nan":                          "give 0 to 1",
		"mains power cut amount 1":                                  "no amount; leave it out",
		"mains power cut system roof":                               "not happen to a single system",
		"mains power cut probe collector":                           "not happen to a probe",
		"mains power cut on 3d":                                     `"on" is not understood; write mains power cut [amount`,
		"mains power cut at":                                        `nothing follows "at"`,
		"mains power cut at 3d at 4d":                               "written twice",
		"mains power cut at 3":                                      "write it such as 40d",
		"mains power cut at 3w":                                     "write it such as 40d",
		"mains power cut at -3d":                                    "write it such as 40d",
		"mains power cut at 1e9d":                                   "write it such as 40d",
		"mains power cut at 99999999999999d":                        "hundred years",
		"mains power cut for 0s":                                    `leave "for" out`,
		`mains power cut at "3d`:                                    "not closed",
		"probe missing":                                             "write which: probe PLACE, of collector, tank top, outdoor air",
		"probe missing probe tank top":                              "several systems have a probe",
		"probe missing probe attic":                                 `no probe at "attic"; there are collector, tank top`,
		"probes swapped probe collector":                            "write which: with PLACE",
		"probe missing probe collector with x":                      "not happen to a pair of probes",
		"probes swapped probe outdoor air with outdoor air":         "write another one",
		"store leaks system roof":                                   `system "roof" has no store of loop fluid with a drinking-water coil, so nothing would break; it can happen to system "at home"`,
		`loop leaks slowly system "at home"`:                        `system "at home" has no sealed loop, so nothing would break; it can happen to system "roof"`,
		"flow meter stuck at zero probe outdoor air":                `it happens to a flow meter, and "outdoor air" is none; it can happen to "roof, flow"`,
		"probes swapped probe collector with loop flow system roof": "measure different things",
		"probe pulled out probe loop flow":                          `a probe that can slip out of its place, and "roof, flow" is none; it can happen to "roof, collector", "roof, tank top"`,
	} {
		_, err := h.ParseFault(text)
		if err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: want %q, got %v", text, says, err)
		}
	}
}

// TestEveryFaultCanBeWritten: each kind by its name, and all names are in the
// list that an unknown one is answered with.
func TestEveryFaultCanBeWritten(t *testing.T) {
	h := faultHouse(t)
	_, unknown := h.ParseFault("nothing of the kind")
	for _, k := range FaultKinds() {
		text := k.Name + " at 2d for 5h"
		switch {
		case k.swaps:
			text += " system roof probe collector with tank top"
		case k.probeNeeds == flowMeter:
			text += " probe loop flow"
		case k.probeNeeds == outdoors:
			text += " probe outdoor air"
		case k.OfProbe():
			text += " probe collector"
		case k.needs == loopStore:
			text += ` system "at home"`
		case !k.OfHouse():
			text += " system roof"
		}
		if k.Amount != "" {
			text += fmt.Sprintf(" amount %g", k.Least)
		}
		f, err := h.ParseFault(text)
		if err != nil || f.Name != k.Name || f.Start != 48*time.Hour || f.Duration != 5*time.Hour {
			t.Errorf("%q: %+v, error %v", text, f, err)
		}
		if !strings.Contains(unknown.Error(), k.Name) || k.Part == "" {
			t.Errorf("%q is of part %q and not in the list", k.Name, k.Part)
		}
	}
}

// FuzzFaultInWords: whatever is written gives a fault that the house takes, or an
// error that says something.
func FuzzFaultInWords(f *testing.F) {
	for _, text := range []string{
		"pump weak amount 0.7 system roof at 40d for 3d", `probe missing probe "roof, tank top"`,
		"probes swapped probe collector with tank top system roof", `outputs on at start at 1d2h3m4s`, `"`, "at at at", "",
	} {
		f.Add(text)
	}
	h := faultHouse(f)
	f.Fuzz(func(t *testing.T, text string) {
		fault, err := h.ParseFault(text)
		if err != nil {
			if strings.TrimSpace(err.Error()) == "" {
				t.Error("an error without words")
			}
			return
		}
		h.ClearFaults()
		if err := h.AddFault(fault); err != nil {
			t.Errorf("%q is read as %+v and refused: %v", text, fault, err)
		}
	})
}
