package letter

import (
	"context"
	"fmt"
	"time"

	"sunstoker/history"
	"sunstoker/planner/handover"
	"sunstoker/site"
)

// Letter is the year of a site.
type Letter struct {
	site       *site.Site
	year       int
	begin, end time.Time // of the civil year
	first      time.Time // from when on it was watched
	last       time.Time // end of what is written of it
	months     [12]month
	sunCounted bool // there are probes that tell how much heat the sun brought
	days       []day
	cold       []coldDays // of every system with a tank top that was read
	spells     []history.Spell
	handed     handover.Dates
}

// month is what a month came to. Heat and electricity are in kWh.
type month struct {
	begin, end time.Time
	sun, meter float64
	pumps      float64 // electricity of all of them
	watched    time.Duration
	promised   float64 // 0 when nothing was
}

// whole tells whether a month was watched from beginning to end, but for a trifle.
func (m *month) whole() bool { return m.watched.Hours() > 0.98*m.end.Sub(m.begin).Hours() }

// day is a day of the year, and for how long it was watched.
type day struct {
	begin, end time.Time
	watched    time.Duration
}

// missed tells whether most of a day was not watched.
func (d *day) missed() bool { return d.watched < d.end.Sub(d.begin)/2 }

const jPerKWh = 3.6e6

// Read gathers a year of a site; year 0 is that of the newest minute.
func Read(ctx context.Context, r *history.Reader, s *site.Site, year int) (*Letter, error) {
	newest, err := r.Newest(ctx)
	if err != nil {
		return nil, err
	}
	if newest.IsZero() {
		return nil, fmt.Errorf("the history holds no minute yet: it is written some minutes after the first start of the program")
	}
	if year == 0 {
		year = newest.In(s.Zone).Year()
	}
	l := &Letter{site: s, year: year, begin: time.Date(year, 1, 1, 0, 0, 0, 0, s.Zone), end: time.Date(year+1, 1, 1, 0, 0, 0, 0, s.Zone)}
	if err := l.bound(ctx, r); err != nil {
		return nil, err
	}
	for _, read := range []func(context.Context, *history.Reader) error{l.readMonths, l.readDays, l.readCold, l.readSpells} {
		if err := read(ctx, r); err != nil {
			return nil, err
		}
	}
	return l, nil
}

// bound finds out which part of the year the history tells of.
func (l *Letter) bound(ctx context.Context, r *history.Reader) error {
	earlier, first, err := r.Beside(ctx, l.begin.Add(-time.Second))
	if err != nil {
		return err
	}
	last, later, err := r.Beside(ctx, l.end)
	if err != nil {
		return err
	}
	l.first, l.last = first.In(l.site.Zone), last.In(l.site.Zone)
	if first.IsZero() || !first.Before(l.end) || !last.After(l.begin) {
		return fmt.Errorf("the history holds nothing of %d: it %s", l.year, l.reach(earlier, first, last, later))
	}
	if !earlier.IsZero() {
		l.first = l.begin // what is missing then is a gap
	}
	if !later.IsZero() {
		l.last = l.end
	}
	return nil
}

// reach says what the history holds instead.
func (l *Letter) reach(times ...time.Time) string {
	const form = "2 January 2006"
	if earlier := times[0]; !earlier.IsZero() {
		return "was written last before that on " + earlier.In(l.site.Zone).Format(form) + "; choose another year with --year"
	}
	for _, at := range times[1:] {
		if !at.IsZero() {
			return "begins on " + at.In(l.site.Zone).Format(form) + "; choose another year with --year"
		}
	}
	return "is empty"
}

func (l *Letter) readMonths(ctx context.Context, r *history.Reader) error {
	sheet, err := r.Energy(ctx, l.begin, l.end, history.Monthly, l.site.Zone)
	if err != nil {
		return err
	}
	for i := range l.months {
		m := &l.months[i]
		m.begin, m.end = time.Date(l.year, time.Month(i+1), 1, 0, 0, 0, 0, l.site.Zone), time.Date(l.year, time.Month(i+2), 1, 0, 0, 0, 0, l.site.Zone)
		m.promised = l.promised(i)
	}
	for _, p := range sheet.Periods {
		m := &l.months[p.Begin.Month()-1]
		m.watched = time.Duration(p.Seconds) * time.Second
		for k, sum := range p.Sums {
			switch kWh := sum / jPerKWh; sheet.Series[k].Name {
			case "sun_heat":
				l.sunCounted = true
				m.sun += kWh
			case "meter_heat":
				m.meter += kWh
			case "pump_electricity", "circulation_electricity":
				m.pumps += kWh
			}
		}
	}
	return nil
}

// promised is what was planned of a month, of all systems together; 0 where one of
// them has no plan, since there is nothing to hold the whole against then.
func (l *Letter) promised(month int) (kWh float64) {
	for i := range l.site.Systems {
		plan := l.site.Systems[i].PromisedKWh
		if len(plan) == 0 {
			return 0
		}
		kWh += plan[month]
	}
	return kWh
}

func (l *Letter) readDays(ctx context.Context, r *history.Reader) error {
	sheet, err := r.Energy(ctx, l.begin, l.end, history.Daily, l.site.Zone)
	if err != nil {
		return err
	}
	watched := map[int]time.Duration{}
	for _, p := range sheet.Periods {
		watched[p.Begin.YearDay()] += time.Duration(p.Seconds) * time.Second
	}
	for begin := l.begin; begin.Before(l.last); {
		end := time.Date(l.year, 1, begin.YearDay()+1, 0, 0, 0, 0, l.site.Zone)
		if end.After(l.first) {
			l.days = append(l.days, day{begin, end, watched[begin.YearDay()]})
		}
		begin = end
	}
	return nil
}

func (l *Letter) readSpells(ctx context.Context, r *history.Reader) (err error) {
	l.spells, err = r.Spells(ctx, l.begin, l.end)
	return err
}

// total adds months up.
func (l *Letter) total() (all month) {
	for i := range l.months {
		m := &l.months[i]
		all.sun, all.meter, all.pumps = all.sun+m.sun, all.meter+m.meter, all.pumps+m.pumps
		all.watched, all.promised = all.watched+m.watched, all.promised+m.promised
	}
	return all
}
