package history

import (
	"math"
	"time"

	"sunstoker/station/tick"
)

const (
	// mostTickWeight is how long a tick may stand for: a board that was held up
	// has not watched meanwhile.
	mostTickWeight = 5 * time.Second
	// clockSlack is how far the wall clock may part from elapsed time within a
	// minute: a time service that slews does.
	clockSlack = 2 * time.Second
	// mostEvents is how many events are kept of a minute. A house at work makes one
	// in some minutes.
	mostEvents = 60
)

// minute is a minute as it was watched, or a part of one.
type minute struct {
	at      time.Duration // monotonic instant of its first tick
	wall    time.Time     // of that tick, by the board's clock or by what was learned since
	trusted bool          // wall can be relied on
	row     row           // its start is filled in when it is written
	events  []watched
}

// watched is an event with its instant.
type watched struct {
	at time.Duration
	Event
}

// start is the Unix second that the minute begins at: that in which the middle of
// what was watched lies, since one that was dated afterwards may begin anywhere.
func (m *minute) start() int64 {
	return floorTo(m.wall.Add(time.Duration(m.row.seconds)*time.Second/2).Unix(), 60)
}

// event is one of the minute's events, at the second it happened in.
func (m *minute) event(i int) Event {
	e := m.events[i].Event
	e.Time, e.Sure = time.Unix(m.wall.Add(m.events[i].at-m.at).Unix(), 0).UTC(), m.trusted
	return e
}

// gatherer makes minutes out of ticks.
type gatherer struct {
	before  *tick.Tick
	house   *tick.House
	sources []source
	series  []Series
	watcher watcher
	sums    []sum
	open    *minute // the one that is being watched; nil before the first tick
	seconds float64 // of the open one
	dropped int     // events of the open one beyond those that are kept
}

// sum gathers one series over the open minute.
type sum struct {
	seconds, weighted, low, high, amount float64
}

// add takes a tick in, and gives the minute that it ended, if any.
func (g *gatherer) add(t *tick.Tick) (ended *minute) {
	g.meet(t)
	if g.open != nil && !g.open.goesOn(t) {
		ended = g.end()
	}
	if g.open == nil {
		g.begin(t)
	}
	if g.before == nil {
		g.note(t, Event{Kind: Started, What: Name{t.House.Version, ""}})
	} else if lost := t.Number - g.before.Number - 1; t.Number > g.before.Number && lost > 0 {
		g.note(t, Event{Kind: Missed, What: missedTicks, Values: [3]float64{float64(lost)}})
	}
	g.watcher.look(t, func(e Event) { g.note(t, e) })
	g.weigh(t)
	g.before = t
	return ended
}

// meet learns what a house has.
func (g *gatherer) meet(t *tick.Tick) {
	if g.house == t.House {
		return
	}
	g.house, g.sources = t.House, sourcesOf(t)
	g.series = make([]Series, len(g.sources))
	for i := range g.sources {
		g.series[i] = g.sources[i].Series
	}
	g.sums = make([]sum, len(g.sources))
}

func (g *gatherer) begin(t *tick.Tick) {
	g.open = &minute{at: t.At, wall: t.Wall.Time.UTC().Round(0), trusted: t.Wall.Trusted}
	g.seconds, g.dropped = 0, 0
	clear(g.sums)
}

// goesOn tells whether a tick belongs to the minute. A clock that jumps, or that
// is trusted from now on, ends it.
func (m *minute) goesOn(t *tick.Tick) bool {
	apart := t.Wall.Time.Sub(m.wall) - (t.At - m.at)
	return t.Wall.Trusted == m.trusted && apart < clockSlack && apart > -clockSlack &&
		floorTo(t.Wall.Time.Unix(), 60) == floorTo(m.wall.Unix(), 60)
}

func (g *gatherer) note(t *tick.Tick, e Event) {
	if len(g.open.events) >= mostEvents {
		g.dropped++
		return
	}
	g.open.events = append(g.open.events, watched{t.At, e})
}

func (g *gatherer) weigh(t *tick.Tick) {
	weight := time.Second
	if g.before != nil {
		weight = min(max(0, t.At-g.before.At), mostTickWeight)
	}
	seconds := weight.Seconds()
	g.seconds += seconds
	for i := range g.sources {
		s, v := &g.sums[i], g.sources[i].value(t, g.before)
		switch {
		case g.sources[i].Sum:
			s.amount += v
		case math.IsNaN(v) || math.IsInf(v, 0):
		case s.seconds == 0:
			s.seconds, s.weighted, s.low, s.high = seconds, v*seconds, v, v
		default:
			s.seconds += seconds
			s.weighted += v * seconds
			s.low, s.high = min(s.low, v), max(s.high, v)
		}
	}
}

// end gives the open minute.
func (g *gatherer) end() *minute {
	m := g.open
	if m == nil {
		return nil
	}
	g.open = nil
	m.row = row{seconds: max(1, int64(math.Round(g.seconds))), series: g.series, cells: make([]cell, len(g.series))}
	for i := range g.sums {
		s := &g.sums[i]
		c := &m.row.cells[i]
		c.amount = s.amount
		if s.seconds > 0 {
			c.seconds = min(max(1, int64(math.Round(s.seconds))), m.row.seconds)
			c.mean, c.low, c.high = s.weighted/s.seconds, s.low, s.high
		}
	}
	if g.dropped > 0 {
		m.events = append(m.events, watched{m.events[len(m.events)-1].at, Event{Kind: Missed, What: missedEvents, Values: [3]float64{float64(g.dropped)}}})
	}
	return m
}

// stop gives the last minute of a run in good order.
func (g *gatherer) stop() *minute {
	if g.open == nil {
		return nil
	}
	g.note(g.before, Event{Kind: Stopped})
	return g.end()
}

// ceilTo is the end of the span that an instant lies in, or the instant itself where
// one begins.
func ceilTo(at, span int64) int64 { return floorTo(at+span-1, span) }

// floorTo is the start of the span that an instant lies in, before 1970 too.
func floorTo(at, span int64) int64 {
	rest := at % span
	if rest < 0 {
		rest += span
	}
	return at - rest
}
