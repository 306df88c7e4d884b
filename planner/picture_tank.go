package planner

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"image"
	"image/png"
	"time"
)

// tankPicture shows a tank's temperature by day and height.
func tankPicture(m *tankMap, start time.Time) (picture, error) {
	const left, top, bottom, scaleY = pictureLeft, 12, 142, 186
	out := picture{
		Title: "The tank over the year",
		Words: "Mean temperature of each day, from the tank's bottom to its top. Dark is hot.",
	}
	if len(m.days) == 0 {
		return out, nil
	}
	d := newDrawing(226, "Temperature of the tank by day and height")
	data, err := m.png()
	if err != nil {
		return out, err
	}
	width := d.width - left
	fmt.Fprintf(d, `<image x="%d" y="%d" width="%s" height="%d" preserveAspectRatio="none" href="data:image/png;base64,%s"/>`,
		left, top, num(width), bottom-top, base64.StdEncoding.EncodeToString(data))
	d.rect("frame", left, top, width, bottom-top)
	d.words("scale", left-5, top+9, "top")
	d.words("scale", left-5, bottom-1, "bottom")
	for at := start; ; at = nextMonth(at) {
		day := at.Sub(start).Hours() / 24
		if day > float64(len(m.days))-14 {
			break
		}
		x := left + width*day/float64(len(m.days))
		d.line("tick", x, bottom, x, bottom+4)
		d.words("begin", x+1, bottom+15, at.Format("Jan"))
	}
	d.scaleBar(left, scaleY, width)
	out.SVG = d.done()
	return out, nil
}

// png is the map with a pixel a day and height.
func (m *tankMap) png() ([]byte, error) {
	picture := image.NewRGBA(image.Rect(0, 0, len(m.days), mapHeights))
	for x, day := range m.days {
		for h, tempC := range day {
			picture.SetRGBA(x, mapHeights-1-h, heatColour(tempC))
		}
	}
	var out bytes.Buffer
	err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&out, picture)
	return out.Bytes(), err
}

// scaleBar draws the heat scale with what its temperatures mean to a person.
func (d *drawing) scaleBar(left, y, width float64) {
	const steps = 80
	at := func(c float64) float64 { return left + width*(c-scaleLowC)/(scaleHighC-scaleLowC) }
	for i := range steps {
		c := scaleLowC + (scaleHighC-scaleLowC)*(float64(i)+0.5)/steps
		k := heatColour(c)
		fmt.Fprintf(d, `<rect x="%s" y="%s" width="%s" height="11" fill="#%02x%02x%02x"/>`, num(at(c)-width/steps/2), num(y), num(width/steps+0.3), k.R, k.G, k.B)
	}
	d.rect("frame", left, y, width, 11)
	d.words("scale", left-5, y+9.5, "°C")
	for _, w := range []struct {
		c   float64
		say string
	}{{10, "cold"}, {25, "lukewarm"}, {40, "a shower"}, {55, "dishes"}, {70, "scalds fast"}} {
		d.line("tick", at(w.c), y+11, at(w.c), y+15)
		d.words("middle", at(w.c), y+25, fixed(w.c, 0))
		d.words("middle quiet", at(w.c), y+38, w.say)
	}
}
