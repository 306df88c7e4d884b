package paper

import (
	"encoding/base64"
	"fmt"
	"html"
	"image/color"
	"math"
	"strconv"
	"strings"
)

// Drawing is an SVG picture in the making. Lengths are in its own units, from the
// upper left. What is drawn has a class, by which the page's style sheet gives it its
// looks.
type Drawing struct{ out strings.Builder }

// Width is how wide every drawing is: as a phone, so that its letters stay readable
// there.
const Width = 380.0

// Left is where the axis of a chart stands: room for its longest word.
const Left = 46

// NewDrawing begins a drawing; the title is for those who don't see it.
func NewDrawing(height float64, title string) *Drawing {
	d := &Drawing{}
	fmt.Fprintf(&d.out, `<svg viewBox="0 0 %s %s" role="img" aria-label="%s">`, num(Width), num(height), html.EscapeString(title))
	return d
}

// Done ends the drawing.
func (d *Drawing) Done() HTML { return HTML{d.out.String() + "</svg>"} }

// num writes a coordinate with one digit at most.
func num(x float64) string {
	return strconv.FormatFloat(math.Round(x*10)/10+0, 'f', -1, 64)
}

// Rect draws a rectangle.
func (d *Drawing) Rect(class string, x, y, w, h float64) {
	fmt.Fprintf(&d.out, `<rect class="%s" x="%s" y="%s" width="%s" height="%s"/>`, html.EscapeString(class), num(x), num(y), num(w), num(h))
}

// Line draws a straight line.
func (d *Drawing) Line(class string, x1, y1, x2, y2 float64) {
	fmt.Fprintf(&d.out, `<line class="%s" x1="%s" y1="%s" x2="%s" y2="%s"/>`, html.EscapeString(class), num(x1), num(y1), num(x2), num(y2))
}

// Dot draws a filled circle.
func (d *Drawing) Dot(class string, x, y, radius float64) {
	fmt.Fprintf(&d.out, `<circle class="%s" cx="%s" cy="%s" r="%s"/>`, html.EscapeString(class), num(x), num(y), num(radius))
}

// Words writes text; the class says where it hangs on x.
func (d *Drawing) Words(class string, x, y float64, say string) {
	fmt.Fprintf(&d.out, `<text class="%s" x="%s" y="%s">%s</text>`, html.EscapeString(class), num(x), num(y), html.EscapeString(say))
}

// Curve joins points; close is the y to which the area below is filled, NaN
// for a mere line.
func (d *Drawing) Curve(class string, n int, at func(int) (x, y float64), close float64) {
	if n == 0 {
		return
	}
	fmt.Fprintf(&d.out, `<path class="%s" d="`, html.EscapeString(class))
	first, last := 0.0, 0.0
	for i := range n {
		x, y := at(i)
		if i == 0 {
			first = x
			d.out.WriteString("M")
		} else {
			d.out.WriteString(" ")
		}
		last = x
		d.out.WriteString(num(x) + "," + num(y))
	}
	if !math.IsNaN(close) {
		fmt.Fprintf(&d.out, " %s,%s %s,%sZ", num(last), num(close), num(first), num(close))
	}
	d.out.WriteString(`"/>`)
}

// Axis turns values into y coordinates.
type Axis struct {
	Low, High   float64 // values
	Top, Bottom float64 // coordinates
}

// Y is the coordinate of a value.
func (a Axis) Y(value float64) float64 {
	return a.Bottom - (value-a.Low)/(a.High-a.Low)*(a.Bottom-a.Top)
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

// Fill draws a rectangle of a colour.
func (d *Drawing) Fill(colour color.RGBA, x, y, w, h float64) {
	fmt.Fprintf(&d.out, `<rect x="%s" y="%s" width="%s" height="%s" fill="#%02x%02x%02x"/>`, num(x), num(y), num(w), num(h), colour.R, colour.G, colour.B)
}

// Image lays a picture, a PNG file's content, over a rectangle.
func (d *Drawing) Image(png []byte, x, y, w, h float64) {
	fmt.Fprintf(&d.out, `<image x="%s" y="%s" width="%s" height="%s" preserveAspectRatio="none" href="data:image/png;base64,%s"/>`,
		num(x), num(y), num(w), num(h), base64.StdEncoding.EncodeToString(png))
}

// NiceAxis spans the values with round ends and draws the hairlines.
func (d *Drawing) NiceAxis(low, high, top, bottom, left float64, parts int) Axis {
	a, step := niceAxis(low, high, top, bottom, parts)
	for v := a.Low; v <= a.High+step/2; v += step {
		d.Line("hair", left, a.Y(v), Width, a.Y(v))
		d.Words("scale", left-5, a.Y(v)+3.5, num(v))
	}
	return a
}

// NiceAxisAcross is a NiceAxis from the left to the right edge, between two heights;
// its Y gives x coordinates.
func (d *Drawing) NiceAxisAcross(low, high, left, right, top, bottom float64, parts int) Axis {
	a, step := niceAxis(low, high, right, left, parts)
	for v := a.Low; v <= a.High+step/2; v += step {
		d.Line("hair", a.Y(v), top, a.Y(v), bottom)
		d.Words("middle quiet", a.Y(v), bottom+14, num(v))
	}
	return a
}

func niceAxis(low, high, top, bottom float64, parts int) (a Axis, step float64) {
	step = niceStep(math.Max(high-low, 1), parts)
	a = Axis{Low: math.Floor(low/step) * step, High: math.Ceil(high/step) * step, Top: top, Bottom: bottom}
	if a.High == a.Low {
		a.High += step
	}
	return a, step
}
