package docs_test

import (
	"regexp"
	"strings"
	"testing"

	"sunstoker/control"
	"sunstoker/docs/pagetest"
)

// ofOthers are names in pages that are not ours: of the exporters' web configuration,
// and of how sure a figure of testdata is.
var ofOthers = map[string]bool{
	"basic_auth_users": true, "cert_file": true,
	"from_memory": true, "read_second_hand": true,
}

// TestOneNameForAThing: a name in a page, such as `tank_limit`, is spelt as the program
// has it: a setting, a place, an output, a finding, a reason, a key of the site file, a
// metric, a field of the interface, or a key of a trial.
func TestOneNameForAThing(t *testing.T) {
	known := map[string]bool{}
	for _, s := range control.SettingsTable() {
		known[s.Name] = true
	}
	for _, p := range control.Places() {
		known[p.String()] = true
	}
	for _, a := range control.Actuators() {
		known[a.String()] = true
	}
	for _, k := range control.FindingKinds() {
		known[k.String()] = true
	}
	for w := range 256 {
		known[control.Words(w).Key()] = true
	}
	name := regexp.MustCompile(`[a-z]+(?:_[a-z0-9]+)+`)
	for _, made := range []string{"../deploy/settings.md", "metrics.md", "../dashboard/openapi.json", "../station/trial/script.go"} {
		for _, n := range name.FindAllString(pagetest.Read(t, made), -1) {
			known[n] = true
		}
	}
	found := 0
	for page, text := range pagetest.All(t, "..") {
		if page == "deploy/settings.md" || page == "docs/metrics.md" || page == "CHANGELOG.md" {
			continue
		}
		for _, m := range regexp.MustCompile("`([^`\n]+)`").FindAllStringSubmatch(fence.ReplaceAllString(text, ""), -1) {
			if found++; name.FindString(m[1]) == m[1] && !known[m[1]] && !ofOthers[m[1]] {
				t.Errorf("%s names %s, and nothing is called so", page, m[1])
			}
		}
	}
	if found < 100 {
		t.Errorf("%d names were found; are they written in another way now?", found)
	}
}

// otherWords are words of the trade that people know for things that have one name here,
// each with that name.
var otherWords = map[string]string{
	"boiler": "backup heater", "immersion heater": "backup heater", "cylinder": "tank", "circulator": "loop pump",
	"recirculation": "hot-water circulation", "set point": "tank limit, heater stop, ...", "setpoint": "tank limit, heater stop, ...",
	"hysteresis": "band, start and stop difference", "solar fraction": "solar share", "vacation": "holiday", "expansion tank": "expansion vessel",
}

// TestOneWordForAThing: pages, the page's texts and what is shown of metrics keep to the
// words that DEVELOPERS.md lists.
func TestOneWordForAThing(t *testing.T) {
	texts := pagetest.All(t, "..")
	for _, path := range []string{"dashboard/page/src/texts/english.ts", "deploy/grafana/houses.json", "deploy/prometheus/house.rules.yml", "deploy/prometheus/findings.rules.yml", "deploy/fleet/fleet.rules.yml"} {
		texts[path] = pagetest.Read(t, "../"+path)
	}
	for path, text := range texts {
		text = strings.ToLower(strings.Join(strings.Fields(text), " "))
		for word, ours := range otherWords {
			if regexp.MustCompile(`\b` + word + `s?\b`).MatchString(text) {
				t.Errorf("%s says %q; the word for it is %q", path, word, ours)
			}
		}
	}
}
