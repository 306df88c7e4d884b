package trial

import (
	"bytes"
	"context"
	"encoding/xml"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// TestScriptsThatShip runs all of them in virtual time.
func TestScriptsThatShip(t *testing.T) {
	files, err := filepath.Glob("../../deploy/trials/*.toml")
	if err != nil || len(files) < 10 {
		t.Fatalf("%d scripts, %v", len(files), err)
	}
	// Hours second by second, which the race detector makes ten times as long.
	long := []string{"storage-fails.toml", "clock-of-years-ago.toml", "frost-night.toml", "pump-relay-welded.toml", "probe-frozen.toml", "stagnation.toml"}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			if raced && slices.Contains(long, filepath.Base(file)) {
				t.Skip("hours of it, without the race detector alone")
			}
			t.Parallel()
			s, err := Load(file)
			if err != nil {
				t.Fatal(err)
			}
			r, err := Virtual(t.Context(), s, nil)
			if err != nil {
				t.Fatal(err)
			}
			var text strings.Builder
			if err := WriteLines(&text, r); err != nil {
				t.Fatal(err)
			}
			if t.Log(text.String()); r.Failed() > 0 {
				t.Fail()
			}
		})
	}
}

// TestTheScriptOnThePage: the one that people are shown is a script.
func TestTheScriptOnThePage(t *testing.T) {
	page, err := os.ReadFile("../../deploy/trials/README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(page), "```toml\n")
	text, _, found := strings.Cut(rest, "```")
	if !found {
		t.Fatal("the page shows no script")
	}
	if s, err := parse("../../deploy/trials/shown.toml", []byte(text)); err != nil || len(s.Steps[0].Expect) != 2 {
		t.Errorf("%v\n%s", err, text)
	}
}

const head = `
name = "a test"
site = "../../deploy/trials/sites/valley-house.toml"
start = "2026-06-21 11:00"
tank = "30 °C"
`

func script(t *testing.T, steps string) *Script {
	t.Helper()
	s, err := parse("test.toml", []byte(head+steps))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestAnExpectationCanFail: each kind of it, too late, not for long enough, and
// with what was seen instead; the report counts them.
func TestAnExpectationCanFail(t *testing.T) {
	s := script(t, `
[[step]]
at = "6m"
expect = [
  { output = "loop pump", level = "on" },
  { output = "loop pump", level = "off" },
  { output = "loop pump", level = "on", because = "tank_full" },
  { reading = "tank bottom", above = "90 °C" },
  { reading = "tank bottom", above = "10 °C", below = "90 °C" },
  { reading = "collector", quality = "missing", within = "1m" },
  { finding = "stagnation" },
  { no_finding = "any" },
]
[[step]]
at = "7m"
do = ["probe missing probe collector"]
expect = [
  { output = "loop pump", level = "on", within = "2s", hold = "5m" },
  { no_finding = "probe_silent", hold = "5m" },
]
`)
	r, err := Virtual(t.Context(), s, nil)
	if err != nil {
		t.Fatal(err)
	}
	wrong := []string{"", "it is on because", "it is on because", "it is good", "", "it is good", "shown are none", "", "it held for", "shown are probe_silent"}
	for i, o := range r.Outcomes {
		if (o.Wrong == "") != (wrong[i] == "") || !strings.Contains(o.Wrong, wrong[i]) {
			t.Errorf("%s: %q, want %q", o.Words, o.Wrong, wrong[i])
		}
	}
	if late := r.Outcomes[5].Took; late != time.Minute {
		t.Errorf("given up after %v", late)
	}
	var out bytes.Buffer
	if err := WriteReport(&out, []*Result{r, r}); err != nil {
		t.Fatal(err)
	}
	var read suites
	if err := xml.Unmarshal(out.Bytes(), &read); err != nil {
		t.Fatal(err)
	}
	first := read.Suites[0]
	if read.Tests != 20 || read.Failures != 2*r.Failed() || len(read.Suites) != 2 || first.Name != "a test" || first.Failures != 7 ||
		first.Cases[0].Failure != nil || first.Cases[1].Failure.Message != r.Outcomes[1].Wrong {
		t.Errorf("the report:\n%s", &out)
	}
}

// UnmarshalText reads what MarshalText writes, for the test's eyes.
func (s *seconds) UnmarshalText(text []byte) error {
	d, err := time.ParseDuration(string(text) + "s")
	*s = seconds(d)
	return err
}

func TestScriptsThatCannotBe(t *testing.T) {
	for text, says := range map[string]string{
		"name = 3":                       "line 1",
		`naem = "x"`:                     `the key "naem" is not known`,
		head + `begin = ["dance"]`:       "begin:",
		head + "[[step]]\nat = \"soon\"": "no length of time",
		head + "[[step]]\nat = \"1m\"":   "neither does nor expects",
		head + "[[step]]\nat = \"1m\"\ndo = [\"sky green\"]":                                                "sky clear",
		head + "[[step]]\nexpect = [{ }]":                                                                   "names one of",
		head + "[[step]]\nexpect = [{ output = \"loop pump\", finding = \"stagnation\" }]":                  "loop pump",
		head + "[[step]]\nexpect = [{ output = \"loop pump\", level = \"half\" }]":                          "write on or off",
		head + "[[step]]\nexpect = [{ output = \"fan\", level = \"on\" }]":                                  "no output",
		head + "[[step]]\nexpect = [{ reading = \"attic\", quality = \"good\" }]":                           "no reading",
		head + "[[step]]\nexpect = [{ reading = \"collector\" }]":                                           "neither quality nor bounds",
		head + "[[step]]\nexpect = [{ reading = \"collector\", above = \"1 bar\" }]":                        "bar",
		head + "[[step]]\nexpect = [{ reading = \"collector\", quality = \"so\" }]":                         "good, suspect or missing",
		head + "[[step]]\nexpect = [{ finding = \"boredom\" }]":                                             "no finding",
		head + "[[step]]\nexpect = [{ finding = \"stagnation\", system = \"shed\" }]":                       "no system",
		head + "[[step]]\nexpect = [{ driven = \"fan\", level = \"on\" }]":                                  "no output",
		head + "[[step]]\nexpect = [{ driven = \"loop pump\", level = \"on\", because = \"tank_full\" }]":   "no reason",
		head + "[[step]]\ndo = [\"daemon sleeps\"]":                                                         "daemon dies for 5m",
		head + "[[step]]\ndo = [\"daemon dies for long\"]":                                                  "for how long",
		head + "[[step]]\ndo = [\"storage melts\"]":                                                         "storage read-only",
		head + "begin = [\"daemon dies\"]":                                                                  "begin:",
		head + "[[step]]\ndo = [\"guard sings\"]":                                                           "guard dies",
		head + "[[step]]\ndo = [\"board too hot\"]":                                                         "nothing that a simulated board does",
		strings.Replace(head, "11:00", "noon", 1):                                                           "start:",
		strings.Replace(head, "30 °C", "warm", 1):                                                           "tank:",
		strings.Replace(head, "valley-house", "nowhere", 1):                                                 "no such file",
		head + "[[step]]\nat = \"1m\"\ndo = [\"probe missing probe attic\"]\nexpect = []":                   "no probe at",
		head + "[[step]]\nat = \"1m\"\nwait = \"x\"\nexpect = [{ output = \"loop pump\", level = \"on\" }]": `"step.wait" is not known`,
	} {
		if _, err := parse("test.toml", []byte(text)); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s\ngives %v, want %q", text, err, says)
		}
	}
}

// TestAScriptEndsWithItsContext: nothing is left running.
func TestAScriptEndsWithItsContext(t *testing.T) {
	s := script(t, "[[step]]\nat = \"1000h\"\nexpect = [{ finding = \"stagnation\" }]\n")
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if _, err := Virtual(ctx, s, nil); err == nil {
		t.Error("no error")
	}
}

// TestLiveRefusals: what keeps a live run from its beginning is told with what to
// do.
func TestLiveRefusals(t *testing.T) {
	s := script(t, "[[step]]\nexpect = [{ finding = \"stagnation\" }]\n")
	address := freeAddress(t)
	page := func(site string) string {
		server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			if site == "" {
				http.Error(w, "no tick yet", http.StatusServiceUnavailable)
				return
			}
			fmt.Fprintf(w, `{"age_seconds":0,"now":{"site":%q}}`, site)
		}))
		t.Cleanup(server.Close)
		return server.URL
	}
	gone := page("x")
	for name, c := range map[string]struct{ page, says string }{
		"no address":   {"here", "no address of a daemon's page"},
		"nobody there": {strings.Replace(gone, "127.0.0.1", "127.0.0.9", 1), "does not answer"},
		"not ready":    {page(""), "answers 503"},
		"another site": {page("elsewhere"), `looks after "elsewhere"`},
	} {
		if _, err := Live(t.Context(), s, LiveOptions{Page: c.page, Modbus: address, patience: -1}); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want %q", name, err, c.says)
		}
	}
	jumps := script(t, "[[step]]\ndo = [\"clock jumps\"]\n")
	if _, err := Live(t.Context(), jumps, LiveOptions{Page: gone, Modbus: address}); err == nil || !strings.Contains(err.Error(), "--hands") {
		t.Errorf("a clock that jumps: %v", err)
	}
}

// TestTheDaemonIsAway: nothing can be expected of one that is not there but what is
// driven, and one that is away can't be sent away.
func TestTheDaemonIsAway(t *testing.T) {
	s := script(t, `
[[step]]
at = "5m"
do = ["daemon dies for 1m"]
expect = [
  { driven = "loop pump", level = "off" },
  { driven = "loop pump", level = "on" },
  { no_finding = "any" },
  { output = "loop pump", level = "off", within = "70s" },
]
`)
	r, err := Virtual(t.Context(), s, nil)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{"", "it is driven off", "no daemon answers", ""} {
		if o := r.Outcomes[i]; o.Wrong != want {
			t.Errorf("%s: %q, want %q", o.Words, o.Wrong, want)
		}
	}
	if back := r.Outcomes[3].Took; back < time.Minute || back > 62*time.Second {
		t.Errorf("it is back after %v", back)
	}
	twice := script(t, "[[step]]\nat = \"1m\"\ndo = [\"daemon dies for 5m\", \"daemon restarts\"]\n")
	if _, err := Virtual(t.Context(), twice, nil); err == nil || !strings.Contains(err.Error(), "away already") {
		t.Errorf("sent away twice: %v", err)
	}
}

// TestOneThatDiesSavesNothing, and one that is started anew does.
func TestOneThatDiesSavesNothing(t *testing.T) {
	for words, saves := range map[string]bool{"daemon dies": false, "daemon restarts": true} {
		var log bytes.Buffer
		s := script(t, "[[step]]\nat = \"1m\"\ndo = [\""+words+"\"]\n[[step]]\nat = \"2m\"\nexpect = [{ no_finding = \"any\" }]\n")
		r, err := Virtual(t.Context(), s, slog.New(slog.NewTextHandler(&log, nil)))
		if err != nil || r.Failed() > 0 {
			t.Fatal(err, r)
		}
		if lost := strings.Contains(log.String(), "the state could not be saved"); lost == saves {
			t.Errorf("%s: the log says\n%s", words, &log)
		}
		if !strings.Contains(log.String(), "the state of before was taken up") {
			t.Errorf("%s: no state was taken up", words)
		}
	}
}

// TestHands: the person's program gets the words, and its failure ends the trial with
// what it said.
func TestHands(t *testing.T) {
	told := filepath.Join(t.TempDir(), "told")
	hands := filepath.Join(t.TempDir(), "hands")
	if err := os.WriteFile(hands, []byte("#!/bin/sh\necho \"$@\" >>"+told+"\n[ \"$1\" = daemon ] || { echo no such board; exit 3; }\n"), 0o755); err != nil {
		t.Fatal(err)
	}
	l := &live{hands: hands, page: "http://" + freeAddress(t)}
	if _, err := l.now(t.Context()); err == nil {
		t.Error("a daemon that does not answer is no error")
	}
	if err := l.board(t.Context(), "daemon dies for 12s"); err != nil {
		t.Fatal(err)
	}
	if now, err := l.now(t.Context()); now != nil || err != nil {
		t.Errorf("while it is away: %v, %v", now, err)
	}
	if err := l.board(t.Context(), "storage full"); err == nil || !strings.Contains(err.Error(), "no such board") {
		t.Errorf("hands that fail: %v", err)
	}
	if text, err := os.ReadFile(told); err != nil || string(text) != "daemon dies for 12s\nstorage full\n" {
		t.Errorf("they were told %q, %v", text, err)
	}
	begins := script(t, "begin = [\"clock not set\"]\n")
	if err := begins.needsHands(hands); err == nil || !strings.Contains(err.Error(), "before the start") {
		t.Errorf("a clock that is not set before the start: %v", err)
	}
}

// freeAddress is an address of this machine where nobody listens.
func freeAddress(t *testing.T) string {
	t.Helper()
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer listener.Close()
	return listener.Addr().String()
}

// FuzzScript: a file is a script with steps in order of time, or an error.
func FuzzScript(f *testing.F) {
	f.Add(head)
	f.Add(head + "[[step]]\nat = \"1m\"\ndo = [\"pump does not turn\"]\nexpect = [{ output = \"loop pump\", level = \"on\", within = \"1h\", hold = \"1s\" }]\n")
	f.Add(head + "[[step]]\nat = \"-1m\"\n")
	f.Fuzz(func(t *testing.T, text string) {
		s, err := parse("test.toml", []byte(text))
		if err != nil {
			if err.Error() == "" {
				t.Error("an error without words")
			}
			return
		}
		last := time.Duration(0)
		for _, step := range s.Steps {
			if step.At < last {
				t.Errorf("a step at %v after one at %v", step.At, last)
			}
			last = step.At
			for _, e := range step.Expect {
				if e.meets == nil || e.Words == "" {
					t.Errorf("an expectation of nothing: %+v", e)
				}
			}
		}
	})
}
