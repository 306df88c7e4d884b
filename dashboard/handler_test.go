package dashboard

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"sunstoker/dashboard/door"
)

// behindDoor puts a handler behind a door at which whoever asks has a role.
func behindDoor(h http.Handler, may door.Role) http.Handler {
	return door.New(door.Options{Local: may, Refuse: Refuse}).OnBoard(h)
}

// get asks for reading, as somebody who may see.
func get(h http.Handler, method, target string) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	r := httptest.NewRequest(method, target, nil)
	r.Host = "localhost:8017"
	behindDoor(h, door.See).ServeHTTP(w, r)
	return w
}

func TestHealthFollowsTheTicks(t *testing.T) {
	at := time.Unix(1_000, 0)
	d := New(Options{Now: func() time.Time { return at }, StaleAfter: 10 * time.Second})
	check := func(after time.Duration, code int, words string) {
		t.Helper()
		at = at.Add(after)
		w := get(d, "GET", "/healthz")
		if w.Code != code || !strings.Contains(w.Body.String(), words) {
			t.Errorf("%d %q, want %d with %q", w.Code, w.Body, code, words)
		}
	}
	check(0, 503, "No tick yet")
	d.Watch(troubleTick()) // findings do not make a controller unhealthy
	check(0, 200, "Ticks arrive")
	check(600*time.Millisecond, 200, "the newest is 0.6 s old")
	check(9400*time.Millisecond, 200, "the newest is 10.0 s old")
	check(time.Second, 503, "11.0 s old")
	d.Watch(sunnyTick())
	check(0, 200, "Ticks arrive")
}

func TestNowBeforeAndAfterTheFirstTick(t *testing.T) {
	d := New(Options{Now: stopped})
	if w := get(d, "GET", "/api/now"); w.Code != 503 || w.Header().Get("Retry-After") == "" {
		t.Errorf("before the first tick: %d %q", w.Code, w.Body)
	}
	d.Watch(sunnyTick())
	w := get(d, "GET", "/api/now")
	if w.Code != 200 || w.Header().Get("Content-Type") != "application/json" || !strings.Contains(w.Body.String(), `"site":"House on the hill"`) {
		t.Errorf("%d %v %.60q", w.Code, w.Header(), w.Body)
	}
}

func TestMetricsAreServedWithTheProgramsOwn(t *testing.T) {
	w := get(watching(sunnyTick()), "GET", "/metrics")
	for _, want := range []string{"sunstoker_ticks_total 14893\n", "\ngo_goroutines ", "\nprocess_resident_memory_bytes "} {
		if !strings.Contains(w.Body.String(), want) {
			t.Errorf("%d: no %q", w.Code, want)
		}
	}
}

func TestEveryAnswerIsGuarded(t *testing.T) {
	d := watching(sunnyTick())
	for _, target := range []string{"/", "/api/now", "/metrics", "/healthz", "/nothing/here"} {
		w := get(d, "GET", target)
		for header, want := range map[string]string{
			"Content-Security-Policy": "default-src 'none'; script-src 'self'; style-src 'self';",
			"X-Content-Type-Options":  "nosniff",
			"Referrer-Policy":         "no-referrer",
			"X-Frame-Options":         "DENY",
		} {
			if got := w.Header().Get(header); !strings.HasPrefix(got, want) {
				t.Errorf("%s: %s is %q", target, header, got)
			}
		}
		if csp := w.Header().Get("Content-Security-Policy"); !strings.Contains(csp, "frame-ancestors 'none'") || strings.Contains(csp, "unsafe") {
			t.Errorf("%s: policy %q", target, csp)
		}
		for _, method := range []string{"POST", "PUT", "DELETE", "PATCH", "OPTIONS", "CONNECT", "TRACE", "BREW"} {
			if w := get(d, method, target); w.Code != http.StatusMethodNotAllowed || w.Header().Get("Allow") != "GET, HEAD" {
				t.Errorf("%s %s: %d", method, target, w.Code)
			}
		}
	}
}

func TestNothingIsServedThatCameThroughNoDoor(t *testing.T) {
	d := watching(sunnyTick())
	for _, target := range []string{"/", "/api/now", "/api/events", "/api/nothing", "/metrics", "/healthz", "/nothing/here"} {
		w := httptest.NewRecorder()
		if d.ServeHTTP(w, httptest.NewRequest("GET", target, nil)); w.Code != http.StatusForbidden {
			t.Errorf("%s: %d", target, w.Code)
		}
	}
}

func TestMetricsElsewhere(t *testing.T) {
	d := New(Options{Now: stopped, MetricsElsewhere: true})
	d.Watch(sunnyTick())
	if w := get(d, "GET", "/metrics"); w.Code != 404 || !strings.Contains(w.Body.String(), "metrics_listen") {
		t.Errorf("beside the page: %d %.60q", w.Code, w.Body)
	}
	if w := get(d.Metrics(), "GET", "/metrics"); w.Code != 200 || !strings.Contains(w.Body.String(), "sunstoker_ticks_total") {
		t.Errorf("alone: %d %.60q", w.Code, w.Body)
	}
	for _, target := range []string{"/", "/api/now"} {
		if w := get(d.Metrics(), "GET", target); w.Code != 404 {
			t.Errorf("%s beside the metrics: %d", target, w.Code)
		}
	}
}

func TestPageFiles(t *testing.T) {
	p := pageIn(fstest.MapFS{
		".keep":      {},
		"index.html": {Data: []byte("<!doctype html>")},
		"page.js":    {Data: []byte("1")},
		"page.css":   {Data: []byte("a{}")},
		"icon.svg":   {Data: []byte("<svg/>")},
	})
	d := New(Options{}).routes(p, true)
	for target, want := range map[string]string{
		"/": "text/html; charset=utf-8", "/index.html": "text/html; charset=utf-8",
		"/page.js": "text/javascript; charset=utf-8", "/page.css": "text/css; charset=utf-8", "/icon.svg": "image/svg+xml",
	} {
		w := get(d, "GET", target)
		if w.Code != 200 || w.Header().Get("Content-Type") != want || w.Header().Get("ETag") == "" {
			t.Errorf("%s: %d %v", target, w.Code, w.Header())
		}
	}
	for _, target := range []string{"/.keep", "/nothing", "/page.js/", "/dist/page.js", "/..%2fpage.js"} {
		if w := get(d, "GET", target); w.Code == 200 {
			t.Errorf("%s: %d %q", target, w.Code, w.Body)
		}
	}
	if w := get(d, "HEAD", "/page.js"); w.Code != 200 || w.Body.Len() != 0 {
		t.Errorf("HEAD: %d %q", w.Code, w.Body)
	}
	r := httptest.NewRequest("GET", "/page.js", nil)
	r.Host = "localhost"
	r.Header.Set("If-None-Match", get(d, "GET", "/page.js").Header().Get("ETag"))
	w := httptest.NewRecorder()
	if behindDoor(d, door.See).ServeHTTP(w, r); w.Code != http.StatusNotModified {
		t.Errorf("asked again by its tag: %d", w.Code)
	}
}

func TestPageThatIsNotBuiltSaysSo(t *testing.T) {
	d := New(Options{}).routes(pageIn(fstest.MapFS{".keep": {}}), true)
	if w := get(d, "GET", "/"); w.Code != 503 || !strings.Contains(w.Body.String(), "Run make") {
		t.Errorf("%d %q", w.Code, w.Body)
	}
}

// FuzzHandler asks for anything by any method. It leaves out the event stream,
// which ends only with its viewer.
func FuzzHandler(f *testing.F) {
	f.Add("GET", "/", "", "localhost")
	f.Add("GET", "/api/now", "a=1&b[]=%00", "127.0.0.1:8017")
	f.Add("POST", "/metrics", "name[]=go_goroutines", "[::1]:1")
	f.Add("HEAD", "/healthz", "", "")
	f.Add("GET", "//../.keep", "", "[")
	f.Add("GET", "//foreign.example/%2e%2e", "", "localhost")
	f.Add("POST", `/\foreign.example/..`, "", "localhost")
	d := behindDoor(watching(troubleTick()), door.See)
	f.Fuzz(func(t *testing.T, method, path, query, host string) {
		if path == "/api/events" && method == "GET" {
			return
		}
		r := httptest.NewRequest("GET", "/", nil)
		r.Method, r.Host = method, host
		r.URL.Path, r.URL.RawQuery = path, query
		w := httptest.NewRecorder()
		d.ServeHTTP(w, r)
		if w.Code < 200 || w.Code > 599 || w.Code == http.StatusInternalServerError {
			t.Errorf("%q %q %q: %d", method, path, query, w.Code)
		}
		// A path that is not clean leads to the clean one, and never to another host.
		to := w.Header().Get("Location")
		if to != "" && (w.Code != http.StatusTemporaryRedirect || !strings.HasPrefix(to, "/") || strings.HasPrefix(to, "//")) {
			t.Errorf("%q %q: %d to %q", method, path, w.Code, to)
		}
		if method != "GET" && method != "HEAD" && to == "" && w.Code != http.StatusMethodNotAllowed && w.Code != http.StatusMisdirectedRequest {
			t.Errorf("%q: %d", method, w.Code)
		}
	})
}

// TestAnswersAreNotKept: neither by browsers nor by whatever is in between.
func TestAnswersAreNotKept(t *testing.T) {
	d, _ := asking()
	for _, target := range []string{"/api/now", "/api/settings", "/api/changes", "/api/site-file", "/api/history", "/api/history/chart", "/api/nothing", "/healthz", "/metrics"} {
		w := httptest.NewRecorder()
		r := httptest.NewRequest("GET", target, nil)
		r.Host = "localhost"
		if d.ServeHTTP(w, r); w.Header().Get("Cache-Control") != "no-store" {
			t.Errorf("%s: %q", target, w.Header().Get("Cache-Control"))
		}
	}
}
