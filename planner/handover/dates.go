package handover

import (
	"time"

	"sunstoker/site"
)

// Dates are the days of a hand-over that matter for years, as midnights in UTC; zero
// where nobody has told.
type Dates struct {
	Day         time.Time   // of the hand-over
	NextService time.Time   // that was agreed on
	Antifreeze  []time.Time // when it was measured, of every system
}

// DatesOf gives the days of a record. One of a simulated plant has none.
func DatesOf(s *site.Site, r *Record) Dates {
	d := Dates{Antifreeze: make([]time.Time, len(s.Systems))}
	if r == nil || r.Simulated {
		return d
	}
	d.Day, d.NextService = r.day(dateKey), r.day(serviceKey)
	l := list{site: s}
	for i := range s.Systems {
		k := r.index(l.key(i, antifreezeKey))
		if k < 0 || r.Answers[k].Value == nil {
			continue
		}
		if at := r.Answers[k].At; !at.IsZero() {
			at = at.In(s.Zone)
			d.Antifreeze[i] = time.Date(at.Year(), at.Month(), at.Day(), 0, 0, 0, 0, time.UTC)
		} else {
			d.Antifreeze[i] = d.Day
		}
	}
	return d
}

// day is the date that a step was answered with.
func (r *Record) day(step string) time.Time {
	i := r.index(step)
	if i < 0 {
		return time.Time{}
	}
	day, _ := time.Parse(time.DateOnly, r.Answers[i].Said) // zero where it was left out
	return day
}
