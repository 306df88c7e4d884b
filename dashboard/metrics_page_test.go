package dashboard

import (
	"bytes"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/prometheus/client_golang/prometheus"

	"sunstoker/control"
	"sunstoker/dashboard/door"
)

// The reference page of the metrics is made of the code's own table, so that nobody
// asks for a series that there is not.
const metricsPageFile = "../docs/metrics.md"

func TestMetricsPageIsFresh(t *testing.T) {
	var page bytes.Buffer
	page.WriteString(metricsPageHead)
	for _, d := range allDescs {
		m := metricOf(t, d)
		fmt.Fprintf(&page, "| `%s` | %s | %s | %s | %s |\n", m.name, m.kind, m.unit, m.labels, m.help)
	}
	page.WriteString(metricsPageLabels)
	lists := closed()
	for _, label := range []string{"place", "actuator", "quality", "rank", "urgency"} {
		fmt.Fprintf(&page, "- `%s`: %s\n", label, quotedList(lists[label]))
	}
	fmt.Fprintf(&page, "- `kind` of `sunstoker_requests_refused_total`: %s\n", quotedList(refusals()))
	fmt.Fprintf(&page, "- `part` of a finding: a place, an actuator, or empty\n- `reason`: %s\n", quotedList(lists["reason"]))
	page.WriteString("\n## Kinds of findings\n\n| `kind` | In words | `urgency` |\n| --- | --- | --- |\n")
	for _, k := range control.FindingKinds() {
		fmt.Fprintf(&page, "| `%s` | %s | %s |\n", k, k.Title(), urgencyName(k.Urgency()))
	}
	heldTo(t, metricsPageFile, page.Bytes())
}

// TestTypesOnThePageAreThoseOfAScrape: the page takes a metric's type from its name.
func TestTypesOnThePageAreThoseOfAScrape(t *testing.T) {
	scraped := map[string]string{}
	for _, d := range []*Dashboard{watching(sunnyTick()), watching(troubleTick())} {
		families, err := d.registry().Gather()
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range families {
			scraped[f.GetName()] = strings.ToLower(f.GetType().String())
		}
	}
	compared := 0
	for _, d := range allDescs {
		m := metricOf(t, d)
		if kind, seen := scraped[m.name]; seen {
			compared++
			if kind != m.kind {
				t.Errorf("%s is a %s, and the page calls it a %s", m.name, kind, m.kind)
			}
		}
	}
	if compared < 25 {
		t.Errorf("%d types were compared; is there so little to scrape?", compared)
	}
}

// metricRow is a metric as the page tells of it.
type metricRow struct{ name, kind, unit, labels, help string }

var metricDesc = regexp.MustCompile(`^Desc\{fqName: "(\w+)", help: ("(?:[^"\\]|\\.)*"), (?:unit: "", )?constLabels: \{\}, variableLabels: \{(.*)\}\}$`)

func metricOf(t *testing.T, d *prometheus.Desc) metricRow {
	t.Helper()
	m := metricDesc.FindStringSubmatch(d.String())
	if m == nil {
		t.Fatalf("%v is written in another way than this test reads", d)
	}
	help, err := strconv.Unquote(m[2])
	if err != nil {
		t.Fatal(err)
	}
	row := metricRow{name: m[1], kind: "gauge", unit: unitByName(m[1]), labels: "none", help: help}
	if strings.HasSuffix(row.name, "_total") {
		row.kind = "counter"
	}
	if m[3] != "" {
		row.labels = "`" + strings.ReplaceAll(m[3], ",", "`, `") + "`"
	}
	return row
}

// unitByName reads the base unit out of a name, as Prometheus wants it to stand there.
func unitByName(name string) string {
	base := strings.TrimSuffix(name, "_total")
	for _, u := range []struct{ suffix, unit string }{
		{"_cubic_meters_per_second", "m³/s"}, {"_celsius", "°C"}, {"_pascals", "Pa"}, {"_amperes", "A"},
		{"_seconds", "s"}, {"_liters", "l"}, {"_joules", "J"}, {"_ratio", "0 to 1"},
	} {
		if strings.HasSuffix(base, u.suffix) {
			return u.unit
		}
	}
	if base != name || name == "sunstoker_findings" || name == "sunstoker_page_viewers" {
		return "how many"
	}
	return "1 or 0"
}

func refusals() map[string]bool {
	all := map[string]bool{}
	for kind := range new(door.Refused).All() {
		all[kind] = true
	}
	return all
}

func quotedList(values map[string]bool) string {
	return "`" + strings.Join(slices.Sorted(maps.Keys(values)), "`, `") + "`"
}

const metricsPageHead = `# The metrics, one by one

This page is made from the program's own table; ` + "`go generate ./...`" + ` writes it anew.

A scrape of ` + "`/metrics`" + ` tells of the newest tick, touches no probe and shows nothing older: all figures of one scrape belong
to the same second. What can't be read is not there, instead of standing at its last value, so that a dead probe leaves a
gap in a chart; ` + "`sunstoker_reading_quality`" + ` says which it is. A counter begins where it was before the last start where its
meaning says "since the site was first started", else at 0. The Go runtime and the process add their own series, ` + "`go_…`" + ` and
` + "`process_…`" + `. Rules and a board made of these are in [deploy/prometheus](../deploy/prometheus/README.md) and
[deploy/fleet](../deploy/fleet/README.md).

| Name | Type | Unit | Labels | Meaning |
| --- | --- | --- | --- | --- |
`

const metricsPageLabels = `
## What the labels can say

` + "`system`" + ` is what the site file calls a system, and empty for what belongs to the house; ` + "`version` and `goversion`" + ` are texts.
All others come from closed lists, so that the number of series has a bound that no probe, person or network can move:

`
