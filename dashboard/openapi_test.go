//go:build !race

// Not with the race detector: the validator and what it brings take minutes to
// build for it, and nothing here runs beside something else.

package dashboard

import (
	"bytes"
	"encoding/json"
	"io"
	"maps"
	"net/http"
	"net/http/httptest"
	"reflect"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/pb33f/libopenapi"
	validator "github.com/pb33f/libopenapi-validator"

	"sunstoker/control"
	"sunstoker/dashboard/door"
	"sunstoker/history"
	"sunstoker/station/request"
	"sunstoker/station/tick"
)

// description is the part of openapi.json that the tests look at by themselves.
type description struct {
	Paths      map[string]map[string]json.RawMessage
	Components struct{ Schemas map[string]schema }
}

type schema struct {
	Required   []string
	Properties map[string]json.RawMessage
}

func described(t *testing.T) (d description) {
	t.Helper()
	if err := json.Unmarshal([]byte(openAPI), &d); err != nil {
		t.Fatal(err)
	}
	return d
}

// contract is the description as a library reads it, by the schemas of the
// OpenAPI initiative (3.1) that the library carries.
func contract(t *testing.T) validator.Validator {
	t.Helper()
	doc, err := libopenapi.NewDocument([]byte(openAPI))
	if err != nil {
		t.Fatal(err)
	}
	v, errs := validator.NewValidator(doc)
	if len(errs) > 0 {
		t.Fatal(errs)
	}
	return v
}

func TestTheDescriptionIsOpenAPI(t *testing.T) {
	if ok, errs := contract(t).ValidateDocument(); !ok {
		t.Error(errs)
	}
	if got := get(watching(sunnyTick()), "GET", "/api/openapi.json").Body.String(); got != openAPI {
		t.Error("another description is served")
	}
}

// TestEveryRouteIsDescribed with the least role, and nothing else is.
func TestEveryRouteIsDescribed(t *testing.T) {
	told := map[string]string{}
	for path, item := range described(t).Paths {
		for method, operation := range item {
			if method == "parameters" {
				continue
			}
			var o struct {
				Role string `json:"x-least-role"`
			}
			if err := json.Unmarshal(operation, &o); err != nil {
				t.Fatal(err)
			}
			told[strings.ToUpper(method)+" "+path] = o.Role
		}
	}
	served := map[string]string{}
	for _, r := range New(Options{}).apiRoutes() {
		served[r.method+" "+r.path] = r.role.String()
	}
	if !maps.Equal(told, served) {
		t.Errorf("described are\n%v\nserved are\n%v", told, served)
	}
}

// TestSchemasNameEveryField: a field that is added on one side is missed on the
// other, and all are always there.
func TestSchemasNameEveryField(t *testing.T) {
	schemas := described(t).Components.Schemas
	for name, of := range map[string]any{
		"Answer": Answer{}, "Now": Now{}, "Wall": Wall{}, "System": System{}, "Energy": Energy{}, "Outlook": Outlook{},
		"Reading": Reading{}, "Output": Output{}, "SystemOutput": SystemOutput{}, "Vote": Vote{}, "Reason": Reason{}, "Finding": Finding{},
		"Done": Done{}, "Problem": Problem{}, "SettingsShown": SettingsShown{}, "SettingRow": SettingRow{}, "SettingsOwner": SettingsOwner{},
		"HistoryShown": HistoryShown{}, "PriceShown": PriceShown{}, "Promised": Promised{}, "SeriesShown": SeriesShown{}, "ChartShown": ChartShown{},
		"LineShown": LineShown{}, "EnergyShown": EnergyShown{}, "PeriodShown": PeriodShown{}, "EventShown": EventShown{}, "EventsShown": EventsShown{},
		"PastFinding": PastFinding{}, "PastFindings": PastFindings{}, "MomentShown": MomentShown{}, "FigureShown": FigureShown{},
		"SettingValue": SettingValue{}, "ChangedValue": ChangedValue{}, "ChangeShown": ChangeShown{}, "ChangeValue": ChangeValue{},
	} {
		fields := slices.Sorted(slices.Values(fieldsOf(reflect.TypeOf(of))))
		if got := slices.Sorted(maps.Keys(schemas[name].Properties)); !slices.Equal(got, fields) {
			t.Errorf("%s is described with\n%v\nand has\n%v", name, got, fields)
		}
		if got := slices.Sorted(slices.Values(schemas[name].Required)); !slices.Equal(got, fields) {
			t.Errorf("%s always has\n%v\nand is described to have\n%v", name, fields, got)
		}
	}
}

func fieldsOf(of reflect.Type) (names []string) {
	for i := range of.NumField() {
		if f := of.Field(i); f.Anonymous {
			names = append(names, fieldsOf(f.Type)...)
		} else {
			names = append(names, f.Tag.Get("json"))
		}
	}
	return names
}

// keeps holds a request and its answer against the description.
func keeps(t *testing.T, v validator.Validator, d http.Handler, method, target, body string, code int) {
	t.Helper()
	w := send(d, method, target, body)
	if w.Code != code {
		t.Errorf("%s %s %s: %d %s, want %d", method, target, body, w.Code, w.Body, code)
		return
	}
	r := jsonRequest(method, target, body)
	if ok, errs := v.ValidateHttpResponse(r, w.Result()); !ok {
		t.Errorf("%s %s %s: the answer %s is not as described: %v", method, target, body, w.Body, errs)
	}
	if code != 200 {
		return
	}
	if ok, errs := v.ValidateHttpRequest(jsonRequest(method, target, body)); !ok {
		t.Errorf("%s %s %s: the request is not as described: %v", method, target, body, errs)
	}
}

// TestAnswersAreAsDescribed: every route, what it gives and what it refuses.
func TestAnswersAreAsDescribed(t *testing.T) {
	v := contract(t)
	for name, tk := range map[string]*tick.Tick{"sunny": sunnyTick(), "trouble": troubleTick(), "boosted": boostedTick(), "long": longTick(), "doubted": doubtedTick()} {
		t.Log(name)
		keeps(t, v, behindDoor(watching(tk), door.See), "GET", "/api/now", "", 200)
	}
	d, desk := asking()
	for _, target := range []string{"/api/openapi.json", "/api/settings", "/api/changes", "/api/site-file"} {
		keeps(t, v, d, "GET", target, "", 200)
		if target != "/api/openapi.json" {
			keeps(t, v, behindDoor(New(Options{}), door.Install), "GET", target, "", 503)
		}
	}
	seen := behindDoor(New(Options{}), door.See)
	keeps(t, v, seen, "GET", "/api/now", "", 503)
	keeps(t, v, seen, "GET", "/api/site-file", "", 403)
	for _, c := range writes {
		keeps(t, v, seen, c.method, c.target, c.body, 403)
		keeps(t, v, d, c.method, c.target, c.body, 200)
		desk.err = &request.Refusal{Kind: request.Impossible, Words: "No."}
		keeps(t, v, d, c.method, c.target, c.body, 422)
		desk.err = &request.Refusal{Kind: request.Busy, Words: "Later."}
		keeps(t, v, d, c.method, c.target, c.body, 503)
		desk.err = nil
		if c.body != "" {
			keeps(t, v, d, c.method, c.target, "[]", 400)
			keeps(t, v, d, c.method, c.target, `{"a": "`+strings.Repeat("a", 16<<10)+`"}`, 413)
		}
		if strings.Contains(c.target, "/roof/") {
			keeps(t, v, d, c.method, strings.Replace(c.target, "/roof/", "/no%2Fsuch%20one/", 1), c.body, 404)
		}
	}
	desk.err = &request.Refusal{Kind: request.Outdated, Words: "No."}
	keeps(t, v, d, "DELETE", "/api/changes/4", "", 409)
	keeps(t, v, d, "DELETE", "/api/changes/0", "", 404)
}

// TestThePastIsAsDescribed: all that can be asked of it, what is refused, and none.
func TestThePastIsAsDescribed(t *testing.T) {
	v := contract(t)
	h := lived(t, t.TempDir(), 9)
	kept, none := behindDoor(remembering(h), door.See), behindDoor(watching(sunnyTick()), door.See)
	early := behindDoor(New(Options{Past: h.history}), door.See)
	empty := behindDoor(remembering(&pastHouse{history: history.New(history.Options{Folder: t.TempDir()})}), door.See)
	for i, target := range questions {
		keeps(t, v, kept, "GET", target, "", 200)
		keeps(t, v, early, "GET", target, "", 503)
		if i == 0 {
			keeps(t, v, none, "GET", target, "", 200)
			keeps(t, v, empty, "GET", target, "", 200)
			continue
		}
		keeps(t, v, none, "GET", target, "", 404)
		keeps(t, v, empty, "GET", target, "", 503)
	}
	for target := range unfit {
		keeps(t, v, kept, "GET", target, "", 400)
	}
}

// TestTheDescriptionBites: an answer that is not as described is seen, and so is
// a request.
func TestTheDescriptionBites(t *testing.T) {
	v := contract(t)
	body := strings.Replace(get(watching(sunnyTick()), "GET", "/api/now").Body.String(), `"level_ratio":1,`, `"level_ratio":2,`, 1)
	answer := &http.Response{StatusCode: 200, Header: http.Header{"Content-Type": {"application/json"}}, Body: io.NopCloser(strings.NewReader(body))}
	if ok, _ := v.ValidateHttpResponse(jsonRequest("GET", "/api/now", ""), answer); ok {
		t.Error("a level of 2 is as described")
	}
	for _, body := range []string{`{"length": 7200}`, `{}`, `{"length": "2 h", "more": "x"}`} {
		if ok, _ := v.ValidateHttpRequest(jsonRequest("PUT", "/api/holiday", body)); ok {
			t.Errorf("%s is as described", body)
		}
	}
}

// TestEventsAreAsDescribed: their data, that is; OpenAPI 3.1 has no words for the
// stream. Data of a tick is held to the schema by way of /api/now, which has it too.
func TestEventsAreAsDescribed(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := watching(sunnyTick())
		p, end := view(t, d)
		time.Sleep(6 * time.Second)
		end()
		ticks, _ := p.named("tick")
		beats, _ := p.named("beat")
		if len(ticks) == 0 || len(beats) == 0 {
			t.Fatalf("%d ticks, %d beats", len(ticks), len(beats))
		}
		for event, of := range map[string]any{ticks[0]: &Answer{}, beats[0]: &struct {
			AgeSeconds *float64 `json:"age_seconds"`
		}{}} {
			_, data, _ := strings.Cut(strings.TrimSpace(event), "data: ")
			in := json.NewDecoder(bytes.NewReader([]byte(data)))
			if in.DisallowUnknownFields(); in.Decode(of) != nil || strings.Contains(data, "\n") {
				t.Errorf("event %q", event)
			}
		}
		if p.head.Get("Content-Type") != "text/event-stream" {
			t.Errorf("%v", p.head)
		}
	})
}

// FuzzWrites sends any body to any way in by which something can be asked.
func FuzzWrites(f *testing.F) {
	for i, c := range writes {
		f.Add(i, c.target, c.body, "application/json")
		f.Add(i, c.target, `{"length": "1e9 d", "level": "NaN %"}`, "application/json;charset=utf-8")
		f.Add(i, "/api/systems/%2F/outputs/%00/override", `{"on": tru`, "text/plain; a=b")
	}
	d, desk := asking()
	f.Fuzz(func(t *testing.T, which int, target, body, kind string) {
		c := writes[((which%len(writes))+len(writes))%len(writes)]
		r := httptest.NewRequest(c.method, "/", strings.NewReader(body))
		r.Host = "localhost"
		r.Header["Content-Type"] = []string{kind}
		if path, err := r.URL.Parse(target); err == nil {
			r.URL = path
		}
		if r.URL.Path == "/api/events" {
			return
		}
		desk.asked = nil
		w := httptest.NewRecorder()
		d.ServeHTTP(w, r)
		if w.Code < 200 || w.Code == 500 || w.Code > 503 {
			t.Errorf("%s %q: %d", c.method, target, w.Code)
		}
		if (desk.last() != nil) != (w.Code == 200) {
			t.Errorf("%s %q %q: %d, and asked %+v", c.method, target, body, w.Code, desk.last())
		}
		switch q := desk.last().(type) {
		case request.Boost:
			mustBePositive(t, q.Length, c.method)
		case request.Holiday:
			mustBePositive(t, q.Length, c.method)
		case request.Override:
			mustBePositive(t, q.Length, c.method)
			if !(q.Level >= 0 && q.Level <= 1) {
				t.Errorf("level %g", q.Level)
			}
		case request.Settings:
			if q.System != control.House && q.System != 0 || len(q.Values) == 0 {
				t.Errorf("settings %+v", q)
			}
		}
	})
}

// mustBePositive: what is put lasts for a while, what is deleted does not.
func mustBePositive(t *testing.T, length time.Duration, method string) {
	t.Helper()
	if (length > 0) != (method == "PUT") || length < 0 {
		t.Errorf("%s asks for %v", method, length)
	}
}
