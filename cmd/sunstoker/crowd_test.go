//go:build crowd

package main

import (
	"bufio"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"math"
	"net"
	"net/http"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/history"
	"sunstoker/station/tick"
)

// How many come, and the bar: however many, a tick begins on time.
const (
	slowCallers  = 500
	liveViewers  = 50
	pastAskers   = 8                     // of a month of history, without a pause
	mostLateness = 50 * time.Millisecond // of 99 ticks in 100
)

var crowdSpell = flag.Duration("crowd-spell", time.Minute, "how long all are there at the same time")

// TestCrowd lets 500 slow or hostile callers, 50 who watch live and 8 who ask for the
// past come to the daemon at the same time, in real time, and asks how late its ticks
// have begun. It
// prints one table, and fails when the bar is broken, or when those who watch did
// not see the ticks.
func TestCrowd(t *testing.T) {
	daemon := startDaemon(t, func(folder string) { liveAMonth(t, folder) })
	daemon.goBefore(t)
	address := strings.TrimSuffix(strings.TrimPrefix(daemon.metrics, "http://"), "/metrics")
	alone := watch(t, address, 1, 5*time.Second)

	ctx, leave := context.WithCancel(t.Context())
	var callers sync.WaitGroup
	var met tally
	for i := range slowCallers {
		callers.Go(func() {
			for n := 0; ctx.Err() == nil; n++ {
				met.add(callSlowly(ctx, address, i+n))
				time.Sleep(200 * time.Millisecond) // this machine has to bear the callers too
			}
		})
	}
	var answered, later tally
	for range pastAskers {
		callers.Go(func() { askOfThePast(ctx, address, &answered, &later) })
	}
	crowded := watch(t, address, liveViewers, *crowdSpell)
	leave()
	callers.Wait()

	fmt.Printf("ticks beside %d slow callers (%d connections of theirs were cut off) and %d live viewers, %v:\n", slowCallers, met.n, liveViewers, *crowdSpell)
	fmt.Printf("%d who ask for the past got %d answers, and %d times were told to come later\n", pastAskers, answered.n, later.n)
	for _, row := range []struct {
		who string
		seen
	}{{"one viewer alone", alone}, {"the crowd", crowded}} {
		fmt.Printf("%-18s %4d ticks seen, begun late by %v at the most, %v in 99 of 100, %v in the middle; fewest ticks of one viewer %d\n",
			row.who, len(row.late), row.at(1), row.at(0.99), row.at(0.5), row.fewest)
	}
	if late := crowded.at(0.99); late > mostLateness {
		t.Errorf("99 of 100 ticks begin within %v, want %v", late, mostLateness)
	}
	if want := int(crowdSpell.Seconds() * 0.9); len(crowded.late) < want || crowded.fewest < want*2/3 {
		t.Errorf("%d ticks were seen, by one viewer only %d; want %d", len(crowded.late), crowded.fewest, want)
	}
	if answered.n == 0 {
		t.Error("nothing was told of the past: is it asked for?")
	}
	if met.n < slowCallers {
		t.Errorf("only %d connections of slow callers were cut off: did they call?", met.n)
	}
}

// liveAMonth fills a folder with the history of an invented month, by the minute.
func liveAMonth(t *testing.T, folder string) {
	t.Helper()
	h := history.New(history.Options{Folder: folder, MinutesFor: history.UsualMinutesFor, AllFor: history.UsualAllFor, Log: slog.New(slog.DiscardHandler)})
	plan := &control.Plan{
		Systems: []control.System{{Name: "south roof"}},
		Probes:  []control.Probe{{Place: control.Collector}, {Place: control.TankTop}, {Place: control.TankBottom}},
		Outputs: []control.Output{{Actuator: control.LoopPump}, {Actuator: control.BackupHeater}},
	}
	house := &tick.House{Name: "Two roofs", Plan: plan, Version: "0.1.0"}
	const minutes = 30 * 24 * 60
	begin := time.Now().Add(-minutes * time.Minute)
	for i := range minutes {
		at := time.Duration(i) * time.Minute
		t := &tick.Tick{
			House: house, Number: uint64(i + 1), At: at, Wall: control.Wall{Time: begin.Add(at), Trusted: true},
			Readings: make([]tick.Reading, len(plan.Probes)), Outputs: make([]tick.Output, len(plan.Outputs)),
			Systems: []tick.System{{CountsHeat: true, HotLitres: 84, Energy: control.Energy{SunJ: 6e4 * float64(i)}}},
		}
		for k := range t.Readings {
			t.Readings[k].Judged = control.Judged{Quality: control.Good, Value: 45 + 30*math.Sin(float64(i*(k+1))/229)}
		}
		if h.Watch(t); i%720 == 719 {
			h.Flush()
		}
	}
	over, end := context.WithCancel(t.Context())
	end() // it gives the folder back
	if err := h.Run(over); err != nil || h.Trouble() != "" {
		t.Fatal(err, h.Trouble())
	}
}

// askOfThePast asks for all there is of it, again and again.
func askOfThePast(ctx context.Context, address string, answered, later *tally) {
	to := time.Now().UTC()
	from := to.AddDate(0, 0, -31)
	span := "from=" + from.Format(time.RFC3339) + "&to=" + to.Format(time.RFC3339)
	for ctx.Err() == nil {
		for _, question := range []string{"chart?points=2000&" + span, "energy?by=hour&" + span, "events?most=1000&" + span, "findings?" + span, "moment?at=" + from.Add(time.Hour).Format(time.RFC3339)} {
			request, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://"+address+"/api/history/"+question, nil)
			if err != nil {
				return
			}
			answer, err := http.DefaultClient.Do(request)
			if err != nil {
				continue // the door has as many connections of this address as it bears
			}
			if _, err := io.Copy(io.Discard, answer.Body); err == nil && answer.StatusCode == http.StatusOK {
				answered.add(1)
			} else if answer.StatusCode == http.StatusServiceUnavailable {
				later.add(1)
			}
			answer.Body.Close()
		}
	}
}

// goBefore lets the program go before all else on the machine: its callers are
// other machines in a real house, and must not take its processor here. Without
// root's rights both share it.
func (r *running) goBefore(t *testing.T) {
	t.Helper()
	threads, err := filepath.Glob(fmt.Sprintf("/proc/%d/task/*", r.cmd.Process.Pid))
	if err != nil {
		t.Fatal(err)
	}
	for _, thread := range threads { // those that come later take it over
		id, err := strconv.Atoi(filepath.Base(thread))
		if err != nil {
			t.Fatal(err)
		}
		if err := syscall.Setpriority(syscall.PRIO_PROCESS, id, -15); err != nil {
			t.Logf("the program shares the processor with its callers: %v", err)
			return
		}
	}
}

type tally struct {
	sync.Mutex
	n int
}

func (t *tally) add(n int) {
	t.Lock()
	defer t.Unlock()
	t.n += n
}

// seen is what those who watch have seen.
type seen struct {
	late   []time.Duration // of every tick that somebody saw, in order
	fewest int             // ticks that one of them saw
}

// at is the lateness that this share of ticks does not exceed, by the nearest rank.
func (s seen) at(share float64) time.Duration {
	if len(s.late) == 0 {
		return 0
	}
	rank := int(share*float64(len(s.late)) + 0.9999)
	return s.late[max(rank, 1)-1].Round(time.Microsecond)
}

// watch lets so many watch the event stream.
func watch(t *testing.T, address string, viewers int, spell time.Duration) seen {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), spell)
	defer cancel()
	var mu sync.Mutex
	lates, fewest := map[uint64]time.Duration{}, 1<<30
	var all sync.WaitGroup
	for range viewers {
		all.Go(func() {
			ticks := 0
			for ctx.Err() == nil {
				watchOnce(ctx, address, func(tick uint64, late time.Duration) {
					mu.Lock()
					defer mu.Unlock()
					lates[tick] = late
					ticks++
				})
			}
			mu.Lock()
			defer mu.Unlock()
			fewest = min(fewest, ticks)
		})
	}
	all.Wait()
	s := seen{fewest: fewest}
	for _, late := range lates {
		s.late = append(s.late, late)
	}
	slices.Sort(s.late)
	return s
}

func watchOnce(ctx context.Context, address string, tell func(tick uint64, late time.Duration)) {
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://"+address+"/api/events", nil)
	if err != nil {
		return
	}
	transport := &http.Transport{}
	defer transport.CloseIdleConnections()
	response, err := transport.RoundTrip(request)
	if err != nil {
		time.Sleep(100 * time.Millisecond) // as a browser waits before it comes again
		return
	}
	defer response.Body.Close()
	lines := bufio.NewScanner(response.Body)
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		data, is := strings.CutPrefix(lines.Text(), "data: ")
		if !is {
			continue
		}
		var answer struct {
			Now struct {
				Tick uint64  `json:"tick"`
				Late float64 `json:"late_seconds"`
			} `json:"now"`
		}
		if json.Unmarshal([]byte(data), &answer) == nil && answer.Now.Tick > 0 {
			tell(answer.Now.Tick, time.Duration(answer.Now.Late*float64(time.Second)))
		}
	}
}

// callSlowly comes, takes its time, and tells whether it was cut off.
func callSlowly(ctx context.Context, address string, kind int) (cut int) {
	conn, err := net.Dial("tcp", address)
	if err != nil {
		return 0
	}
	defer conn.Close()
	defer context.AfterFunc(ctx, func() { conn.Close() })()
	const host = "Host: " + "localhost\r\n"
	switch kind % 5 {
	case 0: // a header without an end
		drip(conn, "GET /api/now HTTP/1.1\r\n"+host+"X-Slow: "+strings.Repeat("x", 200))
	case 1: // a body that does not come
		io.WriteString(conn, "PUT /api/holiday HTTP/1.1\r\n"+host+"Content-Type: application/json\r\nContent-Length: 500\r\n\r\n{")
		drip(conn, strings.Repeat(" ", 200))
	case 2: // many requests, and no answer is read
		for range 200 {
			if _, err := io.WriteString(conn, "GET /api/now HTTP/1.1\r\n"+host+"\r\n"); err != nil {
				break
			}
		}
		drip(conn, strings.Repeat("\r\n", 100))
	case 3: // nothing at all
		io.Copy(io.Discard, conn)
	case 4: // no HTTP
		io.WriteString(conn, strings.Repeat("\x00\xff\x16\x03", 8<<10))
		drip(conn, strings.Repeat("\x00", 200))
	}
	if ctx.Err() != nil {
		return 0
	}
	return 1
}

// drip sends a text byte by byte, until the other side has had enough.
func drip(conn net.Conn, text string) {
	for i := range len(text) {
		time.Sleep(200 * time.Millisecond)
		if _, err := io.WriteString(conn, text[i:i+1]); err != nil {
			return
		}
	}
}
