package planner

import (
	"math"
	"time"

	"sunstoker/planner/paper"
)

// weekPicture shows a week of one system: temperatures, below them the sun,
// and the runs of pump and heater as bands.
func weekPicture(t *trace, zone *time.Location, hasPump, hasHeater bool) picture {
	const (
		left, top, bottom       = paper.Left, 42, 212
		sunTop, sunBottom       = 222, 258
		firstBand, bandH, pitch = 268, 9, 16
	)
	d := paper.NewDrawing(318, t.Title+": temperatures, sun, pump and heater")
	for i, k := range []struct{ class, say string }{
		{"collector", "collector"}, {"tank-top", "tank, top"}, {"tank-bottom", "tank, bottom"}, {"outdoor", "outdoor air"},
	} {
		x, y := left+float64(i%2)*130, 9+float64(i/2)*16
		d.Line(k.class, x, y, x+22, y)
		d.Words("key", x+28, y+4, k.say)
	}
	low, high, sun := 0.0, 60.0, 1000.0
	for _, p := range t.points {
		low = min(low, p.CollectorC, p.OutdoorC, p.TankBottomC)
		high = max(high, p.CollectorC, p.TankTopC)
		sun = max(sun, p.SunWM2)
	}
	a := d.NiceAxis(low, high, top, bottom, left, 6)
	d.Words("scale", left-5, top-9, "°C")
	perDay := (paper.Width - left) / 7
	x := func(i int) float64 { return left + perDay*float64(i)*traceEvery.Hours()/24 }
	sunAxis := paper.Axis{Low: 0, High: sun, Top: sunTop, Bottom: sunBottom}
	n := len(t.points)
	d.Curve("sun", n, func(i int) (float64, float64) { return x(i), sunAxis.Y(t.points[i].SunWM2) }, sunBottom)
	d.Words("scale", left-5, sunBottom-10, "sun")
	for day := 0; day <= 7; day++ {
		at := left + perDay*float64(day)
		d.Line("day", at, top, at, firstBand+2*pitch-4)
		if day < 7 {
			on := t.Start.In(zone).AddDate(0, 0, day)
			d.Words("middle", at+perDay/2, 310, on.Format("Mon 2"))
		}
	}
	for _, c := range []struct {
		class string
		of    func(*point) float64
	}{
		{"outdoor", func(p *point) float64 { return p.OutdoorC }},
		{"collector", func(p *point) float64 { return p.CollectorC }},
		{"tank-bottom", func(p *point) float64 { return p.TankBottomC }},
		{"tank-top", func(p *point) float64 { return p.TankTopC }},
	} {
		d.Curve(c.class, n, func(i int) (float64, float64) { return x(i), a.Y(c.of(&t.points[i])) }, math.NaN())
	}
	for i, b := range []struct {
		say, class string
		fitted     bool
		of         func(*point) float64
	}{
		{"pump", "pump", hasPump, func(p *point) float64 { return p.Pump }},
		{"heater", "meter", hasHeater, func(p *point) float64 { return p.Heater }},
	} {
		y := firstBand + float64(i)*pitch
		d.Words("scale", left-5, y+bandH-1, b.say)
		if !b.fitted {
			d.Words("none", left+4, y+bandH-1, "none")
			continue
		}
		d.Line("hair", left, y+bandH, paper.Width, y+bandH)
		drawRuns(d, b.class, t.points, b.of, x, y, bandH)
	}
	return picture{Title: t.Title + ", from " + t.Start.In(zone).Format("2 January"), Words: paper.Sentence(t.Why), SVG: d.Done()}
}

// drawRuns draws stretches of the same share as one bar each; a bar is as high as
// the part of the time that the pump or heater ran.
func drawRuns(d *paper.Drawing, class string, points []point, of func(*point) float64, x func(int) float64, y, height float64) {
	for i := 0; i < len(points); {
		share, from := of(&points[i]), i
		for i < len(points) && of(&points[i]) == share {
			i++
		}
		if share > 0.01 {
			h := max(2, height*share)
			// A point tells of the ten minutes before it.
			begin := max(x(0), x(from-1))
			d.Rect(class, begin, y+height-h, x(i-1)-begin, h)
		}
	}
}
