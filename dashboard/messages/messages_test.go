package messages

import (
	"bytes"
	"encoding/json"
	"errors"
	"maps"
	"net"
	"slices"
	"strings"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/dashboard"
	"sunstoker/dashboard/door"
)

// TestWhatIsTold: every part of the house is told once, as the JSON interface has it.
func TestWhatIsTold(t *testing.T) {
	b := startBroker(t, "127.0.0.1:0", nil)
	m := start(t, Options{Broker: b.address()})
	b.await("hill/state")
	m.Watch(aTick(1, 61.3))
	b.await("hill/systems/shed%20%2B%20barn%2F2/outputs/backup_heater") // the last
	m.end()
	now := dashboard.NowOf(aTick(1, 61.3))
	want := map[string]any{
		"readings/outdoor_air":                                now.Readings[0],
		"systems/roof/readings/collector":                     now.Systems[0].Readings[0],
		"systems/roof/outputs/loop_pump":                      now.Systems[0].Outputs[0],
		"systems/shed%20%2B%20barn%2F2/readings/tank_top":     now.Systems[1].Readings[0],
		"systems/shed%20%2B%20barn%2F2/outputs/backup_heater": now.Systems[1].Outputs[0],
		"findings": now.Findings,
	}
	now.Readings, now.Systems[0].Readings, now.Systems[0].Outputs, now.Systems[1].Readings, now.Systems[1].Outputs = nil, nil, nil, nil, nil
	want["systems/roof"], want["systems/shed%20%2B%20barn%2F2"] = now.Systems[0], now.Systems[1]
	now.Systems, now.Findings = nil, nil
	want["house"] = now
	for _, p := range b.server.Topics.Messages("hill/#") {
		topic := strings.TrimPrefix(p.TopicName, "hill/")
		if topic == "contents" || topic == "state" {
			continue
		}
		expected, err := json.Marshal(want[topic])
		if err != nil || want[topic] == nil {
			t.Errorf("%s is told: %v", topic, err)
		}
		for _, empty := range []string{"readings", "systems", "findings", "outputs"} { // that are told elsewhere
			expected = bytes.ReplaceAll(expected, []byte(`,"`+empty+`":null`), nil)
		}
		if !bytes.Equal(p.Payload, expected) {
			t.Errorf("%s: told\n%s\nwant\n%s", topic, p.Payload, expected)
		}
		delete(want, topic)
	}
	if len(want) > 0 {
		t.Errorf("nobody is told of %q", slices.Sorted(maps.Keys(want)))
	}
	if got := b.kept("hill/state"); got != gone {
		t.Errorf("who left is said to be %q", got)
	}
}

// TestContentsListWhatIsTold: and what can be asked.
func TestContentsListWhatIsTold(t *testing.T) {
	now := dashboard.NowOf(aTick(1, 61.3))
	c := contentsOf(&now, door.Install)
	listed := map[string]bool{}
	for _, r := range c.Readings {
		listed[r.Topic] = r.Words != "" && r.Unit != ""
	}
	for _, o := range c.Outputs {
		listed[o.Topic] = o.Words != ""
	}
	for _, s := range subjectsOf(aTick(1, 61.3), door.Install) {
		if part := strings.Contains(s.topic, "readings/") || strings.Contains(s.topic, "outputs/"); part != listed[s.topic] {
			t.Errorf("%s: in the contents %v", s.topic, listed[s.topic])
		}
	}
	var asks []string
	for _, a := range c.Asks {
		asks = append(asks, a.Topic)
	}
	if want := []string{
		"ask/holiday", "ask/systems/roof/boost", "ask/systems/roof/outputs/loop_pump/override",
		"ask/systems/shed%20%2B%20barn%2F2/boost", "ask/systems/shed%20%2B%20barn%2F2/outputs/backup_heater/override",
	}; !slices.Equal(asks, want) {
		t.Errorf("asks %q, want %q", asks, want)
	}
}

// TestSteadyChangesWaitAndOthersDoNot: a temperature is told once in ten seconds, what
// is decided at once, and what stays the same never again.
func TestSteadyChangesWaitAndOthersDoNot(t *testing.T) {
	s := &session{m: New(Options{Every: 10 * time.Second}), told: map[string]told{}}
	tell := func(number uint64, change func(c *float64, pump *float64, why *control.Words)) (topics []string) {
		tk := aTick(number, 61.3)
		o := &tk.Outputs[0]
		change(&tk.Readings[0].Value, &o.Driven, &o.Reason.Words)
		for _, subject := range subjectsOf(tk, door.See) {
			payload, due, err := s.due(&subject, tk.At)
			if err != nil {
				t.Fatal(err)
			}
			if due {
				s.told[subject.topic] = told{subject.sign, payload, tk.At}
				topics = append(topics, subject.topic)
			}
		}
		return topics
	}
	same := func(*float64, *float64, *control.Words) {}
	if got := tell(1, same); len(got) != 10 {
		t.Errorf("at first %d subjects are told: %q", len(got), got)
	}
	hotter := func(c, _ *float64, _ *control.Words) { *c = 64 }
	for number := uint64(2); number < 11; number++ {
		if got := tell(number, hotter); len(got) != 0 {
			t.Errorf("second %d: %q are told", number, got)
		}
	}
	if got, want := tell(11, hotter), []string{"house", "systems/roof/readings/collector"}; !slices.Equal(got, want) {
		t.Errorf("after ten seconds %q are told, want %q", got, want)
	}
	slower := func(c, pump *float64, _ *control.Words) { *c, *pump = 64, 0.6 }
	if got := tell(12, slower); len(got) != 0 {
		t.Errorf("a pump that is slower: %q", got)
	}
	stopped := func(c, pump *float64, why *control.Words) { *c, *pump, *why = 64, 0, control.SaysNobodyAsks }
	if got, want := tell(13, stopped), []string{"systems/roof", "systems/roof/outputs/loop_pump"}; !slices.Equal(got, want) {
		t.Errorf("a pump that stops: %q, want %q", got, want)
	}
}

// TestABrokerThatComesBackIsToldTheNewest: it dies, comes back knowing nothing, and
// has all of the newest tick, though what it was told before has not changed.
func TestABrokerThatComesBackIsToldTheNewest(t *testing.T) {
	first := startBroker(t, "127.0.0.1:0", nil)
	address := first.address()
	m := start(t, Options{Broker: address})
	m.Watch(aTick(1, 61.3))
	first.await("hill/systems/shed%20%2B%20barn%2F2/outputs/backup_heater")
	first.stop()
	if d := m.failed(t); d != leastPause {
		t.Errorf("it waits for %v after a connection that was there", d)
	}
	for number := range uint64(500) {
		m.Watch(aTick(2+number, 70)) // nobody waits
	}
	if d := m.failed(t); d != 2*leastPause {
		t.Errorf("it waits for %v after a second try", d)
	}
	for range 9 {
		if d := m.failed(t); d > mostPause {
			t.Errorf("it waits for %v", d)
		}
	}
	second := startBroker(t, address, nil)
	m.persist()
	second.await("hill/systems/shed%20%2B%20barn%2F2/outputs/backup_heater")
	if got := second.kept("hill/house"); !strings.Contains(got, `"tick":501`) {
		t.Errorf("it has the house of %s", got)
	}
	if got := second.kept("hill/systems/roof/readings/collector"); !strings.Contains(got, `"value":70`) {
		t.Errorf("it has the reading %s", got)
	}
	if got := second.kept("hill/state"); got != here {
		t.Errorf("it has the state %q", got)
	}
	if n := strings.Count(m.log.String(), "is not there"); n < 1 || n > 3 {
		t.Errorf("%d lines of the log for a dozen tries: %s", n, m.log)
	}
}

// TestTheWillSaysThatItIsGone: a daemon that is killed says nothing itself.
func TestTheWillSaysThatItIsGone(t *testing.T) {
	b := startBroker(t, "127.0.0.1:0", nil)
	m := start(t, Options{Broker: b.address()})
	if got := b.await("hill/state"); string(got.Payload) != here {
		t.Errorf("who comes is said to be %q", got.Payload)
	}
	b.cut()
	if got := b.await("hill/state"); string(got.Payload) != gone {
		t.Errorf("who is cut off is said to be %q", got.Payload)
	}
	m.persist()
	if got := b.await("hill/state"); string(got.Payload) != here {
		t.Errorf("who comes again is said to be %q", got.Payload)
	}
}

// TestTheEndWaitsForNoBroker: one that takes the connection and then says nothing more,
// and one that never says anything.
func TestTheEndWaitsForNoBroker(t *testing.T) {
	for _, welcome := range []string{"", "\x20\x02\x00\x00"} {
		listener, err := net.Listen("tcp", "127.0.0.1:0")
		if err != nil {
			t.Fatal(err)
		}
		m := startWith(t, Options{Broker: listener.Addr().String()}, time.Millisecond)
		conn, err := listener.Accept()
		if err != nil {
			t.Fatal(err)
		}
		conn.Write([]byte(welcome))
		ended := make(chan struct{})
		go func() {
			m.end()
			close(ended)
		}()
		select {
		case <-ended:
		case <-time.After(timeout / 2): // only a test that fails waits for it
			t.Errorf("welcomed by %q: the end waits for the broker", welcome)
		}
		if err := errors.Join(conn.Close(), listener.Close()); err != nil {
			t.Error(err)
		}
	}
}

// TestAHostileBrokerCostsAConnection: garbage, and lengths that nothing comes after.
func TestAHostileBrokerCostsAConnection(t *testing.T) {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer listener.Close()
	m := start(t, Options{Broker: listener.Addr().String(), May: door.Use})
	m.Watch(aTick(1, 61.3))
	for _, sent := range []string{"", "HTTP/1.1 400 Bad Request\r\n\r\n", "\x20\x02\x00\x05", "\x20\x02\x00\x00\x30\xff\xff\xff\xff\xff", "\x20\x02\x00\x00\x10\x00", "\x20\x02\x00\x00\x90\x03\x00\x01\x80"} {
		conn, err := listener.Accept()
		if err != nil {
			t.Fatal(err)
		}
		conn.Write([]byte(sent))
		conn.(*net.TCPConn).CloseWrite()
		m.failed(t)
		conn.Close()
	}
	if log := m.log.String(); !strings.Contains(log, "no MQTT 3.1.1") || !strings.Contains(log, "see user and password") || !strings.Contains(log, "refuses the subscription") {
		t.Errorf("the log does not say what was wrong: %s", log)
	}
}
