package messages

import (
	"encoding/json"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"sunstoker/dashboard/door"
	"sunstoker/dashboard/messages/mqtt"
	"sunstoker/station/request"
)

func answerOf(t *testing.T, payload []byte) (a Answer) {
	t.Helper()
	if err := json.Unmarshal(payload, &a); err != nil {
		t.Fatalf("the answer %s: %v", payload, err)
	}
	return a
}

// TestAsks: what can be asked arrives as the request that it is, and what can't is
// answered in words.
func TestAsks(t *testing.T) {
	b := startBroker(t, "127.0.0.1:0", nil)
	desk := &aDesk{}
	m := start(t, Options{Broker: b.address(), May: door.Install, API: desk.page()})
	m.Watch(aTick(1, 61.3))
	b.await("hill/house")
	const barn = "systems/shed%20%2B%20barn%2F2/"
	for _, c := range []struct {
		topic, payload string
		want           request.Request // nil: refused
		words          string
	}{
		{"holiday", `{"length": "14 d"}`, request.Holiday{Length: 14 * 24 * time.Hour}, "Granted to A message by the broker, who may install."},
		{"holiday", "end", request.Holiday{}, "Granted"},
		{"systems/roof/boost", ` {"length": "2 h"} `, request.Boost{System: 0, Length: 2 * time.Hour}, "Granted"},
		{barn + "boost", `{"length": "1 h"}`, request.Boost{System: 1, Length: time.Hour}, "Granted"},
		{barn + "boost", "end", request.Boost{System: 1}, "Granted"},
		{barn + "boost", `{"length": "13 h"}`, request.Boost{System: 1, Length: 13 * time.Hour}, "That is too long."},
		{"systems/roof/outputs/loop_pump/override", `{"level": "off", "length": "1 h"}`, request.Override{Output: 0, Length: time.Hour}, "Granted"},
		{"systems/roof/outputs/loop_pump/override", "end", request.Override{Output: 0}, "Granted"},

		{"holiday", "  \n", nil, "This is empty."},
		{"holiday", "on", nil, "is no JSON"},
		{"holiday", "\xff\xfe", nil, "is no UTF-8 text"},
		{"holiday", `{"length": 3600}`, nil, "write a text with its unit"},
		{"holiday", `{"length": "0 s"}`, nil, "by a message the word end"},
		{"holiday", `{"length": "2 h", "length": "3 h"}`, nil, "stands twice"},
		{"holiday", `{"length": "2 h", "reason": "sun"}`, nil, "is not known here"},
		{"holiday", strings.Repeat("[", 1000), nil, "must be a JSON object"},
		{"holiday", strings.Repeat(" ", longestAsk) + "end", nil, "longer than 1024 bytes"},
		{"holiday", strings.Repeat("x", 1_000_000), nil, "longer than 1024 bytes"},
		{"systems/roof/outputs/loop_pump/override", `{"level": "much", "length": "1 h"}`, nil, "is no level"},
		{"systems/roof/outputs/backup_heater/override", "end", nil, "Nothing can be asked at this topic."},
		{"systems/cellar/boost", "end", nil, "Nothing can be asked at this topic."},
		{"systems/../servicing", `{"on": true}`, nil, "Nothing can be asked at this topic."},
		{"servicing", `{"on": true}`, nil, "Nothing can be asked at this topic."},
		{"settings", `{"tank_limit": "90 °C"}`, nil, "Nothing can be asked at this topic."},
		{strings.Repeat("a/", 300), "end", nil, "Nothing can be asked at this topic."},
	} {
		desk.asked = nil
		if err := b.server.Publish("hill/ask/"+c.topic, []byte(c.payload), false, 1); err != nil {
			t.Fatal(err)
		}
		p := b.await("hill/answers")
		a := answerOf(t, p.Payload)
		if !strings.Contains(a.Words, c.words) || p.FixedHeader.Retain {
			t.Errorf("%s %.60q: the answer %+v, want the words %q, not kept", c.topic, c.payload, a, c.words)
		}
		if !strings.HasPrefix(c.topic, strings.TrimSuffix(a.Asked, "…")) || len(a.Asked) > 130 {
			t.Errorf("%s: answered as %q", c.topic, a.Asked)
		}
		if granted := strings.HasPrefix(c.words, "Granted"); a.Refused == granted || granted != (len(a.Done) > 0) {
			t.Errorf("%s %.60q: refused %v, done %s", c.topic, c.payload, a.Refused, a.Done)
		}
		if asked := len(desk.asked) > 0; asked != (c.want != nil) || asked && !reflect.DeepEqual(desk.asked[0], c.want) {
			t.Errorf("%s %.60q: the controller was asked %+v, want %+v", c.topic, c.payload, desk.asked, c.want)
		}
	}
}

// TestWhatWasKeptFromYesterdayIsNotObeyed: the broker hands it over again with every
// connection.
func TestWhatWasKeptFromYesterdayIsNotObeyed(t *testing.T) {
	b := startBroker(t, "127.0.0.1:0", nil)
	if err := b.server.Publish("hill/ask/systems/roof/boost", []byte(`{"length": "2 h"}`), true, 1); err != nil {
		t.Fatal(err)
	}
	desk := &aDesk{}
	m := start(t, Options{Broker: b.address(), May: door.Install, API: desk.page()})
	m.Watch(aTick(1, 61.3))
	if a := answerOf(t, b.await("hill/answers").Payload); !a.Refused || !strings.Contains(a.Words, "kept this from earlier") {
		t.Errorf("the answer %+v", a)
	}
	if len(desk.asked) > 0 {
		t.Errorf("the controller was asked %+v", desk.asked)
	}
	b.cleared("hill/ask/systems/roof/boost")
}

// TestWhatIsKeptWhileItListensIsObeyedOnce: the broker hands it over as any other. It is
// neither obeyed again when it is kept, nor kept.
func TestWhatIsKeptWhileItListensIsObeyedOnce(t *testing.T) {
	b := startBroker(t, "127.0.0.1:0", nil)
	desk := &aDesk{}
	m := start(t, Options{Broker: b.address(), May: door.Use, API: desk.page()})
	m.Watch(aTick(1, 61.3))
	b.await("hill/house")
	if err := b.server.Publish("hill/ask/systems/roof/boost", []byte(`{"length": "2 h"}`), true, 1); err != nil {
		t.Fatal(err)
	}
	if a := answerOf(t, b.await("hill/answers").Payload); a.Refused {
		t.Errorf("the answer %+v", a)
	}
	b.cleared("hill/ask/systems/roof/boost")
	b.cut()
	m.persist()
	for b.awaitText("hill/state") != here {
	}
	if err := b.server.Publish("hill/ask/holiday", []byte(theEnd), false, 1); err != nil {
		t.Fatal(err)
	}
	if a := answerOf(t, b.await("hill/answers").Payload); a.Asked != "holiday" {
		t.Errorf("after it came back this is answered: %+v", a)
	}
	if want := []request.Request{request.Boost{System: 0, Length: 2 * time.Hour}, request.Holiday{}}; !reflect.DeepEqual(desk.asked, want) {
		t.Errorf("the controller was asked %+v, want %+v", desk.asked, want)
	}
}

// TestWhatHasWaitedIsNotObeyed: behind what a slow broker was told.
func TestWhatHasWaitedIsNotObeyed(t *testing.T) {
	desk := &aDesk{}
	m := New(Options{Topic: "hill", May: door.Use, API: desk.page()})
	m.Watch(aTick(1, 61.3))
	s := &session{m: m}
	end := mqtt.Message{Topic: "hill/ask/holiday", Payload: []byte(theEnd)}
	if a := s.reply(t.Context(), ask{end, time.Now().Add(-longestWait - time.Second)}); !a.Refused || !strings.Contains(a.Words, "has waited for its turn") || len(desk.asked) > 0 {
		t.Errorf("what has waited: %+v, asked %+v", a, desk.asked)
	}
	if a := s.reply(t.Context(), ask{end, time.Now()}); a.Refused || len(desk.asked) != 1 {
		t.Errorf("what has not: %+v, asked %+v", a, desk.asked)
	}
}

// TestWhatAsksNothingTakesNoPlace: what clears a topic, and topics of the broker's own.
func TestWhatAsksNothingTakesNoPlace(t *testing.T) {
	s := &session{m: New(Options{Topic: "hill"}), asks: make(chan ask, waitingAsks)}
	for topic, payload := range map[string]string{"hill/ask/holiday": "", "hill/asks": theEnd, "valley/ask/holiday": theEnd, "": theEnd} {
		s.receive(mqtt.Message{Topic: topic, Payload: []byte(payload)})
	}
	if n := len(s.asks); n > 0 {
		t.Errorf("%d of them wait", n)
	}
}

// FuzzAsks: whatever is asked is answered by a short text, and only what can be asked is
// granted.
func FuzzAsks(f *testing.F) {
	f.Add("holiday", []byte(`{"length": "14 d"}`), false)
	f.Add("systems/shed%20%2B%20barn%2F2/boost", []byte("end"), false)
	f.Add("systems/roof/outputs/loop_pump/override", []byte(`{"level": "40 %", "length": "1 h"}`), false)
	f.Add("systems/roof/boost", []byte(`{"length": "2 h"}`), true)
	f.Add("systems/../servicing", []byte("\xff"), false)
	can := []string{"holiday", "systems/roof/boost", "systems/roof/outputs/loop_pump/override",
		"systems/shed%20%2B%20barn%2F2/boost", "systems/shed%20%2B%20barn%2F2/outputs/backup_heater/override"}
	desk := &aDesk{}
	s := &session{m: New(Options{Topic: "hill", May: door.Install, API: desk.page()})}
	s.m.Watch(aTick(1, 61.3))
	f.Fuzz(func(t *testing.T, topic string, payload []byte, kept bool) {
		desk.asked = nil
		a := s.reply(t.Context(), ask{mqtt.Message{Topic: "hill/ask/" + topic, Payload: payload, Retain: kept}, time.Now()})
		if text, err := json.Marshal(a); err != nil || a.Words == "" || len(text) > 20*longestAsk {
			t.Errorf("the answer has %d bytes, %v: %.200s", len(text), err, text)
		}
		if !a.Refused && (kept || !slices.Contains(can, topic) || len(desk.asked) != 1) || a.Refused && kept && len(desk.asked) > 0 {
			t.Errorf("%q %q, kept %v: %+v, and the controller was asked %+v", topic, payload, kept, a, desk.asked)
		}
	})
}

// TestMessagesMayWhatTheSiteFileSays: nothing by default; and who may use does not set
// outputs by hand.
func TestMessagesMayWhatTheSiteFileSays(t *testing.T) {
	b := startBroker(t, "127.0.0.1:0", nil)
	desk := &aDesk{}
	use := start(t, Options{Broker: b.address(), Topic: "use", May: door.Use, API: desk.page()})
	none := start(t, Options{Broker: b.address(), Topic: "none", May: door.See, API: desk.page()})
	for _, m := range []*running{use, none} {
		m.Watch(aTick(1, 61.3))
		b.await(m.o.Topic + "/systems/shed%20%2B%20barn%2F2/outputs/backup_heater")
	}
	if got := b.kept("none/contents"); !strings.Contains(got, `"asks":[]`) {
		t.Errorf("what can be asked is %s", got)
	}
	if got := b.kept("use/contents"); strings.Contains(got, "override") || !strings.Contains(got, "ask/systems/roof/boost") {
		t.Errorf("what can be asked is %s", got)
	}
	for _, topic := range []string{"none/ask/holiday", "use/ask/systems/roof/outputs/loop_pump/override"} {
		if err := b.server.Publish(topic, []byte("end"), false, 1); err != nil {
			t.Fatal(err)
		}
	}
	if a := answerOf(t, b.await("use/answers").Payload); !a.Refused || !strings.Contains(a.Words, "may use, and this takes somebody who may install") {
		t.Errorf("the answer %+v", a)
	}
	if len(desk.asked) > 0 {
		t.Errorf("the controller was asked %+v", desk.asked)
	}
}

// TestAFloodOfAsksIsBounded: what there is no room for is dropped, and said with the
// next answer.
func TestAFloodOfAsksIsBounded(t *testing.T) {
	m := New(Options{Topic: "hill", May: door.Use, API: (&aDesk{}).page()})
	m.Watch(aTick(1, 61.3))
	s := &session{m: m, asks: make(chan ask, waitingAsks)}
	for range waitingAsks + 5 {
		s.receive(mqtt.Message{Topic: "hill/ask/holiday", Payload: []byte(theEnd)})
	}
	for i := range waitingAsks {
		a := s.reply(t.Context(), <-s.asks)
		if said := strings.Contains(a.Words, "5 more came at the same time and were dropped"); a.Refused || said != (i == 0) {
			t.Errorf("answer %d: %+v", i+1, a)
		}
	}
}
