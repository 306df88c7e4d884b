package letter

import (
	"context"
	"math"
	"slices"
	"time"

	"sunstoker/control"
	"sunstoker/history"
)

// A cold day is one on which the top of the tank was colder than the taps want for
// coldFor, all together, between the hours in which people are up. Our own measure,
// no source; the letter tells it.
const (
	dayBegins = 6 // o'clock
	dayEnds   = 22
	coldFor   = time.Hour
	// lookedAtFor is how much of those hours must have been read for a day to count.
	lookedAtFor = 8 * time.Hour
)

// coldDays are those of a system.
type coldDays struct {
	system   string
	tapC     float64
	cold     int
	lookedAt int
	worst    int // colder ones in the worst month
	in       time.Month
}

func (l *Letter) readCold(ctx context.Context, r *history.Reader) error {
	for i := range l.site.Plan.Systems {
		system := &l.site.Plan.Systems[i]
		c := coldDays{system: system.Name, tapC: system.Settings.TapC}
		for k := range l.months {
			m := &l.months[k]
			cold, lookedAt, err := coldIn(ctx, r, m, &c)
			if err != nil {
				return err
			}
			c.cold, c.lookedAt = c.cold+cold, c.lookedAt+lookedAt
			if cold > c.worst {
				c.worst, c.in = cold, m.begin.Month()
			}
		}
		if c.lookedAt > 0 {
			l.cold = append(l.cold, c)
		}
	}
	return nil
}

// coldIn counts the cold days of a month, by quarter hours.
func coldIn(ctx context.Context, r *history.Reader, m *month, c *coldDays) (cold, lookedAt int, err error) {
	const quarter = 15 * time.Minute
	chart, err := r.Chart(ctx, history.Wanted{
		From: m.begin, To: m.end, Points: int(m.end.Sub(m.begin) / quarter),
		Series: []history.Series{{System: c.system, Name: control.TankTop.String(), Unit: control.TankTop.Unit().String()}},
	})
	if err != nil {
		return 0, 0, err
	}
	var coldAt, readAt [32]time.Duration
	for i, mean := range chart.Lines[0].Mean {
		at := time.Unix(chart.Starts[i], 0).In(m.begin.Location())
		if math.IsNaN(mean) || at.Hour() < dayBegins || at.Hour() >= dayEnds {
			continue
		}
		readAt[at.Day()] += chart.Span
		if mean < c.tapC {
			coldAt[at.Day()] += chart.Span
		}
	}
	for day := range readAt {
		if readAt[day] >= lookedAtFor {
			lookedAt++
			if coldAt[day] >= coldFor {
				cold++
			}
		}
	}
	return cold, lookedAt, nil
}

// breaks are days in a row that were not watched.
type breaks struct{ first, last time.Time }

// gaps are the days of which most was not watched, those in a row together, the
// longest first.
func (l *Letter) gaps() (list []breaks) {
	for i := range l.days {
		d := &l.days[i]
		if !d.missed() {
			continue
		}
		if n := len(list); n > 0 && i > 0 && l.days[i-1].missed() {
			list[n-1].last = d.begin
			continue
		}
		list = append(list, breaks{d.begin, d.begin})
	}
	slices.SortStableFunc(list, func(a, b breaks) int { return int(b.last.Sub(b.first) - a.last.Sub(a.first)) })
	return list
}
