package planner

import (
	"fmt"
	"html"
	"html/template"
	"math"
	"strconv"
	"strings"
)

// drawing is an SVG picture in the making. Lengths are in its own units; it is
// as wide as a phone, so that its letters stay readable there.
type drawing struct {
	strings.Builder
	width, height float64
}

const (
	pictureWidth = 380
	pictureLeft  = 46 // of the axis: room for its longest word
)

func newDrawing(height float64, title string) *drawing {
	d := &drawing{width: pictureWidth, height: height}
	fmt.Fprintf(d, `<svg viewBox="0 0 %s %s" role="img" aria-label="%s">`, num(d.width), num(height), html.EscapeString(title))
	return d
}

func (d *drawing) done() template.HTML {
	d.WriteString("</svg>")
	return template.HTML(d.String()) // every text went through html.EscapeString
}

// num writes a coordinate with one digit at most.
func num(x float64) string {
	return strconv.FormatFloat(math.Round(x*10)/10+0, 'f', -1, 64)
}

func (d *drawing) rect(class string, x, y, w, h float64) {
	fmt.Fprintf(d, `<rect class="%s" x="%s" y="%s" width="%s" height="%s"/>`, class, num(x), num(y), num(w), num(h))
}

func (d *drawing) line(class string, x1, y1, x2, y2 float64) {
	fmt.Fprintf(d, `<line class="%s" x1="%s" y1="%s" x2="%s" y2="%s"/>`, class, num(x1), num(y1), num(x2), num(y2))
}

// words writes text; the class says where it hangs on x.
func (d *drawing) words(class string, x, y float64, say string) {
	fmt.Fprintf(d, `<text class="%s" x="%s" y="%s">%s</text>`, class, num(x), num(y), html.EscapeString(say))
}

// curve joins points; close is the y to which the area below is filled, NaN
// for a mere line.
func (d *drawing) curve(class string, n int, at func(int) (x, y float64), close float64) {
	if n == 0 {
		return
	}
	fmt.Fprintf(d, `<path class="%s" d="`, class)
	first, last := 0.0, 0.0
	for i := range n {
		x, y := at(i)
		if i == 0 {
			first = x
			d.WriteString("M")
		} else {
			d.WriteString(" ")
		}
		last = x
		d.WriteString(num(x) + "," + num(y))
	}
	if !math.IsNaN(close) {
		fmt.Fprintf(d, " %s,%s %s,%sZ", num(last), num(close), num(first), num(close))
	}
	d.WriteString(`"/>`)
}

// axis turns values into y coordinates.
type axis struct {
	low, high   float64 // values
	top, bottom float64 // coordinates
}

func (a axis) y(value float64) float64 {
	return a.bottom - (value-a.low)/(a.high-a.low)*(a.bottom-a.top)
}

// niceStep is a round step that cuts a span into about so many parts.
func niceStep(span float64, parts int) float64 {
	rough := span / float64(parts)
	scale := math.Pow(10, math.Floor(math.Log10(rough)))
	for _, step := range []float64{1, 2, 5} {
		if step*scale >= rough {
			return step * scale
		}
	}
	return 10 * scale
}

// niceAxis spans the values with round ends and draws the hairlines.
func (d *drawing) niceAxis(low, high, top, bottom, left float64, parts int) axis {
	step := niceStep(math.Max(high-low, 1), parts)
	a := axis{low: math.Floor(low/step) * step, high: math.Ceil(high/step) * step, top: top, bottom: bottom}
	if a.high == a.low {
		a.high += step
	}
	for v := a.low; v <= a.high+step/2; v += step {
		d.line("hair", left, a.y(v), d.width, a.y(v))
		d.words("scale", left-5, a.y(v)+3.5, fixed(v, 0))
	}
	return a
}
