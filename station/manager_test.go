package station

import (
	"context"
	"net"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"sunstoker/control"
)

// serviceManager listens as the service manager does.
type serviceManager struct {
	t     *testing.T
	path  string
	heard chan []string // what was heard up to a message of the test's own
}

const endOfTest = "end of test"

func newServiceManager(t *testing.T, watchdog string) *serviceManager {
	t.Helper()
	m := &serviceManager{t: t, path: filepath.Join(t.TempDir(), "notify"), heard: make(chan []string)}
	conn, err := net.ListenUnixgram("unixgram", &net.UnixAddr{Name: m.path, Net: "unixgram"})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { conn.Close() })
	go func() { // it must listen all the time: the socket holds a few messages only
		var all []string
		buffer := make([]byte, 4096)
		for {
			n, err := conn.Read(buffer)
			if err != nil {
				return
			}
			if text := string(buffer[:n]); text != endOfTest {
				all = append(all, text)
				continue
			}
			m.heard <- all
		}
	}()
	t.Setenv("NOTIFY_SOCKET", m.path)
	t.Setenv("WATCHDOG_USEC", watchdog)
	t.Setenv("WATCHDOG_PID", "")
	return m
}

// all gives everything that was told so far.
func (m *serviceManager) all() []string {
	m.t.Helper()
	end, err := net.DialUnix("unixgram", nil, &net.UnixAddr{Name: m.path, Net: "unixgram"})
	if err != nil {
		m.t.Fatal(err)
	}
	defer end.Close()
	if _, err := end.Write([]byte(endOfTest)); err != nil {
		m.t.Fatal(err)
	}
	return <-m.heard
}

func count(list []string, wanted string) (n int) {
	for _, s := range list {
		if s == wanted {
			n++
		}
	}
	return n
}

func TestTheServiceManagerIsTold(t *testing.T) {
	m := newServiceManager(t, "30000000")
	r := newRig(t)
	r.start()
	for at := time.Duration(0); at <= time.Minute; at += time.Second {
		r.to(at)
	}
	if err := r.end(); err != nil {
		t.Fatal(err)
	}
	heard := m.all()
	if n := count(heard, "WATCHDOG=1"); n != 11 { // at 0, 6, 12 and so on to 60 s
		t.Errorf("the watchdog was fed %d times in 60 s of a 30 s watchdog: %q", n, heard)
	}
	if count(heard, "READY=1") != 1 || count(heard, "STOPPING=1") != 1 || heard[len(heard)-1] != "STOPPING=1" {
		t.Errorf("heard %q", heard)
	}
	if !slices.ContainsFunc(heard, func(s string) bool { return strings.HasPrefix(s, "STATUS=keeping the tick") }) {
		t.Errorf("no status in %q", heard)
	}
}

func TestNothingIsToldBeforeTheFirstTickHasFinished(t *testing.T) {
	m := newServiceManager(t, "30000000")
	r := newRig(t)
	var err error
	if r.station, err = New(r.options); err != nil {
		t.Fatal(err)
	}
	if heard := m.all(); len(heard) > 0 {
		t.Errorf("heard %q before the station runs", heard)
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if err := r.station.Run(ctx, context.Background()); err != nil {
		t.Fatal(err)
	}
	if heard := m.all(); count(heard, "READY=1")+count(heard, "WATCHDOG=1") > 0 {
		t.Errorf("heard %q without a tick", heard)
	}
}

func TestATickThatHangsFeedsNoWatchdog(t *testing.T) {
	m := newServiceManager(t, "2000000")
	r := newRig(t)
	r.start()
	for at := time.Duration(0); at <= 9*time.Second; at += time.Second {
		r.to(at)
	}
	hang := make(chan struct{})
	r.outputs[heaterAt].change(func(o *fakeOutput) { o.blocks = hang })
	ctx, giveUp := context.WithCancel(context.Background())
	advanced := make(chan struct{})
	go func() {
		defer close(advanced)
		_, _ = r.clock.Advance(ctx, time.Minute, control.Wall{})
	}()
	hang <- struct{}{} // the tick at 10 s is inside its driver now
	r.hurry()
	r.stop()
	<-r.ended // it does not wait for the tick that hangs
	giveUp()
	<-advanced
	r.station.manager.close()
	<-r.station.manager.stopped
	if n := count(m.all(), "WATCHDOG=1"); n != 10 {
		t.Errorf("the watchdog was fed %d times by 10 ticks that finished", n)
	}
	close(hang)
}

func TestWithoutAServiceManager(t *testing.T) {
	t.Setenv("NOTIFY_SOCKET", "")
	t.Setenv("WATCHDOG_USEC", "")
	r := newRig(t)
	r.start()
	r.to(time.Minute)
	if err := r.end(); err != nil {
		t.Error(err)
	}
	if strings.Contains(r.log.String(), "service manager") {
		t.Error("the log complains of a service manager that is not there")
	}
}
