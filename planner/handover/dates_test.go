package handover

import (
	"testing"
	"time"
)

func TestDatesOf(t *testing.T) {
	s := house(t)
	share := 42.0
	at := time.Date(2026, 5, 1, 22, 30, 0, 0, time.UTC) // the second of May by most clocks to the east
	r := &Record{Answers: []Answer{
		{Step: "date", Said: "2026-05-02"}, {Step: "next service", Said: "2027-04-30"}, {Step: "antifreeze", Said: "42 %", Value: &share, At: at},
	}}
	day := func(at time.Time) string { return at.Format(time.DateOnly) }
	d := DatesOf(s, r)
	if day(d.Day) != "2026-05-02" || day(d.NextService) != "2027-04-30" || day(d.Antifreeze[0]) != day(at.In(s.Zone)) {
		t.Errorf("%+v", d)
	}
	r.Answers[2].At = time.Time{}
	if d := DatesOf(s, r); day(d.Antifreeze[0]) != "2026-05-02" {
		t.Errorf("without a clock: %+v", d)
	}
	for name, none := range map[string]*Record{"no record": nil, "a simulated plant": {Simulated: true, Answers: r.Answers}, "left out": {Answers: []Answer{{Step: "next service"}, {Step: "antifreeze"}}}} {
		if d := DatesOf(s, none); !d.Day.IsZero() || !d.NextService.IsZero() || !d.Antifreeze[0].IsZero() {
			t.Errorf("%s: %+v", name, d)
		}
	}
}
