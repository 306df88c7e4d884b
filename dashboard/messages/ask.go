package messages

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"time"
	"unicode/utf8"

	"sunstoker/dashboard"
	"sunstoker/dashboard/door"
	"sunstoker/dashboard/messages/mqtt"
)

// Answer is what is published under "answers" to whatever came under "ask".
type Answer struct {
	Asked   string          `json:"asked"` // the topic, behind "ask/"
	Refused bool            `json:"refused"`
	Words   string          `json:"words"`          // what was done, or why not and what to do
	Done    json.RawMessage `json:"done,omitempty"` // what the JSON interface answered to what was done
}

// ask is a message that asks for something.
type ask struct {
	mqtt.Message
	came time.Time
}

// longestWait is how long an ask may wait for its turn, behind what a slow broker is
// told. Who asked may have done something else by then.
const longestWait = 30 * time.Second

// answer does what is asked, publishes what came of it, and clears what the broker may
// have kept of the ask. To who listens a broker does not say that it keeps a message
// (section 3.3.1.3), and another broker that it is connected to may send what it has
// kept as if it were new: it would be obeyed whenever those two meet again.
func (s *session) answer(ctx context.Context, a ask) error {
	payload, err := json.Marshal(s.reply(ctx, a))
	if err != nil {
		return err
	}
	if err := s.conn.Publish(mqtt.Message{Topic: s.m.o.Topic + "/answers", Payload: payload}); err != nil {
		return err
	}
	return s.conn.Publish(mqtt.Message{Topic: a.Topic, Retain: true})
}

// askTopic is what the topics of all that is asked begin with.
func (m *Messenger) askTopic() string { return m.o.Topic + "/ask/" }

func (s *session) reply(ctx context.Context, asked ask) Answer {
	topic := strings.TrimPrefix(asked.Topic, s.m.askTopic())
	var a Answer
	if time.Since(asked.came) > longestWait {
		a = refuse("This has waited for its turn for half a minute. Ask again if it is still wanted.")
	} else {
		a = s.m.do(ctx, topic, &asked.Message)
	}
	a.Asked = shortened(topic)
	if dropped := s.refused.Swap(0); dropped > 0 {
		a.Words += fmt.Sprintf(" %d more came at the same time and were dropped: ask again.", dropped)
	}
	return a
}

func refuse(format string, args ...any) Answer {
	return Answer{Refused: true, Words: fmt.Sprintf(format, args...)}
}

// theEnd is the word that ends what was asked for.
const theEnd = "end"

// do does what is asked.
func (m *Messenger) do(ctx context.Context, topic string, ask *mqtt.Message) Answer {
	body := bytes.TrimSpace(ask.Payload)
	switch {
	case ask.Retain:
		return refuse("The broker has kept this from earlier, so nobody may want it any more. Ask without the flag to retain.")
	case ask.Cut:
		return refuse("This is longer than %d bytes. Send one JSON object, such as {\"length\": \"2 h\"}, or the word %s.", longestAsk, theEnd)
	case len(body) == 0:
		return refuse("This is empty. Send one JSON object, such as {\"length\": \"2 h\"}, or the word %s.", theEnd)
	}
	path := m.pathOf(topic)
	if path == "" {
		return refuse("Nothing can be asked at this topic. The topic %q lists what can.", "contents")
	}
	method := http.MethodPut
	if string(body) == theEnd {
		method, body = http.MethodDelete, nil
	}
	return m.ask(ctx, method, path, body)
}

// pathOf is the path of the JSON interface for a topic, or empty where nothing can be
// asked there. It is put together of names that the house has, never of what came in.
func (m *Messenger) pathOf(topic string) string {
	t := m.newest.Load()
	if t == nil {
		return ""
	}
	if topic == "holiday" {
		return "/api/holiday"
	}
	now := dashboard.NowOf(t)
	for i := range now.Systems {
		s := &now.Systems[i]
		at, path := systemTopic(s.Name), "/api/systems/"+url.PathEscape(s.Name)
		if topic == at+"/boost" {
			return path + "/boost"
		}
		for k := range s.Outputs {
			if o := &s.Outputs[k]; topic == outputTopic(at, o)+"/override" {
				return path + "/outputs/" + o.Actuator + "/override"
			}
		}
	}
	return ""
}

// asker is who asks, for the record. The broker does not say who it was.
const asker = "A message by the broker"

// ask asks the JSON interface.
func (m *Messenger) ask(ctx context.Context, method, path string, body []byte) Answer {
	r, err := http.NewRequestWithContext(ctx, method, path, bytes.NewReader(body))
	if err != nil {
		return refuse("This can't be asked: %v.", err)
	}
	r.Header.Set("Content-Type", "application/json")
	got := &response{header: http.Header{}, status: http.StatusOK}
	m.o.API.ServeHTTP(got, door.As(r, door.Person{Name: asker, Role: m.o.May}))
	if got.status != http.StatusOK {
		var problem dashboard.Problem
		if err := json.Unmarshal(got.body.Bytes(), &problem); err != nil {
			return refuse("The answer to this can't be read: %v.", err)
		}
		return refuse("%s", problem.Detail)
	}
	var done dashboard.Done
	if err := json.Unmarshal(got.body.Bytes(), &done); err != nil {
		return refuse("The answer to this can't be read: %v. Look at what the outputs do before you ask again.", err)
	}
	return Answer{Words: done.Words, Done: got.body.Bytes()}
}

// response keeps what the JSON interface answers.
type response struct {
	header http.Header
	status int
	body   bytes.Buffer
}

func (r *response) Header() http.Header         { return r.header }
func (r *response) WriteHeader(status int)      { r.status = status }
func (r *response) Write(p []byte) (int, error) { return r.body.Write(p) }

// shortened keeps what came from outside from filling an answer.
func shortened(text string) string {
	const most = 120
	if len(text) <= most {
		return text
	}
	cut := most
	for cut > 0 && !utf8.RuneStart(text[cut]) {
		cut--
	}
	return text[:cut] + "…"
}
