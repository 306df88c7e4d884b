package control

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// Orders of stories about a heater that waits for the sun: what electricity costs,
// and what somebody else foretells of the light.

// orderPrices reads "0.30, 0.10 from 22:00 to 06:00": what a kWh costs, and at
// which times of the day it costs something else.
func (s *story) orderPrices(rest string) (err error) {
	if s.c != nil {
		return fmt.Errorf("prices come before the first reading")
	}
	usual, others, _ := strings.Cut(rest, ", ")
	if s.plan.PricePerKWh, err = strconv.ParseFloat(usual, 64); err != nil {
		return err
	}
	for part := range strings.SplitSeq(others, ", ") {
		text, times, _ := strings.Cut(part, " from ")
		var p Price
		if p.PerKWh, err = strconv.ParseFloat(text, 64); err != nil {
			return err
		}
		if p.Windows, err = ParseWindows(times); err != nil {
			return err
		}
		s.plan.Prices = append(s.plan.Prices, p)
	}
	return nil
}

// orderForecast reads "700 W/m² from 09:00 to 15:00": a forecast is made now, of so
// much light on the collectors at these times of today and tomorrow, and else of none.
func (s *story) orderForecast(rest string) error {
	if err := s.begin(); err != nil {
		return err
	}
	text, times, _ := strings.Cut(rest, " W/m² from ")
	wm2, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return err
	}
	lit, err := ParseWindows(times)
	if err != nil {
		return err
	}
	l := LightForecast{Made: s.wall.Time, From: s.wall.Time.Truncate(time.Hour), OnCollectors: true}
	begins := l.From.In(s.zone())
	ends := time.Date(begins.Year(), begins.Month(), begins.Day()+2, 0, 0, 0, 0, s.zone())
	for i := range l.WM2 {
		at := begins.Add(time.Duration(i) * time.Hour)
		switch {
		case !at.Before(ends):
			l.WM2[i] = untold
		case lit.Contain(at.Hour() * 60):
			l.WM2[i] = wm2
		}
	}
	s.c.Foretell(&l)
	return nil
}
