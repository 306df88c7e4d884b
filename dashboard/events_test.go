package dashboard

import (
	"context"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"sunstoker/dashboard/door"
)

// The tests of this file run on synctest's own time: nothing here waits for
// the real clock.

// tape is a viewer who reads everything at once and notes when it came.
type tape struct {
	mu     sync.Mutex
	head   http.Header
	events []string
	at     []time.Time
}

func (p *tape) Header() http.Header { return p.head }
func (p *tape) WriteHeader(int)     {}
func (p *tape) Flush()              {}
func (p *tape) Write(b []byte) (int, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.events, p.at = append(p.events, string(b)), append(p.at, time.Now())
	return len(b), nil
}

// named gives the events of one name and their times.
func (p *tape) named(name string) (events []string, at []time.Time) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for i, e := range p.events {
		if strings.HasPrefix(e, "event: "+name+"\n") {
			events, at = append(events, e), append(at, p.at[i])
		}
	}
	return events, at
}

func askFor(ctx context.Context, method, target string) *http.Request {
	r := httptest.NewRequestWithContext(ctx, method, target, nil)
	r.Host = "127.0.0.1:8017"
	return r
}

// view starts a live viewer; end ends it and waits.
func view(t *testing.T, d *Dashboard) (p *tape, end func()) {
	ctx, cancel := context.WithCancel(t.Context())
	p = &tape{head: http.Header{}}
	done := make(chan struct{})
	go func() {
		defer close(done)
		behindDoor(d, door.See).ServeHTTP(p, askFor(ctx, "GET", "/api/events"))
	}()
	return p, func() { cancel(); <-done }
}

func TestViewerGetsTheNewestOnceASecond(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := New(Options{})
		p, end := view(t, d)
		defer end()
		start := time.Now()
		for n := uint64(1); n <= 999; n++ { // a house ten times faster than time
			tk := sunnyTick()
			tk.Number = n
			d.Watch(tk)
			time.Sleep(100 * time.Millisecond)
		}
		synctest.Wait()
		events, at := p.named("tick")
		if len(events) < 98 || len(events) > 101 {
			t.Errorf("%d events in %v, want one a second", len(events), time.Since(start))
		}
		for i := 1; i < len(at); i++ {
			if gap := at[i].Sub(at[i-1]); gap < time.Second {
				t.Fatalf("events %v apart", gap)
			}
		}
		if last := events[len(events)-1]; !strings.Contains(last, "\nid: 99") {
			t.Errorf("the last event is not one of the newest ticks: %.40q", last)
		}
	})
}

func TestViewerIsToldHowOldTheTickGrows(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := New(Options{})
		p, end := view(t, d)
		defer end()
		synctest.Wait()
		if beats, _ := p.named("beat"); len(beats) != 1 || !strings.Contains(beats[0], `"age_seconds":null`) {
			t.Errorf("before the first tick: %q", beats)
		}
		time.Sleep(2500 * time.Millisecond)
		d.Watch(sunnyTick())
		time.Sleep(21 * time.Second)
		synctest.Wait()
		beats, _ := p.named("beat")
		if last := beats[len(beats)-1]; len(beats) != 5 || !strings.Contains(last, `"age_seconds":20.0`) {
			t.Errorf("21 s after the only tick: %q", beats)
		}
	})
}

func TestViewersAreLimited(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := New(Options{MaxViewers: 2})
		_, endFirst := view(t, d)
		_, endSecond := view(t, d)
		defer endSecond()
		synctest.Wait()
		refused := httptest.NewRecorder()
		behindDoor(d, door.See).ServeHTTP(refused, askFor(t.Context(), "GET", "/api/events"))
		if refused.Code != http.StatusServiceUnavailable || refused.Header().Get("Retry-After") == "" {
			t.Errorf("a third viewer got %d, %v", refused.Code, refused.Header())
		}
		endFirst()
		_, endThird := view(t, d)
		synctest.Wait()
		if len(d.viewers) != 2 {
			t.Errorf("%d viewers after one left and one came", len(d.viewers))
		}
		endThird()
	})
}

// stuck is a viewer whose line takes nothing.
type stuck struct {
	tape
	release chan struct{}
}

func (s *stuck) Write(b []byte) (int, error) { <-s.release; return len(b), nil }

func TestStuckViewerNeverHoldsUpWatch(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := New(Options{})
		s := &stuck{tape: tape{head: http.Header{}}, release: make(chan struct{})}
		ctx, cancel := context.WithCancel(t.Context())
		go behindDoor(d, door.See).ServeHTTP(s, askFor(ctx, "GET", "/api/events"))
		synctest.Wait()
		before := time.Now()
		for range 1000 {
			d.Watch(sunnyTick()) // were it to wait, the bubble would end in a deadlock
		}
		if took := time.Since(before); took != 0 {
			t.Errorf("watching took %v of bubble time", took)
		}
		cancel()
		close(s.release)
		synctest.Wait()
	})
}

func TestManyGoroutinesAtOnce(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := New(Options{MaxViewers: 4})
		var all sync.WaitGroup
		for range 4 {
			_, end := view(t, d)
			defer end()
			all.Go(func() {
				for range 40 {
					d.Watch(sunnyTick())
					for _, target := range []string{"/api/now", "/metrics", "/healthz"} {
						behindDoor(d, door.See).ServeHTTP(httptest.NewRecorder(), askFor(t.Context(), "GET", target))
					}
					time.Sleep(time.Millisecond)
				}
			})
		}
		all.Wait()
	})
}
