package dashboard

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"sunstoker/control"
	"sunstoker/dashboard/door"
)

// metricLabels are the labels that each metric may have. A label more is more series
// for whoever keeps them, for every house and for years.
var metricLabels = map[string]string{
	"build_info": "version,goversion", "page_viewers": "", "requests_refused_total": "kind",
	"ticks_total": "", "tick_age_seconds": "", "tick_duration_seconds": "", "tick_lateness_seconds": "",
	"service_seconds_total": "", "clock_trusted": "",
	"temperature_celsius": "system,place", "flow_cubic_meters_per_second": "system,place", "pressure_pascals": "system,place",
	"current_amperes": "system,place", "button_pressed": "system,place", "reading_age_seconds": "system,place",
	"reading_quality":  "system,place,quality",
	"hot_water_liters": "system", "heat_from_sun_joules_total": "system", "heat_from_meter_joules_total": "system",
	"heat_drawn_joules_total": "system", "heat_lost_by_tank_joules_total": "system", "heat_lost_by_loop_joules_total": "system",
	"loop_pump_joules_total": "system", "heat_lost_by_circulation_joules_total": "system", "circulation_pump_joules_total": "system",
	"output_level_ratio": "system,actuator", "output_run_seconds_total": "system,actuator", "output_switchings_total": "system,actuator",
	"output_switchings_refused_total": "system,actuator",
	"output_fault":                    "system,actuator", "output_held": "system,actuator", "override_remaining_seconds": "system,actuator",
	"decision_level_ratio": "system,actuator", "decision_rank": "system,actuator,rank", "decision_reason": "system,actuator,reason",
	"finding_active": "kind,system,part,urgency", "findings": "urgency",
}

func TestMetricsHaveTheirLabelsAlone(t *testing.T) {
	form := regexp.MustCompile(`fqName: "sunstoker_(\w+)".*constLabels: \{\}, variableLabels: \{(.*)\}\}$`)
	if len(allDescs) != len(metricLabels) {
		t.Errorf("%d metrics, and the labels of %d are held", len(allDescs), len(metricLabels))
	}
	for _, d := range allDescs {
		m := form.FindStringSubmatch(d.String())
		if m == nil {
			t.Fatalf("%v is written in another way than this test reads", d)
		}
		if want, known := metricLabels[m[1]]; !known || m[2] != want {
			t.Errorf("%s has the labels %q, want %q", m[1], m[2], want)
		}
	}
}

// closed are the labels whose values come from lists in the code, with those lists.
func closed() map[string]map[string]bool {
	of := map[string]map[string]bool{
		"quality": set("missing", "suspect", "good"),
		"rank":    set(rankNames[:]...),
		"urgency": set("information", "soon", "at_once"),
		"place":   set(), "actuator": set(), "kind": set(), "reason": set(),
	}
	for _, p := range control.Places() {
		of["place"][p.String()] = true
	}
	for _, a := range control.Actuators() {
		of["actuator"][a.String()] = true
	}
	for _, k := range control.FindingKinds() {
		of["kind"][k.String()] = true
	}
	for refusal := range new(door.Refused).All() {
		of["kind"][refusal] = true
	}
	for w := control.SaysNothing; w.Key() != "unknown"; w++ {
		of["reason"][w.Key()] = true
	}
	return of
}

// TestRulesAndBoardAskForWhatThereIs reads every query that is given with the program:
// each metric is one of the code's or recorded by a rule, each label one of the metric's
// or of those that a scrape adds, each value one that the label can have. A query that
// asks for anything else would never say a word.
func TestRulesAndBoardAskForWhatThereIs(t *testing.T) {
	var files []string
	for _, pattern := range []string{"../deploy/prometheus/*.yml", "../deploy/fleet/*.yml", "../deploy/grafana/*.json"} {
		found, err := filepath.Glob(pattern)
		if err != nil || len(found) == 0 {
			t.Fatalf("no files are at %s", pattern)
		}
		files = append(files, found...)
	}
	texts, recorded := map[string]string{}, map[string]bool{}
	record := regexp.MustCompile(`- record: (\S+)`)
	for _, name := range files {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		texts[name] = strings.ReplaceAll(string(text), `\"`, `"`)
		for _, m := range record.FindAllStringSubmatch(texts[name], -1) {
			recorded[m[1]] = true
		}
	}
	for name, text := range texts {
		for _, wrong := range wrongSelectors(text, recorded) {
			t.Errorf("%s: %s", name, wrong)
		}
	}
	if wrong := wrongSelectors(`sunstoker_sun_joules + sunstoker_findings{urgency="now"} + sunstoker_findings{place="tap"} + site:sunstoker_x:y`, recorded); len(wrong) != 4 {
		t.Errorf("of four wrong selectors these are found: %q", wrong)
	}
}

var (
	selector = regexp.MustCompile(`((?:\w+:)?sunstoker_\w+(?::\w+)?)(?:\{([^}]*)\})?`)
	matcher  = regexp.MustCompile(`(\w+)\s*(=~|!~|!=|=)\s*"([^"]*)"`)
)

func wrongSelectors(text string, recorded map[string]bool) (wrong []string) {
	ofScrape := []string{"site", "area", "instance", "job"}
	lists := closed()
	for _, s := range selector.FindAllStringSubmatch(text, -1) {
		name, metric := s[1], strings.TrimPrefix(s[1], "sunstoker_")
		labels, known := metricLabels[metric]
		switch {
		case recorded[name]:
			labels, _, _ = strings.Cut(name, ":") // which are named by their labels
			labels = strings.ReplaceAll(labels, "_", ",")
		case !known:
			wrong = append(wrong, "there is no "+name)
			continue
		}
		for _, m := range matcher.FindAllStringSubmatch(s[2], -1) {
			label, is, value := m[1], m[2], m[3]
			if !slices.Contains(strings.Split(labels, ","), label) && !slices.Contains(ofScrape, label) {
				wrong = append(wrong, name+" has no label "+label)
			}
			values := []string{value}
			if strings.HasSuffix(is, "~") {
				values = strings.Split(value, "|")
			}
			for _, v := range values {
				if list, held := lists[label]; held && v != "" && !strings.Contains(v, "$") && !list[v] {
					wrong = append(wrong, name+" never has "+label+" "+v)
				}
			}
		}
	}
	return wrong
}

// TestMessagesAreSentOnByWhatAlertsHave: what the alert manager's file matches by are
// urgencies and alerts that there are, and it has a way for everything that is not urgent.
func TestMessagesAreSentOnByWhatAlertsHave(t *testing.T) {
	alerts := set()
	rules, err := filepath.Glob("../deploy/*/*.rules.yml")
	if err != nil || len(rules) == 0 {
		t.Fatal("there are no rules")
	}
	read := func(name string) string {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	for _, name := range rules {
		for _, m := range regexp.MustCompile(`- alert: (\w+)`).FindAllStringSubmatch(read(name), -1) {
			alerts[m[1]] = true
		}
	}
	lists := map[string]map[string]bool{"alertname": alerts, "urgency": closed()["urgency"]}
	text := read("../deploy/prometheus/alertmanager.yml")
	found := regexp.MustCompile(`matchers: \[([^]]*)\]`).FindAllStringSubmatch(text, -1)
	if len(found) < 6 {
		t.Errorf("of the matchers only these are read: %q", found)
	}
	for _, m := range found {
		for _, by := range matcher.FindAllStringSubmatch(m[1], -1) {
			for value := range strings.SplitSeq(by[3], "|") {
				if !lists[by[1]][value] {
					t.Errorf("nothing ever has the %s %s", by[1], value)
				}
			}
		}
	}
	for _, urgency := range []string{"soon", "information"} {
		if !strings.Contains(text, `- matchers: [urgency = "`+urgency+`"]`) {
			t.Errorf("what is of the urgency %q goes the way of what is urgent", urgency)
		}
	}
}
