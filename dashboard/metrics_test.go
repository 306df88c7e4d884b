package dashboard

import (
	"math"
	"net/http"
	"net/http/httptest"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus/testutil/promlint"
	dto "github.com/prometheus/client_model/go"
	"github.com/prometheus/common/expfmt"
	"github.com/prometheus/common/model"
	"pgregory.net/rapid"

	"sunstoker/control"
	"sunstoker/station/tick"
)

// stopped is a real clock that stands still.
func stopped() time.Time { return time.Unix(1_000, 0) }

func watching(tk *tick.Tick) *Dashboard {
	d := New(Options{Now: stopped})
	d.Watch(tk)
	return d
}

// scraped is the text of the dashboard's own families, at once and once more with
// what was used for the first scrape.
func scraped(t require, d *Dashboard) string {
	t.Helper()
	e := newExposition()
	e.dashboard(d)
	first := string(e.end(allFamilies))
	e.begin()
	e.dashboard(d)
	if again := string(e.end(allFamilies)); again != first {
		t.Fatalf("a second scrape says otherwise:\n%s\nthan the first:\n%s", again, first)
	}
	for f := range e.series {
		if !slices.Contains(allFamilies, f) {
			t.Fatalf("%s is in no scrape", f.name)
		}
	}
	return first
}

// require is what tests and properties have in common.
type require interface {
	Helper()
	Fatal(...any)
	Fatalf(string, ...any)
}

// families reads a scrape with the parser of the project whose format it is.
func families(t require, text string) map[string]*dto.MetricFamily {
	t.Helper()
	parser := expfmt.NewTextParser(model.LegacyValidation)
	f, err := parser.TextToMetricFamilies(strings.NewReader(text))
	if err != nil {
		t.Fatalf("%v in:\n%s", err, text)
	}
	return f
}

func TestMetricsAreClean(t *testing.T) {
	for _, tk := range []*tick.Tick{sunnyTick(), troubleTick()} {
		d := watching(tk)
		w := get(d, "GET", "/metrics")
		problems, err := promlint.New(w.Body).Lint()
		if err != nil || len(problems) > 0 {
			t.Errorf("problems %v, error %v", problems, err)
		}
	}
}

func TestMetricsAreTheGoldenText(t *testing.T) {
	text := strings.ReplaceAll(scraped(t, watching(troubleTick())), runtime.Version(), "go")
	golden(t, "metrics.txt", []byte(text))
}

func TestFailedProbeLeavesTheTemperatures(t *testing.T) {
	for _, q := range []control.Quality{control.Suspect, control.Missing} {
		tk := sunnyTick()
		tk.Readings[0].Quality = q
		read := families(t, scraped(t, watching(tk)))
		if temps := len(read["sunstoker_temperature_celsius"].GetMetric()); temps != 3 {
			t.Errorf("%v: %d temperatures of 3 good probes", q, temps)
		}
		if got := len(read["sunstoker_reading_quality"].GetMetric()); got != 12 {
			t.Errorf("%v: %d qualities, want 3 for each of 4 probes", q, got)
		}
	}
}

func TestNoTickNoFigures(t *testing.T) {
	read := families(t, scraped(t, New(Options{Now: stopped})))
	if len(read) != 1 || read["sunstoker_page_viewers"] == nil {
		t.Errorf("before the first tick: %v, want the viewers alone", read)
	}
}

func TestTickAgeIsRealTime(t *testing.T) {
	at := time.Unix(1_000, 0)
	d := New(Options{Now: func() time.Time { return at }})
	d.Watch(sunnyTick())
	at = at.Add(90 * time.Second)
	want := "# HELP sunstoker_tick_age_seconds Real time since the newest tick arrived. All other figures are of that tick.\n" +
		"# TYPE sunstoker_tick_age_seconds gauge\nsunstoker_tick_age_seconds 90\n"
	if text := scraped(t, d); !strings.Contains(text, want) {
		t.Errorf("%s\nhas no\n%s", text, want)
	}
}

// TestValuesAndLabelsComeBack: whatever is put in, the format's own parser reads it.
func TestValuesAndLabelsComeBack(t *testing.T) {
	odd := gauge("odd", "A family.", "first", "second")
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.OneOf(rapid.Float64(), rapid.SampledFrom([]float64{math.Inf(1), math.Inf(-1), 0, 5e-324})).Draw(t, "value")
		first, second := rapid.String().Draw(t, "first"), rapid.SampledFrom([]string{"", `\`, `"`, "\n", `\n"`, "ü\\\n"}).Draw(t, "second")
		e := newExposition()
		e.put(odd, v, first, second)
		read := families(t, string(e.end([]*family{odd})))["odd"].GetMetric()
		if len(read) != 1 || read[0].GetGauge().GetValue() != v {
			t.Fatalf("%v comes back as %v", v, read)
		}
		if l := read[0].GetLabel(); l[0].GetValue() != first || l[1].GetValue() != second {
			t.Fatalf("%q and %q come back as %v", first, second, l)
		}
	})
}

// TestScrapesAreBounded: who comes when too many are under way is told so.
func TestScrapesAreBounded(t *testing.T) {
	handler := watching(sunnyTick()).metricsHandler()
	held := make(chan struct{})
	var entered, left sync.WaitGroup
	for range mostScrapes {
		entered.Add(1)
		left.Go(func() { handler.ServeHTTP(&slowReader{httptest.NewRecorder(), entered.Done, held}, nil) })
	}
	entered.Wait()
	for _, want := range []int{http.StatusServiceUnavailable, http.StatusOK} {
		w := httptest.NewRecorder()
		handler.ServeHTTP(w, nil)
		if w.Code != want {
			t.Errorf("answered %d, want %d", w.Code, want)
		}
		if want != http.StatusOK {
			close(held)
			left.Wait()
		}
	}
}

// slowReader takes an answer when it is let go.
type slowReader struct {
	http.ResponseWriter
	begun func()
	held  chan struct{}
}

func (s *slowReader) Write(p []byte) (int, error) {
	s.begun()
	<-s.held
	return s.ResponseWriter.Write(p)
}

// TestLabelsAreBounded feeds ticks with arbitrary texts wherever a probe, a
// driver or a person can put one, and finds none of them in a label.
func TestLabelsAreBounded(t *testing.T) {
	allowed := map[string]map[string]bool{
		"system":   set("", "roof", "guest house"),
		"place":    set("collector", "tank_top", "tank_bottom", "outdoor_air"),
		"actuator": set("loop_pump", "backup_heater"),
		"part":     set("", "collector", "tank_top", "tank_bottom", "outdoor_air", "loop_pump", "backup_heater"),
		"quality":  set("missing", "suspect", "good"),
		"rank":     set("upkeep", "economy", "comfort", "hygiene", "person", "protection"),
		"urgency":  set("information", "soon", "at_once"),
		"kind":     set(),
		"reason":   set(),
		"version":  set("0.1.0"), "goversion": set(runtime.Version()),
	}
	for _, k := range control.FindingKinds() {
		allowed["kind"][k.String()] = true
	}
	for w := control.SaysNothing; w.Key() != "unknown"; w++ {
		allowed["reason"][w.Key()] = true
	}
	rapid.Check(t, func(t *rapid.T) {
		d := watching(anyTick(t))
		series := 0
		text := scraped(t, d)
		seen := map[string]bool{}
		for line := range strings.Lines(text) {
			name, _, _ := strings.Cut(line, "} ")
			if line[0] != '#' && seen[name] {
				t.Fatalf("twice: %s", line)
			}
			seen[name] = true
		}
		for _, f := range families(t, text) {
			for _, m := range f.Metric {
				series++
				for _, l := range m.Label {
					if !allowed[l.GetName()][l.GetValue()] {
						t.Fatalf("%s has %s=%q", f.GetName(), l.GetName(), l.GetValue())
					}
				}
			}
		}
		if series > 150 {
			t.Fatalf("%d series for a house of two systems", series)
		}
	})
}

func set(values ...string) map[string]bool {
	s := map[string]bool{}
	for _, v := range values {
		s[v] = true
	}
	return s
}

// anyTick is the tick with about everything wrong, and figures and texts at
// random.
func anyTick(t *rapid.T) *tick.Tick {
	tk := troubleTick()
	text := rapid.String()
	for i := range tk.Readings {
		r := &tk.Readings[i]
		r.Value = rapid.Float64().Draw(t, "value")
		r.Age = time.Duration(rapid.Int64().Draw(t, "age"))
		r.Quality = control.Quality(rapid.IntRange(0, 2).Draw(t, "quality"))
		r.Fault, r.Raw, r.Kind = text.Draw(t, "fault"), text.Draw(t, "raw"), text.Draw(t, "kind")
	}
	for i := range tk.Outputs {
		o := &tk.Outputs[i]
		o.Driven = rapid.Float64().Draw(t, "driven")
		o.Rank = control.Rank(rapid.IntRange(0, 5).Draw(t, "rank"))
		o.Reason.Words = control.Words(rapid.IntRange(0, 40).Draw(t, "words"))
		o.Fault = text.Draw(t, "output fault")
	}
	kinds := control.FindingKinds()
	for i := range tk.Findings {
		tk.Findings[i].Kind = kinds[(i*len(kinds)/len(tk.Findings)+rapid.IntRange(0, 2).Draw(t, "kind"))%len(kinds)]
		tk.Findings[i].Detail = text.Draw(t, "detail")
	}
	return tk
}

func TestNameThatIsNoTextDoesNotSpoilTheScrape(t *testing.T) {
	tk := sunnyTick()
	tk.House.Plan.Systems[0].Name = "ro\xffof" // no UTF-8
	if !strings.Contains(scraped(t, watching(tk)), "system=\"ro\uFFFDof\"") {
		t.Error("the name is lost")
	}
}
