package messages

import (
	"testing"
	"time"

	"sunstoker/dashboard/door"
)

// BenchmarkTick is what a tick costs in which nothing is to be told.
func BenchmarkTick(b *testing.B) {
	s := &session{m: New(Options{Every: time.Hour}), told: map[string]told{}}
	t := aTick(1, 61.3)
	for b.Loop() {
		for _, subject := range subjectsOf(t, door.Install) {
			payload, due, err := s.due(&subject, t.At)
			if err != nil {
				b.Fatal(err)
			}
			if due {
				s.told[subject.topic] = told{subject.sign, payload, t.At}
			}
		}
	}
}
