package paper

import (
	"encoding/xml"
	"image/color"
	"io"
	"math"
	"strings"
	"testing"
)

const nasty = `<script>alert("'&")</script>`

func TestMarkupIsBuilt(t *testing.T) {
	got := In(`ul class="few"`, Each([]string{"a", "<b>"}, func(s string) HTML { return In("li", Text(s)) }), HTML{}, Text("&"))
	if want := `<ul class="few"><li>a</li><li>&lt;b&gt;</li>&amp;</ul>`; got.String() != want {
		t.Errorf("got %s, want %s", got, want)
	}
	if !(HTML{}).Empty() || got.Empty() {
		t.Error("what is empty is not told from what is not")
	}
}

func TestNothingThatIsTypedBecomesMarkup(t *testing.T) {
	d := NewDrawing(100, nasty)
	d.Rect(nasty, 1, 2, 3, 4)
	d.Line(nasty, 1, 2, 3, 4)
	d.Words(nasty, 1, 2, nasty)
	d.Curve(nasty, 2, func(i int) (float64, float64) { return float64(i), 1 }, math.NaN())
	var out strings.Builder
	if err := (Page{Title: nasty, Body: In("p", Text(nasty), d.Done())}).Write(&out); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(out.String(), "<script") || strings.Contains(out.String(), `"'&`) {
		t.Errorf("a text became markup: %s", out.String())
	}
}

// TestDrawingIsInOrder: a strict reader finds its tags closed.
func TestDrawingIsInOrder(t *testing.T) {
	d := NewDrawing(262, "all there is")
	a := d.NiceAxis(-3, 41, 10, 110, Left, 4)
	if a.Low != -20 || a.High != 60 || a.Y(a.Low) != 110 || a.Y(a.High) != 10 || a.Y(20) != 60 {
		t.Errorf("an axis from -3 to 41 spans %g to %g, with 20 at %g; want -20 to 60, and 60", a.Low, a.High, a.Y(20))
	}
	across := d.NiceAxisAcross(900, 4100, Left, Width, 10, 110, 4)
	if across.Low != 0 || across.High != 5000 || across.Y(0) != Left || across.Y(5000) != Width {
		t.Errorf("an axis across from 900 to 4100 spans %g to %g, from %g to %g", across.Low, across.High, across.Y(across.Low), across.Y(across.High))
	}
	d.Dot("sun", 5, 6, 2.5)
	d.Fill(color.RGBA{R: 255, G: 128, A: 255}, 0, 0, 10, 11.26)
	d.Image([]byte("png"), 0, 0, 10, 10)
	d.Curve("sun", 3, func(i int) (float64, float64) { return float64(10 * i), 5 }, 20)
	d.Curve("none", 0, nil, 0)
	svg := d.Done().String()
	for _, want := range []string{`fill="#ff8000"`, `height="11.3"`, `<circle class="sun" cx="5" cy="6" r="2.5"/>`, `d="M0,5 10,5 20,5 20,20 0,20Z"`, `base64,cG5n"`, `viewBox="0 0 380 262"`, `>-20<`} {
		if !strings.Contains(svg, want) {
			t.Errorf("%s is missing in %s", want, svg)
		}
	}
	if strings.Contains(svg, `class="none"`) {
		t.Error("a curve of no points is drawn")
	}
	for r := xml.NewDecoder(strings.NewReader(svg)); ; {
		if _, err := r.Token(); err == io.EOF {
			return
		} else if err != nil {
			t.Fatal(err)
		}
	}
}

func TestNiceSteps(t *testing.T) {
	for _, c := range []struct {
		span  float64
		parts int
		want  float64
	}{{100, 5, 20}, {100, 4, 50}, {7, 7, 1}, {950, 4, 500}, {3, 6, 0.5}, {1000, 1, 1000}} {
		if got := niceStep(c.span, c.parts); got != c.want {
			t.Errorf("%g in %d parts: steps of %g, want %g", c.span, c.parts, got, c.want)
		}
	}
}
