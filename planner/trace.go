package planner

import "time"

// Sizes of what a run leaves behind for the report. Together they stay far
// below a megabyte for any house.
const (
	traceEvery = 10 * time.Minute
	tracePerW  = 7 * 24 * 6 // points of a week
	mapHeights = 16         // of the tank, bottom first
	mapEvery   = 15 * time.Minute
)

// point is a moment of a week.
type point struct {
	CollectorC, TankTopC, TankBottomC, OutdoorC float64
	SunWM2                                      float64 // on the collector's plane
	Pump, Heater                                float64 // part of the time since the last point, 0 to 1
}

// trace is a week of a system.
type trace struct {
	week
	points []point
}

// tracer records the weeks of one system.
type tracer struct {
	system    int
	collector func() float64
	weeks     []trace
	next      time.Duration
	start     time.Time
	pumpS     float64
	heaterS   float64
}

func newTracer(r *Run, system int, weeks []week) (*tracer, error) {
	collector, err := r.House.TruthAt(system, "collector")
	if err != nil {
		return nil, err
	}
	t := &tracer{system: system, collector: collector, start: r.House.Now()}
	for _, w := range weeks {
		t.weeks = append(t.weeks, trace{week: w, points: make([]point, 0, tracePerW)})
	}
	return t, nil
}

func (t *tracer) see(r *Run) {
	now := r.House.Elapsed()
	if now < t.next {
		return
	}
	t.next += traceEvery
	tally := r.House.Tally(t.system)
	pumpS, heaterS := tally.PumpS-t.pumpS, tally.HeaterS-t.heaterS
	t.pumpS, t.heaterS = tally.PumpS, tally.HeaterS
	at := t.start.Add(now)
	for i := range t.weeks {
		w := &t.weeks[i]
		if at.Before(w.Start) || len(w.points) == tracePerW {
			continue
		}
		w.points = append(w.points, point{
			CollectorC:  t.collector(),
			TankTopC:    r.House.TankC(t.system, 1),
			TankBottomC: r.House.TankC(t.system, 0),
			OutdoorC:    r.House.Sky().AirC,
			SunWM2:      r.House.Light(t.system).IrradianceWM2,
			Pump:        min(1, pumpS/traceEvery.Seconds()),
			Heater:      min(1, heaterS/traceEvery.Seconds()),
		})
	}
}

// tankMap is the mean temperature of a system's tank by day and height.
type tankMap struct {
	system int
	days   [][mapHeights]float64 // in °C, bottom first
	sum    [mapHeights]mean
	next   time.Duration
	dayEnd time.Duration
}

func (m *tankMap) see(r *Run) {
	now := r.House.Elapsed()
	if now < m.next {
		return
	}
	m.next += mapEvery
	for h := range m.sum {
		m.sum[h].add(r.House.TankC(m.system, (float64(h)+0.5)/mapHeights))
	}
	if now < m.dayEnd+24*time.Hour {
		return
	}
	m.dayEnd += 24 * time.Hour
	var day [mapHeights]float64
	for h := range day {
		day[h] = m.sum[h].value()
	}
	m.days, m.sum = append(m.days, day), [mapHeights]mean{}
}
