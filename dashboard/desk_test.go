package dashboard

import (
	"context"
	"net/http"
	"net/http/httptest"
	"reflect"
	"strings"
	"sync"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/dashboard/door"
	"sunstoker/station/request"
	"sunstoker/station/tick"
)

// fakeDesk keeps what it is asked and answers with the tick it has.
type fakeDesk struct {
	mu    sync.Mutex
	asked []request.Request
	by    string // who asked last
	tick  *tick.Tick
	err   error // its answer when set
	book  *request.Book
}

func (d *fakeDesk) Ask(_ context.Context, by string, r request.Request) (*request.Answer, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.asked, d.by = append(d.asked, r), by
	if d.err != nil {
		return nil, d.err
	}
	a := &request.Answer{Words: "It is done.", Tick: d.tick}
	if _, is := r.(request.Settings); is {
		a.Change = &d.book.Changes[0]
	}
	return a, nil
}

func (d *fakeDesk) Book() *request.Book { return d.book }

// last is what was asked last; nil when nothing was.
func (d *fakeDesk) last() request.Request {
	d.mu.Lock()
	defer d.mu.Unlock()
	if len(d.asked) == 0 {
		return nil
	}
	return d.asked[len(d.asked)-1]
}

// boostedTick is the sunny house, asked for hot water now and on a holiday, with
// a tank that is too full for it.
func boostedTick() *tick.Tick {
	tk := sunnyTick()
	tk.Systems[0].BoostLeft, tk.HolidayLeft = 2*time.Hour, 14*24*time.Hour
	full := says(control.SaysHeaterTankFull, 70.4, 67)
	tk.Outputs[1].Decision = control.Decision{Rank: control.Protect, Reason: full, Votes: []control.Vote{{Rank: control.Protect, Reason: full}}}
	tk.Outputs[0].Override = control.OverrideState{System: "roof", Actuator: "loop_pump", Level: 1, Left: 30 * time.Minute}
	return tk
}

// asking is a dashboard with a desk, as of the boosted tick, and somebody who may
// install.
func asking() (http.Handler, *fakeDesk) {
	now := request.Figures{House: settings(), Systems: []control.Settings{settings()}}
	now.Systems[0].HeaterStopC = 55
	desk := &fakeDesk{tick: boostedTick(), book: &request.Book{
		File: request.Figures{House: settings(), Systems: []control.Settings{settings()}}, Now: now,
		Changes: []request.Change{
			{Number: 3, By: "the installer", System: "roof", When: time.Date(2026, 2, 1, 9, 0, 0, 0, time.UTC),
				Values: []request.Value{{Setting: "heater_stop", From: "52 °C", To: "54 °C", File: "52 °C"}}},
			{Number: 4, By: "the installer", System: "roof", Values: []request.Value{{Setting: "heater_stop", From: "54 °C", To: "55 °C", File: "52 °C"}}},
		},
		Text: []byte("name = \"House on the hill\"\n"),
	}}
	return askingAs(desk, door.Install), desk
}

func askingAs(desk request.Desk, may door.Role) http.Handler {
	d := New(Options{Now: stopped, Desk: desk})
	d.Watch(boostedTick())
	return behindDoor(d, may)
}

// send asks by a method with a body as JSON; an empty one is none.
func send(d http.Handler, method, target, body string) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	d.ServeHTTP(w, jsonRequest(method, target, body))
	return w
}

func jsonRequest(method, target, body string) *http.Request {
	var r *http.Request
	if body == "" {
		r = httptest.NewRequest(method, target, nil)
	} else {
		r = httptest.NewRequest(method, target, strings.NewReader(body))
		r.Header.Set("Content-Type", "application/json")
	}
	r.Host = "localhost:8017"
	return r
}

// writes are all requests that change something, as they are meant to be.
var writes = []struct {
	method, target, body string
	want                 request.Request
}{
	{"PUT", "/api/systems/roof/boost", `{"length": "2 h"}`, request.Boost{Length: 2 * time.Hour}},
	{"DELETE", "/api/systems/roof/boost", "", request.Boost{}},
	{"PUT", "/api/holiday", `{"length": "14 d"}`, request.Holiday{Length: 14 * 24 * time.Hour}},
	{"DELETE", "/api/holiday", "", request.Holiday{}},
	{"PUT", "/api/systems/roof/outputs/loop_pump/override", `{"level": "on", "length": "30 min"}`, request.Override{Level: 1, Length: 30 * time.Minute}},
	{"PUT", "/api/systems/roof/outputs/backup_heater/override", `{"length": "1 h", "level": "off"}`, request.Override{Output: 1, Length: time.Hour}},
	{"PUT", "/api/systems/roof/outputs/loop_pump/override", `{"level": "40 %", "length": "90 s"}`, request.Override{Level: 0.4, Length: 90 * time.Second}},
	{"DELETE", "/api/systems/roof/outputs/backup_heater/override", "", request.Override{Output: 1}},
	{"PUT", "/api/servicing", `{"on": true}`, request.Servicing{On: true}},
	{"PUT", "/api/servicing", `{"on": false}`, request.Servicing{}},
	{"PATCH", "/api/settings", `{"tank_limit": "65 °C"}`, request.Settings{System: control.House, Values: map[string]string{"tank_limit": "65 °C"}}},
	{"PATCH", "/api/systems/roof/settings", `{"start_difference": "9 K", "stop_difference": "4 K"}`, request.Settings{Values: map[string]string{"start_difference": "9 K", "stop_difference": "4 K"}}},
	{"DELETE", "/api/changes/4", "", request.Undo{Number: 4}},
}

func TestEachWriteReachesTheDesk(t *testing.T) {
	for _, c := range writes {
		d, desk := asking()
		w := send(d, c.method, c.target, c.body)
		if w.Code != 200 {
			t.Errorf("%s %s: %d %s", c.method, c.target, w.Code, w.Body)
		}
		if got := desk.last(); !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s %s asks for %+v, want %+v", c.method, c.target, got, c.want)
		}
	}
}

// TestWritesTakeTheirRole: who may do less asks for nothing.
func TestWritesTakeTheirRole(t *testing.T) {
	for _, c := range writes {
		needs := door.Install
		if strings.HasSuffix(c.target, "/boost") || strings.HasSuffix(c.target, "/holiday") {
			needs = door.Use
		}
		for _, has := range []door.Role{door.See, door.Use, door.Install} {
			_, desk := asking()
			w := send(askingAs(desk, has), c.method, c.target, c.body)
			if may := has >= needs; may != (w.Code == 200) || may != (desk.last() != nil) || !may && w.Code != 403 {
				t.Errorf("who may %v, %s %s: %d %s", has, c.method, c.target, w.Code, w.Body)
			}
			if has >= needs && desk.by != "somebody at the board, who may "+has.String() {
				t.Errorf("asked by %q", desk.by)
			}
		}
	}
	if w := get(watching(sunnyTick()), "GET", "/api/site-file"); w.Code != 403 {
		t.Errorf("who may see reads the site file: %d", w.Code)
	}
}

// TestTheAnswerTellsUntilWhenAndWhatBecameOfIt: who is outranked reads there by
// what.
func TestTheAnswerTellsUntilWhenAndWhatBecameOfIt(t *testing.T) {
	d, desk := asking()
	boost := send(d, "PUT", "/api/systems/roof/boost", `{"length": "2 h"}`).Body.String()
	for _, want := range []string{
		`"words":"It is done."`, `"seconds_left":7200`, `"until":"2026-02-19T14:42:07+01:00"`, `"outputs":[{"system":"roof","actuator":"backup_heater"`,
		`"rank":"protection","reason":{"key":"heater_tank_full","text":"the tank is too hot to be heated`, `"change":null`,
	} {
		if !strings.Contains(boost, want) {
			t.Errorf("no %s in %s", want, boost)
		}
	}
	if strings.Contains(boost, "loop_pump") {
		t.Error("the pump has nothing to do with it")
	}
	if pump := send(d, "DELETE", "/api/systems/roof/outputs/loop_pump/override", "").Body.String(); !strings.Contains(pump, `"seconds_left":1800`) || strings.Contains(pump, "backup_heater") {
		t.Errorf("override: %s", pump)
	}
	if holiday := send(d, "PUT", "/api/holiday", `{"length": "14 d"}`).Body.String(); !strings.Contains(holiday, `"seconds_left":1209600`) || !strings.Contains(holiday, "loop_pump") {
		t.Errorf("holiday: %s", holiday)
	}
	if change := send(d, "PATCH", "/api/systems/roof/settings", `{"heater_stop": "54 °C"}`).Body.String(); !strings.Contains(change, `"seconds_left":null,"until":null`) ||
		!strings.Contains(change, `"change":{"number":3,"when":"2026-02-01T10:00:00+01:00","by":"the installer","system":"roof","values":[{"setting":"heater_stop","from":"52 °C","to":"54 °C"}]}`) {
		t.Errorf("change: %s", change)
	}
	desk.tick.Wall.Trusted = false
	if boost := send(d, "PUT", "/api/systems/roof/boost", `{"length": "2 h"}`).Body.String(); !strings.Contains(boost, `"seconds_left":7200,"until":null`) {
		t.Errorf("with a clock that is not set: %s", boost)
	}
}

func TestRefusalsKeepTheirKind(t *testing.T) {
	d, desk := asking()
	for kind, code := range map[request.RefusalKind]int{request.Impossible: 422, request.Outdated: 409, request.Busy: 503} {
		desk.err = &request.Refusal{Kind: kind, Words: "It can't be. Do something else."}
		w := send(d, "PUT", "/api/holiday", `{"length": "14 d"}`)
		if w.Code != code || !strings.Contains(w.Body.String(), `"detail":"It can't be. Do something else."`) || w.Header().Get("Content-Type") != "application/problem+json" {
			t.Errorf("kind %d: %d %s", kind, w.Code, w.Body)
		}
		if again := w.Header().Get("Retry-After"); (again != "") != (code == 503) {
			t.Errorf("kind %d: ask again after %q", kind, again)
		}
	}
}

func TestNobodyToAsk(t *testing.T) {
	_, desk := asking()
	early := behindDoor(New(Options{Desk: desk}), door.Install)
	quiet := New(Options{Now: stopped})
	quiet.Watch(sunnyTick())
	mute := behindDoor(quiet, door.Install)
	for _, c := range writes {
		if w := send(mute, c.method, c.target, c.body); w.Code != 503 || !strings.Contains(w.Body.String(), "no controller") {
			t.Errorf("%s %s without a desk: %d %s", c.method, c.target, w.Code, w.Body)
		}
		if w := send(early, c.method, c.target, c.body); strings.Contains(c.target, "/systems/") && w.Code != 503 {
			t.Errorf("%s %s before the first tick: %d %s", c.method, c.target, w.Code, w.Body)
		}
	}
	for _, target := range []string{"/api/settings", "/api/changes", "/api/site-file"} {
		if a, b := get(mute, "GET", target).Code, get(early, "GET", target).Code; a != 503 || b != 503 {
			t.Errorf("%s: %d without a desk, %d before the first tick", target, a, b)
		}
	}
}

// TestGarbageIsRefusedInWords: nothing of it reaches the desk.
func TestGarbageIsRefusedInWords(t *testing.T) {
	boost, override, servicing, settings := "/api/systems/roof/boost", "/api/systems/roof/outputs/loop_pump/override", "/api/servicing", "/api/settings"
	for _, c := range []struct {
		method, target, body string
		code                 int
		words                string
	}{
		{"PUT", boost, `{"length": "2 h"`, 400, "ends too early"},
		{"PUT", boost, `{"length": "2 h"} {}`, 400, "nothing else"},
		{"PUT", boost, `{"length": "2 h"}x`, 400, "nothing else"},
		{"PUT", boost, `{"length": "2 h", "length": "4 h"}`, 400, `"length" stands twice`},
		{"PUT", boost, `{"Length": "2 h"}`, 400, `"Length" is not known here: send "length".`},
		{"PUT", boost, `{"length": "2 h", "by": "me"}`, 400, `"by" is not known here`},
		{"PUT", boost, `{}`, 400, `"length" is missing: send it, such as {"length": "2 h"}.`},
		{"PUT", boost, `[]`, 400, "must be a JSON object"},
		{"PUT", boost, `"2 h"`, 400, "must be a JSON object"},
		{"PUT", boost, `null`, 400, "must be a JSON object"},
		{"PUT", boost, ` `, 400, "ends too early"},
		{"PUT", boost, `{"length": NaN}`, 400, "no JSON"},
		{"PUT", boost, `{length: "2 h"}`, 400, "no JSON"},
		{"PUT", boost, `{"length": 7200}`, 400, "is the plain number 7200: write a text with its unit"},
		{"PUT", boost, `{"length": null}`, 400, "no null"},
		{"PUT", boost, `{"length": ["2 h"]}`, 400, "nothing nested"},
		{"PUT", boost, `{"length": {"h": 2}}`, 400, "nothing nested"},
		{"PUT", boost, `{"length": true}`, 400, `must be a text`},
		{"PUT", boost, `{"length": "2"}`, 400, "has no unit"},
		{"PUT", boost, `{"length": "2 K"}`, 400, "a time span is wanted"},
		{"PUT", boost, `{"length": "NaN h"}`, 400, "no number"},
		{"PUT", boost, `{"length": "1e300 d"}`, 400, "too long"},
		{"PUT", boost, `{"length": "-2 h"}`, 400, "too short: ask for 1 s or more. To end it, send DELETE"},
		{"PUT", boost, `{"length": "0 s"}`, 400, "To end it, send DELETE"},
		{"PUT", boost, "{\"length\": \"2 h\xff\"}", 400, "no UTF-8"},
		{"PUT", boost, `{"length": "` + strings.Repeat("9", 20_000) + ` h"}`, 413, "larger than 16384 bytes"},
		{"PUT", "/api/systems/barn/boost", `{"length": "2 h"}`, 404, `no system "barn"`},
		{"PUT", override, `{"level": "on"}`, 400, `"length" is missing`},
		{"PUT", override, `{"length": "1 h"}`, 400, `"level" is missing`},
		{"PUT", override, `{"level": "1", "length": "1 h"}`, 400, `write "on", "off", or a share`},
		{"PUT", override, `{"level": "101 %", "length": "1 h"}`, 400, "from \\\"0 %\\\" to"},
		{"PUT", override, `{"level": "NaN %", "length": "1 h"}`, 400, "no level"},
		{"PUT", override, `{"level": "on", "length": "1 h", "for": ""}`, 400, `"for" is not known here: send "level" and "length".`},
		{"PUT", "/api/systems/roof/outputs/heat_dump/override", `{"level": "on", "length": "1 h"}`, 404, `no output "heat_dump"`},
		{"PUT", servicing, `{"on": "true"}`, 400, "without quotes"},
		{"PUT", servicing, `{}`, 400, "send true or false"},
		{"PUT", servicing, `{"on": true, "off": false}`, 400, `"off" is not known`},
		{"PATCH", settings, `{}`, 400, "No setting is named"},
		{"PATCH", settings, `{"tank_limit": 65}`, 400, "plain number 65"},
		{"PATCH", settings, `{"tank_limit": true}`, 400, "must be a text"},
		{"DELETE", "/api/changes/0", "", 404, "no change"},
		{"DELETE", "/api/changes/newest", "", 404, "no change"},
		{"DELETE", "/api/changes/99999999999999999999", "", 404, "no change"},
		{"DELETE", boost, `{}`, 400, "Send this without one"},
		{"POST", boost, `{"length": "2 h"}`, 405, "takes PUT, DELETE alone"},
		{"GET", "/api/nothing", "", 404, "/api/openapi.json lists"},
		{"PUT", "/api/now", `{}`, 405, "takes GET, HEAD alone"},
		{"POST", "/api/holiday", "", 405, "takes PUT, DELETE alone"},
	} {
		d, desk := asking()
		w := send(d, c.method, c.target, c.body)
		words := strings.ReplaceAll(w.Body.String(), `\"`, `"`)
		if w.Code != c.code || !strings.Contains(words, strings.ReplaceAll(c.words, `\"`, `"`)) || w.Header().Get("Content-Type") != "application/problem+json" {
			t.Errorf("%s %s %.60s: %d %s", c.method, c.target, c.body, w.Code, words)
		}
		if desk.last() != nil {
			t.Errorf("%s %s %.60s asks for %+v", c.method, c.target, c.body, desk.last())
		}
	}
}

// TestWritesOfForeignMakeAreRefused: of another page, of another kind, of
// another host.
func TestWritesOfForeignMakeAreRefused(t *testing.T) {
	for name, c := range map[string]struct {
		alter func(r *http.Request)
		code  int
	}{
		"a form of another page":       {func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") }, 403},
		"another page on the board":    {func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "same-site") }, 403},
		"a page of an old browser":     {func(r *http.Request) { r.Header.Set("Origin", "http://elsewhere.example") }, 403},
		"a page without an origin":     {func(r *http.Request) { r.Header.Set("Origin", "null") }, 403},
		"a name made to point here":    {func(r *http.Request) { r.Host = "rebound.example" }, 421},
		"a form":                       {func(r *http.Request) { r.Header.Set("Content-Type", "application/x-www-form-urlencoded") }, 415},
		"plain text":                   {func(r *http.Request) { r.Header.Set("Content-Type", "text/plain") }, 415},
		"nothing said of its kind":     {func(r *http.Request) { r.Header.Del("Content-Type") }, 415},
		"another encoding":             {func(r *http.Request) { r.Header.Set("Content-Type", "application/json; charset=utf-16") }, 415},
		"compressed":                   {func(r *http.Request) { r.Header.Set("Content-Encoding", "gzip") }, 415},
		"the program's own page":       {func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "same-origin") }, 200},
		"the program's own page, old":  {func(r *http.Request) { r.Header.Set("Origin", "http://localhost:8017") }, 200},
		"a program, encoding said too": {func(r *http.Request) { r.Header.Set("Content-Type", "application/json; charset=UTF-8") }, 200},
	} {
		for _, write := range writes {
			d, desk := asking()
			r := jsonRequest(write.method, write.target, write.body)
			if c.alter(r); write.body == "" && c.code == 415 {
				continue // nothing to be said of no body
			}
			w := httptest.NewRecorder()
			d.ServeHTTP(w, r)
			if w.Code != c.code || (desk.last() != nil) != (c.code == 200) {
				t.Errorf("%s, %s %s: %d %s, asked %+v", name, write.method, write.target, w.Code, w.Body, desk.last())
			}
		}
	}
}

// TestSettingsTellWhatCountsAndWhatWasChanged.
func TestSettingsTellWhatCountsAndWhatWasChanged(t *testing.T) {
	d, _ := asking()
	w := get(d, "GET", "/api/settings")
	for _, want := range []string{
		`{"name":"tank_limit","group":"Protection of the plant","unit":"°C","allowed":"40 °C to 85 °C","default":"70 °C","meaning":"No heat`,
		`{"system":"","values":[{"setting":"start_difference","value":"8 K","file":"8 K","changed":null}`,
		`{"setting":"heater_stop","value":"55 °C","file":"52 °C","changed":{"number":4,"when":null,"by":"the installer","from":"54 °C"}}`,
		`"name":"heater_windows","group":"Backup heater","unit":"","allowed":"times of the day"`,
	} {
		if !strings.Contains(w.Body.String(), want) {
			t.Errorf("no %s in %s", want, w.Body)
		}
	}
	if got := get(d, "GET", "/api/changes").Body.String(); !strings.HasPrefix(got, `[{"number":4,`) {
		t.Errorf("changes: %s", got)
	}
	file := get(d, "GET", "/api/site-file")
	if file.Header().Get("Content-Type") != "application/toml" || file.Body.String() != "name = \"House on the hill\"\n" {
		t.Errorf("site file: %v %s", file.Header(), file.Body)
	}
}
