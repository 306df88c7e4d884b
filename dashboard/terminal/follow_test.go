package terminal

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"testing/synctest"
	"time"
)

// daemon answers a caller without a network.
type daemon func(r *http.Request) (*http.Response, error)

func (d daemon) RoundTrip(r *http.Request) (*http.Response, error) { return d(r) }

func callerOf(t *testing.T, d daemon) *caller {
	t.Helper()
	c, err := newCaller(UsualAddress, "")
	if err != nil {
		t.Fatal(err)
	}
	c.client.Transport = d
	return c
}

func answered(status int, body io.Reader, headers ...string) *http.Response {
	r := &http.Response{StatusCode: status, Status: fmt.Sprint(status, " ", http.StatusText(status)), Header: http.Header{}, Body: io.NopCloser(body)}
	for i := 0; i < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	return r
}

func problem(status int, words string, headers ...string) *http.Response {
	return answered(status, strings.NewReader(`{"detail":"`+words+`"}`), append(headers, "Content-Type", "application/problem+json")...)
}

// stream is a line that stays open until its caller hangs up.
func stream(r *http.Request, events string) io.Reader {
	in, out := io.Pipe()
	go func() {
		io.WriteString(out, events)
		<-r.Context().Done()
		out.CloseWithError(r.Context().Err())
	}()
	return in
}

func tickEvent(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "testdata", "now_sunny.json"))
	if err != nil {
		t.Fatal(err)
	}
	return "event: tick\nid: 1\ndata: " + strings.ReplaceAll(string(text), "\n", "") + "\n\n"
}

// watched is what a caller tells in so long.
func watched(t *testing.T, d daemon, long time.Duration) (told []string, err error) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), long)
	defer cancel()
	begin := time.Now()
	err = callerOf(t, d).follow(ctx, func(h heard) {
		words := h.trouble
		switch {
		case h.now != nil:
			words = "tick of " + h.now.Site
		case h.unborn:
			words = "no tick yet"
		case words == "":
			words = "beat"
		}
		told = append(told, fmt.Sprintf("%.0f s: %s", time.Since(begin).Seconds(), words))
	})
	synctest.Wait()
	return told, err
}

func TestFollow(t *testing.T) {
	const beat = "event: beat\ndata: {\"age_seconds\":4.0}\n\n"
	tick := tickEvent(t)
	for _, c := range []struct {
		name string
		d    func() daemon
		long time.Duration
		want []string
		err  string
	}{
		{"events, and silence that ends the line", func() daemon {
			return func(r *http.Request) (*http.Response, error) {
				return answered(200, stream(r, "retry: 2000\n\n: nothing\n\nevent: beat\ndata: {\"age_seconds\":null}\n\n"+tick+beat)), nil
			}
		}, 14*time.Second + time.Millisecond, []string{
			"0 s: no tick yet", "0 s: tick of House on the hill", "0 s: beat",
			"12 s: No line to http://127.0.0.1:8017/: the daemon has fallen silent.",
			"14 s: no tick yet", "14 s: tick of House on the hill", "14 s: beat",
		}, ""},
		{"no place for a viewer: it asks", func() daemon {
			return func(r *http.Request) (*http.Response, error) {
				if r.URL.Path == "/api/events" {
					return problem(503, "As many viewers as this board bears are watching.", "Retry-After", "10"), nil
				}
				return answered(200, strings.NewReader(strings.TrimPrefix(strings.Split(tick, "\n")[2], "data: "))), nil
			}
		}, 11 * time.Second, []string{"0 s: tick of House on the hill", "10 s: tick of House on the hill"}, ""},
		{"nobody there, at ever longer pauses", func() daemon {
			return func(*http.Request) (*http.Response, error) { return nil, syscall.ECONNREFUSED }
		}, 15 * time.Second, []string{
			"0 s: No daemon answers at http://127.0.0.1:8017/. See whether it runs (systemctl status sunstoker), and where its site file lets it listen.",
			"2 s: No daemon answers at http://127.0.0.1:8017/. See whether it runs (systemctl status sunstoker), and where its site file lets it listen.",
			"6 s: No daemon answers at http://127.0.0.1:8017/. See whether it runs (systemctl status sunstoker), and where its site file lets it listen.",
			"14 s: No daemon answers at http://127.0.0.1:8017/. See whether it runs (systemctl status sunstoker), and where its site file lets it listen.",
		}, ""},
		{"a daemon that ends and comes again", func() daemon {
			calls := 0
			return func(r *http.Request) (*http.Response, error) {
				if calls++; calls == 1 {
					return answered(200, strings.NewReader(beat)), nil
				}
				return answered(200, stream(r, beat)), nil
			}
		}, 5 * time.Second, []string{"0 s: beat", "0 s: No line to http://127.0.0.1:8017/: the daemon has hung up.", "2 s: beat"}, ""},
		{"another program", func() daemon {
			return func(r *http.Request) (*http.Response, error) {
				return answered(200, strings.NewReader("event: tick\ndata: 7\n\n")), nil
			}
		}, time.Second, []string{"0 s: What the daemon says can't be read: it and this program are not of the same version, or it is another program that answers there."}, ""},
		{"a password", func() daemon {
			return func(*http.Request) (*http.Response, error) { return problem(401, "Who are you?"), nil }
		}, time.Hour, nil, "http://127.0.0.1:8017/ asks for a name and a password: SUNSTOKER_NAME and SUNSTOKER_PASSWORD in the environment may hold them, or type them when the program asks on a terminal."},
		{"too many wrong passwords", func() daemon {
			return func(*http.Request) (*http.Response, error) {
				return problem(429, "Wait a while.", "Retry-After", "20"), nil
			}
		}, 21 * time.Second, []string{"0 s: Wait a while.", "20 s: Wait a while."}, ""},
		{"what moves away is not followed", func() daemon {
			return func(r *http.Request) (*http.Response, error) {
				if r.URL.Host != "127.0.0.1:8017" {
					t.Errorf("%s is asked", r.URL)
				}
				return answered(302, strings.NewReader(""), "Location", "http://elsewhere.example/"), nil
			}
		}, time.Second, []string{"0 s: What answers at http://127.0.0.1:8017/ refuses (302 Found). See whether it is the daemon's page."}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				told, err := watched(t, c.d(), c.long)
				if !slices.Equal(told, c.want) {
					t.Errorf("told\n%s\nwant\n%s", strings.Join(told, "\n"), strings.Join(c.want, "\n"))
				}
				if fmt.Sprint(err) != c.err && (c.err != "" || err != nil) {
					t.Errorf("error %v, want %q", err, c.err)
				}
			})
		})
	}
}

// TestKnown: from silence to a live house, and back.
func TestKnown(t *testing.T) {
	begin := time.Date(2026, 2, 19, 12, 0, 0, 0, time.UTC)
	now := sample(t, "now_sunny.json")
	var k known
	for _, c := range []struct {
		at   time.Duration
		hear *heard
		want line
		age  time.Duration
	}{
		{0, nil, connecting, 0},
		{1 * time.Second, &heard{trouble: "No daemon."}, lost, 0},
		{2 * time.Second, &heard{unborn: true}, waiting, 0},
		{3 * time.Second, &heard{now: now, age: time.Second}, live, time.Second},
		{8 * time.Second, &heard{age: 6 * time.Second}, live, 6 * time.Second},
		{12*time.Second + time.Millisecond, nil, old, 10*time.Second + time.Millisecond},
		{13 * time.Second, &heard{now: now}, live, 0},
		{14 * time.Second, &heard{trouble: "It has hung up."}, live, time.Second},
		{16 * time.Second, &heard{trouble: "No daemon."}, live, 3 * time.Second},
		{17 * time.Second, nil, lost, 4 * time.Second},
		{18 * time.Second, &heard{now: now}, live, 0},
		{19 * time.Second, &heard{unborn: true}, waiting, 0},
	} {
		at := begin.Add(c.at)
		if c.hear != nil {
			k.hear(*c.hear, at)
		}
		if v := k.at(at); v.line != c.want || v.age != c.age || (v.line == live) != (v.now != nil && v.line == live) {
			t.Errorf("after %v: line %d, age %v, want %d, %v", c.at, v.line, v.age, c.want, c.age)
		}
	}
}

func FuzzEvents(f *testing.F) {
	f.Add("retry: 2000\n\nevent: tick\ndata: {}\n\nevent: beat\ndata: {\"age_seconds\":null}\n\n")
	f.Add("event: tick\ndata: {\"age_seconds\":1e300,\"now\":{\"systems\":[{\"outputs\":[{}]}],\"findings\":[{}]}}\n\n")
	f.Fuzz(func(t *testing.T, stream string) {
		d := daemon(func(*http.Request) (*http.Response, error) { return answered(200, strings.NewReader(stream)), nil })
		c, err := newCaller(UsualAddress, "")
		if err != nil {
			t.Fatal(err)
		}
		c.client.Transport = d
		var k known
		at := time.Unix(0, 0)
		if err := c.listen(t.Context(), func(h heard) {
			k.hear(h, at)
			picture(k.at(at), 40, 24)
			plainLines(k.at(at))
		}); err == nil {
			t.Error("a line that ends is no error")
		}
	})
}
