package messages

import (
	"bytes"
	"encoding/json"
	"time"
)

// subject is what is told under one topic.
type subject struct {
	topic string // behind the one that all begin with
	sign  string // of what must be told at once when it changes
	what  any    // as JSON
}

// told is what the broker has of a subject.
type told struct {
	sign    string
	payload []byte
	at      time.Duration // of the tick
}

// due tells whether a subject is to be told now: at once when its sign has changed, and
// else when it is another one than so long ago. Most that change in every second is
// not even looked at.
func (s *session) due(of *subject, at time.Duration) (payload []byte, due bool, err error) {
	before, known := s.told[of.topic]
	if known && before.sign == of.sign && at-before.at < s.m.o.Every {
		return nil, false, nil
	}
	payload, err = json.Marshal(of.what)
	if err != nil {
		return nil, false, err
	}
	if known && bytes.Equal(payload, before.payload) {
		before.at = at
		s.told[of.topic] = before
		return nil, false, nil
	}
	return payload, true, nil
}
