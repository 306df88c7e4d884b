package dashboard

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"

	"sunstoker/control"
	"sunstoker/station/tick"
)

// The alert rules of findings are made of the table of findings, so that a message
// says what the page says; so are the cases that promtool tries them with, which
// take their series from the real collector and their words from the table.
const (
	findingRulesFile = "../deploy/prometheus/findings.rules.yml"
	findingCasesFile = "../deploy/prometheus/tests/findings.yml"
)

func TestAlertsSayWhatFindingsSay(t *testing.T) {
	kinds := control.FindingKinds()
	var rules, cases bytes.Buffer
	rules.WriteString(findingRulesHead)
	cases.WriteString(findingCasesHead)
	for _, k := range kinds {
		writeFindingRule(&rules, k)
	}
	writeFindingCases(t, &cases, kinds)
	heldTo(t, findingRulesFile, rules.Bytes())
	heldTo(t, findingCasesFile, cases.Bytes())
}

const findingRulesHead = `# An alert for every finding of the program, in the finding's own words. Made of the table
# of findings by "go test ./dashboard -update": change the words there, not here.
#
# The program itself waits until a finding is sure, and until it is surely over; that is
# why no alert here waits again. Its figures stand on the house's page.
groups:
  - name: sunstoker findings
    rules:
`

func writeFindingRule(w *bytes.Buffer, k control.FindingKind) {
	fmt.Fprintf(w, "      - alert: %s\n        expr: sunstoker_finding_active{kind=%q}\n        annotations:\n", alertName(k), k)
	fmt.Fprintf(w, "          seen: %q\n", `{{ $labels.site }}{{ with $labels.system }}, {{ . }}{{ end }}{{ with $labels.part }}, {{ reReplaceAll "_" " " . }}{{ end }}: `+k.Title()+".")
	fmt.Fprintf(w, "          likely: %q\n          check: %q\n", k.Likely(), k.Check())
}

const findingCasesHead = `# Made with the rules by "go test ./dashboard -update": every finding is there at the house
# on the hill, none at the shore, and every alert must come at the hill alone.
rule_files:
  - ../findings.rules.yml
evaluation_interval: 1m
tests:
  - interval: 1m
    input_series:
      - series: 'sunstoker_findings{site="shore", area="lake", urgency="at_once"}'
        values: 0x5
`

// writeFindingCases lets the real collector name the series.
func writeFindingCases(t *testing.T, w *bytes.Buffer, kinds []control.FindingKind) {
	tk := sunnyTick()
	tk.Findings = nil
	for i, k := range kinds {
		f := control.Finding{Kind: k, System: i%3 - 1}
		switch i % 4 {
		case 1:
			f.About, f.Place = control.AboutProbe, control.TankTop
		case 2:
			f.About, f.Actuator = control.AboutOutput, control.BackupHeater
		}
		tk.Findings = append(tk.Findings, f)
	}
	labels := findingLabels(t, tk)
	for _, k := range kinds {
		l := labels[k.String()]
		fmt.Fprintf(w, "      - series: 'sunstoker_finding_active{site=\"hill\", area=\"lake\", kind=%q, part=%q, system=%q, urgency=%q}'\n        values: 1x5\n",
			k, l["part"], l["system"], l["urgency"])
	}
	w.WriteString("    alert_rule_test:\n")
	for i, k := range kinds {
		l := labels[k.String()]
		where := "hill"
		if s := systemName(tk.House.Plan, tk.Findings[i].System); s != "" {
			where += ", " + s
		}
		if _, words := partOf(&tk.Findings[i]); words != "" {
			where += ", " + words
		}
		fmt.Fprintf(w, "      - alertname: %s\n        eval_time: 1m\n        exp_alerts:\n", alertName(k))
		fmt.Fprintf(w, "          - exp_labels: {site: hill, area: lake, kind: %s, urgency: %s", k, l["urgency"])
		for _, name := range []string{"part", "system"} {
			if l[name] != "" { // Prometheus drops a label without a value
				fmt.Fprintf(w, ", %s: %q", name, l[name])
			}
		}
		w.WriteString("}\n")
		fmt.Fprintf(w, "            exp_annotations:\n              seen: %q\n              likely: %q\n              check: %q\n", where+": "+k.Title()+".", k.Likely(), k.Check())
	}
}

// findingLabels gives the labels of the series of each kind.
func findingLabels(t *testing.T, tk *tick.Tick) map[string]map[string]string {
	t.Helper()
	families, err := watching(tk).registry().Gather()
	if err != nil {
		t.Fatal(err)
	}
	of := map[string]map[string]string{}
	for _, f := range families {
		if f.GetName() != "sunstoker_finding_active" {
			continue
		}
		for _, m := range f.Metric {
			l := map[string]string{}
			for _, pair := range m.Label {
				l[pair.GetName()] = pair.GetValue()
			}
			of[l["kind"]] = l
		}
	}
	return of
}

// alertName is a finding's kind as alerts are written by custom: "ProbeSilent".
func alertName(k control.FindingKind) string {
	var name strings.Builder
	for _, word := range strings.Split(k.String(), "_") {
		name.WriteString(strings.ToUpper(word[:1]) + word[1:])
	}
	return name.String()
}

// heldTo compares with a file that people are given.
func heldTo(t *testing.T, path string, want []byte) {
	t.Helper()
	if *update {
		if err := os.WriteFile(path, want, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if got, err := os.ReadFile(path); err != nil || !bytes.Equal(got, want) {
		t.Errorf("%s is not as the code makes it (%v); run go test ./dashboard -update and look at the change", path, err)
	}
}
