package dashboard

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"sunstoker/dashboard/door"
	"sunstoker/history"
)

// questions are all that can be asked of the past, as they are meant to be.
var questions = []string{
	"/api/history",
	"/api/history/chart?from=2026-02-18&to=2026-02-20",
	"/api/history/chart?from=2026-02-18T10:00:00Z&to=2026-02-19T10:00:00%2B01:00&points=12&series=roof/tank_top&series=outdoor_air&series=roof/sun_heat",
	"/api/history/chart?from=1990-01-01&to=1991-01-01",
	"/api/history/energy?from=2026-02-18&to=2026-02-20&by=hour",
	"/api/history/energy?from=2026-02-01&to=2026-03-01&by=day",
	"/api/history/energy?from=2026-01-01&to=2027-01-01&by=month",
	"/api/history/energy?from=2020-01-01&to=2030-01-01&by=year",
	"/api/history/events?from=2026-02-18&to=2026-02-20",
	"/api/history/events?from=2026-02-18&to=2026-02-20&kind=decision&kind=override_set&most=3",
	"/api/history/findings?from=2026-01-01&to=2026-03-01",
	"/api/history/moment?at=2026-02-18T12:34:56Z",
	"/api/history/moment?at=2026-02-18",
	"/api/history/moment?at=1990-02-18",
}

// unfit are questions that are refused, and what is said of them.
var unfit = map[string]string{
	"/api/history/chart":                                                                `"from" is missing`,
	"/api/history/chart?from=2026-02-18":                                                `"to" is missing`,
	"/api/history/chart?from=yesterday&to=2026-02-18":                                   `"yesterday" is neither a day nor an instant`,
	"/api/history/chart?from=2026-02-18T10:00:00+01:00&to=2026-02-19":                   `with a + as %2B`,
	"/api/history/chart?from=2026-02-31&to=2026-03-18":                                  `neither a day nor an instant`,
	"/api/history/chart?from=2026-02-18&to=2026-02-18":                                  `"to" must lie behind "from"`,
	"/api/history/chart?from=1969-02-18&to=2026-02-18":                                  `lies outside of 1970 to 2500`,
	"/api/history/chart?from=1970-02-18&to=9999-02-18":                                  `lies outside of 1970 to 2500`,
	"/api/history/chart?from=1970-02-18&to=2026-02-18":                                  `are more than 14640 days: ask for less at once`,
	"/api/history/chart?from=2026-02-18&to=2026-02-19&points=0":                         `"0" is no whole number from 2 to 2000`,
	"/api/history/chart?from=2026-02-18&to=2026-02-19&points=2001":                      `no whole number from 2 to 2000`,
	"/api/history/chart?from=2026-02-18&to=2026-02-19&points=1e3":                       `no whole number`,
	"/api/history/chart?from=2026-02-18&to=2026-02-19&series=attic":                     `there is none that is called "attic". /api/history lists them`,
	"/api/history/chart?from=2026-02-18&to=2026-02-19" + strings.Repeat("&series=", 33): `33 times: write it 32 times at most`,
	"/api/history/chart?from=2026-02-18&to=2026-02-19&to=2026-02-20":                    `"to" stands there twice`,
	"/api/history/chart?from=2026-02-18&to=2026-02-19&colour=red":                       `"colour" is not known here: ask with "from" and "to" and "points" and "series"`,
	"/api/history/chart?from=%zz":                                                       `What stands behind the ? can't be read`,
	"/api/history/energy?from=2026-02-18&to=2026-02-19":                                 `"by": "" is not known: write one of hour, day, month, year`,
	"/api/history/energy?from=2026-02-18&to=2026-02-19&by=week":                         `"week" is not known`,
	"/api/history/energy?from=2026-02-18&to=2026-06-19&by=hour":                         `are more than 62 days`,
	"/api/history/energy?from=2021-02-18&to=2026-06-19&by=day":                          `are more than 732 days`,
	"/api/history/events?from=2021-02-18&to=2026-06-19":                                 `are more than 400 days`,
	"/api/history/events?from=2026-02-18&to=2026-02-19&kind=rain":                       `"rain" is not known: write one of decision, finding_raised`,
	"/api/history/events?from=2026-02-18&to=2026-02-19&most=1001":                       `no whole number from 1 to 1000`,
	"/api/history/findings?from=2021-02-18&to=2026-06-19":                               `are more than 400 days`,
	"/api/history/moment":                                                               `"at" is missing`,
	"/api/history/moment?at=noon":                                                       `neither a day nor an instant`,
}

func TestQuestionsToThePastAreBounded(t *testing.T) {
	d := remembering(lived(t, t.TempDir(), 1))
	for target, words := range unfit {
		var p Problem
		w := get(d, "GET", target)
		if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil || w.Code != 400 || !strings.Contains(p.Detail, words) {
			t.Errorf("%s: %d %q, want 400 with %q", target, w.Code, p.Detail, words)
		}
	}
}

// told asks and reads the answer.
func told[T any](t *testing.T, d http.Handler, target string) (answer T) {
	t.Helper()
	w := get(d, "GET", target)
	if err := json.Unmarshal(w.Body.Bytes(), &answer); err != nil || w.Code != 200 {
		t.Fatalf("%s: %d %.300s, %v", target, w.Code, w.Body, err)
	}
	return answer
}

// chartRead is a chart as a program reads it.
type chartRead struct {
	Span   float64 `json:"span_seconds"`
	Starts []int64
	Lines  []struct {
		Series                  string
		Mean, Low, High, Amount []*float64
	}
}

func TestTheChartIsAsFineAsItIsAskedFor(t *testing.T) {
	h := lived(t, t.TempDir(), 2)
	d := remembering(h)
	c := told[chartRead](t, d, "/api/history/chart?from=2026-02-18T00:00:00Z&to=2026-02-19T00:00:00Z&points=96&series=roof/tank_top&series=roof/sun_heat")
	if c.Span != 900 || len(c.Starts) != 96 || len(c.Lines) != 2 {
		t.Fatalf("%d points of %g s, %d lines", len(c.Starts), c.Span, len(c.Lines))
	}
	top, sun := &c.Lines[0], &c.Lines[1]
	for i := range c.Starts {
		if !(*top.Low[i] <= *top.Mean[i] && *top.Mean[i] <= *top.High[i] && *top.Low[i] > 10 && *top.High[i] < 95) {
			t.Errorf("point %d: %g, %g, %g", i, *top.Low[i], *top.Mean[i], *top.High[i])
		}
		if hundredths := *top.Mean[i] * 100; math.Abs(hundredths-math.Round(hundredths)) > 1e-6 {
			t.Errorf("point %d: %v has more decimals than are kept", i, *top.Mean[i])
		}
	}
	if len(top.Amount) != 0 || len(sun.Mean) != 0 || len(sun.Amount) != 96 {
		t.Errorf("%d and %d amounts, %d means", len(top.Amount), len(sun.Amount), len(sun.Mean))
	}
	// Nobody watched before the first day: nothing is told of it, and it is no zero.
	before := told[chartRead](t, d, "/api/history/chart?from=2026-02-01&to=2026-02-10&series=roof/tank_top")
	if len(before.Starts) != 0 || len(before.Lines) != 1 {
		t.Errorf("%+v", before)
	}
	for points := range 20 {
		c := told[chartRead](t, d, fmt.Sprintf("/api/history/chart?from=2026-02-17T13:37:00Z&to=2026-02-19T10:01:00Z&series=outdoor_air&points=%d", points+2))
		if len(c.Starts) > points+2 || len(c.Starts) < points/2 {
			t.Errorf("%d points, want %d at most", len(c.Starts), points+2)
		}
	}
}

// TestTheEnergyIsThatOfTheBook: what is added up by any period is what the
// controller's own counters have gained.
func TestTheEnergyIsThatOfTheBook(t *testing.T) {
	h := lived(t, t.TempDir(), 2)
	d := remembering(h)
	book := h.tick.Systems[0].Energy
	for _, by := range []string{"hour", "day", "month", "year"} {
		answer := told[struct {
			Series  []SeriesShown
			Periods []struct {
				Begin time.Time
				Sums  []float64 `json:"sums_j"`
			}
		}](t, d, "/api/history/energy?from=2026-02-10&to=2026-03-01&by="+by)
		sums := map[string]float64{}
		for i, s := range answer.Series {
			for _, p := range answer.Periods {
				sums[s.Series] += p.Sums[i]
			}
		}
		// The last minute is still open.
		for name, want := range map[string]float64{"roof/sun_heat": book.SunJ, "roof/meter_heat": book.MeterJ, "roof/pump_electricity": book.PumpJ} {
			if got := sums[name]; got == 0 || math.Abs(got-want) > 2500*70 {
				t.Errorf("by %s: %s is %g J, the book has %g", by, name, got, want)
			}
		}
		if first := answer.Periods[0].Begin; by != "hour" && (first.Hour() != 0 || first.Minute() != 0) {
			t.Errorf("by %s: it begins at %v, which is no midnight of the house", by, first)
		}
	}
}

func TestWhatHappenedIsTold(t *testing.T) {
	d := remembering(lived(t, t.TempDir(), 8))
	events := told[EventsShown](t, d, "/api/history/events?from=2026-02-12&to=2026-02-20&kind=decision&most=20")
	if len(events.Events) != 20 || !events.More {
		t.Fatalf("%d events, more %v", len(events.Events), events.More)
	}
	for _, e := range events.Events {
		if e.Kind != "decision" || e.PartWords == "" || e.Text == "" || e.Rank != "comfort" && e.Rank != "person" || strings.Contains(e.Text, "{") {
			t.Errorf("%+v", e)
		}
	}
	next := told[EventsShown](t, d, "/api/history/events?from=2026-02-12&to=2026-02-20&kind=override_set")
	if len(next.Events) != 1 || next.Events[0].Time.Hour() != 10 || next.Events[0].Part != "loop_pump" {
		t.Errorf("%+v", next.Events)
	}
	findings := told[PastFindings](t, d, "/api/history/findings?from=2026-02-01&to=2026-02-20")
	if len(findings.Findings) != 1 {
		t.Fatalf("%+v", findings)
	}
	f := findings.Findings[0]
	if f.Kind != "stagnation" || f.System != "roof" || f.Title == "" || !strings.Contains(f.Text, "141") || f.Since.Hour() != 12 || f.Until == nil || f.Until.Sub(f.Since) != 3*time.Hour+30*time.Minute || !f.Sure {
		t.Errorf("%+v", f)
	}
}

func TestAMomentIsTold(t *testing.T) {
	d := remembering(lived(t, t.TempDir(), 2))
	m := told[MomentShown](t, d, "/api/history/moment?at=2026-02-18T20:10:20%2B01:00")
	if m.Start == nil || m.Start.Hour() != 20 || m.Start.Second() != 0 || m.Span != 60 || len(m.Decisions) != 2 {
		t.Fatalf("%+v", m)
	}
	for _, f := range m.Figures {
		if f.Series == "roof/tank_top" && (f.Mean == nil || !(*f.Low <= *f.Mean && *f.Mean <= *f.High) || f.Words != "tank top" || f.Unit != "°C") {
			t.Errorf("%+v", f)
		}
		if f.Sum != (f.Amount != nil) {
			t.Errorf("%+v", f)
		}
	}
	if m.Before != nil || m.After != nil {
		t.Errorf("beside a minute that was watched: %v, %v", m.Before, m.After)
	}
	gone := told[MomentShown](t, d, "/api/history/moment?at=2025-02-18")
	if gone.Start != nil || gone.After == nil || len(gone.Decisions) != 0 {
		t.Errorf("%+v", gone)
	}
}

func TestThereIsNoHistoryAndItIsSaid(t *testing.T) {
	d := watching(sunnyTick())
	shown := told[HistoryShown](t, d, "/api/history")
	if shown.Kept || !strings.Contains(shown.Trouble, "kept = false") || shown.Oldest != nil || shown.Price != nil || len(shown.Promised) != 0 {
		t.Errorf("%+v", shown)
	}
	for _, target := range questions[1:] {
		if w := get(d, "GET", target); w.Code != 404 || !strings.Contains(w.Body.String(), "keeps no history") {
			t.Errorf("%s: %d %s", target, w.Code, w.Body)
		}
	}
}

func TestAHistoryThatIsNotThereYet(t *testing.T) {
	h := &pastHouse{history: history.New(history.Options{Folder: t.TempDir()})}
	d := remembering(h)
	shown := told[HistoryShown](t, d, "/api/history")
	if !shown.Kept || !strings.Contains(shown.Trouble, "there is no history yet") || shown.Price.Currency != "EUR" || len(shown.Promised[0].ByJ) != 12 {
		t.Errorf("%+v", shown)
	}
	w := get(d, "GET", questions[1])
	if w.Code != 503 || w.Header().Get("Retry-After") != "60" || !strings.Contains(w.Body.String(), "there is no history yet") {
		t.Errorf("%d %v %s", w.Code, w.Header(), w.Body)
	}
}

// stuckPast is a history on storage that does not come back.
type stuckPast struct{ come chan struct{} }

func (p *stuckPast) Open() (*history.Reader, error) {
	<-p.come
	return nil, errors.New("the storage has come back too late")
}

func (p *stuckPast) Trouble() string { return "" }

// TestAStuckHistoryHoldsNobodyUp: neither the tick nor those who ask for it; whoever
// asks for the past finds no place.
func TestAStuckHistoryHoldsNobodyUp(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		stuck := &stuckPast{make(chan struct{})}
		d := New(Options{Past: stuck})
		d.Watch(sunnyTick())
		var answers []chan *httptest.ResponseRecorder
		for range 5 {
			answer := make(chan *httptest.ResponseRecorder, 1)
			answers = append(answers, answer)
			go func() { answer <- get(d, "GET", questions[1]) }()
			synctest.Wait()
		}
		begun := time.Now()
		d.Watch(sunnyTick())
		if w := get(d, "GET", "/api/now"); w.Code != 200 || time.Since(begun) > 0 {
			t.Errorf("/api/now: %d after %v", w.Code, time.Since(begun))
		}
		time.Sleep(readPlace)
		synctest.Wait()
		for i, answer := range answers[mostReaders:] {
			w := <-answer
			if w.Code != 503 || w.Header().Get("Retry-After") != "5" || !strings.Contains(w.Body.String(), "as often as this board bears") {
				t.Errorf("question %d: %d %v %s", mostReaders+i, w.Code, w.Header(), w.Body)
			}
		}
		close(stuck.come)
		for _, answer := range answers[:mostReaders] {
			if w := <-answer; w.Code != 503 || !strings.Contains(w.Body.String(), "come back too late") {
				t.Errorf("%d %s", w.Code, w.Body)
			}
		}
		if len(d.readers) != 0 {
			t.Errorf("%d places are still taken", len(d.readers))
		}
	})
}

// TestALongQuestionIsDropped, and one whose asker has gone.
func TestALongQuestionIsDropped(t *testing.T) {
	d := remembering(lived(t, t.TempDir(), 1))
	forever := func(ctx context.Context, h *history.Reader) (any, error) {
		<-ctx.Done()
		return nil, fmt.Errorf("the history was left: %w", ctx.Err())
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := d.readPast(ctx, forever); err == nil {
		t.Error("who has gone is still answered")
	}
	synctest.Test(t, func(t *testing.T) {
		begun := time.Now()
		if _, err := d.readPast(t.Context(), forever); !errors.Is(err, errTooLong) || time.Since(begun) != readTimeout {
			t.Errorf("%v after %v", err, time.Since(begun))
		}
	})
	w := httptest.NewRecorder()
	refusePast(w, httptest.NewRequest("GET", "/api/history/chart", nil), errTooLong)
	if w.Code != 503 || !strings.Contains(w.Body.String(), "ask for less time at once") {
		t.Errorf("%d %s", w.Code, w.Body)
	}
}

// TestDaysAreThoseOfTheHouse, and figures have no more decimals than are kept.
func TestDaysAreThoseOfTheHouse(t *testing.T) {
	q, err := queryOf(httptest.NewRequest("GET", "/?at=2026-02-18", nil), zone())
	if err != nil {
		t.Fatal(err)
	}
	if at, err := q.instant("at"); err != nil || !at.Equal(time.Date(2026, 2, 17, 23, 0, 0, 0, time.UTC)) {
		t.Errorf("%v, %v", at, err)
	}
	text, err := json.Marshal(figures{[]float64{47.83333, math.NaN(), -0.5}, 100})
	if err != nil || string(text) != "[47.83,null,-0.5]" {
		t.Errorf("%s, %v", text, err)
	}
}

// FuzzPast asks the history for anything.
func FuzzPast(f *testing.F) {
	for i, target := range questions {
		_, query, _ := strings.Cut(target, "?")
		f.Add(i, query)
	}
	for target := range unfit {
		_, query, _ := strings.Cut(target, "?")
		f.Add(1, query)
	}
	d := behindDoor(remembering(lived(f, f.TempDir(), 1)), door.See)
	f.Fuzz(func(t *testing.T, which int, query string) {
		r := httptest.NewRequest("GET", "/", nil)
		r.Host = "localhost"
		r.URL.Path, _, _ = strings.Cut(questions[((which%len(questions))+len(questions))%len(questions)], "?")
		r.URL.RawQuery = query
		w := httptest.NewRecorder()
		d.ServeHTTP(w, r)
		if w.Code != 200 && w.Code != 400 {
			t.Errorf("%s?%s: %d %s", r.URL.Path, query, w.Code, w.Body)
		}
		if !json.Valid(w.Body.Bytes()) || w.Body.Len() > 4<<20 {
			t.Errorf("%s?%s: %d bytes, %.200s", r.URL.Path, query, w.Body.Len(), w.Body)
		}
	})
}
