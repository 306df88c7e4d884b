package planner

import (
	"bytes"
	"image"
	"image/png"
	"time"

	"sunstoker/planner/paper"
)

// tankPicture shows a tank's temperature by day and height.
func tankPicture(m *tankMap, start time.Time) (picture, error) {
	const left, top, bottom, scaleY = paper.Left, 12, 142, 186
	out := picture{
		Title: "The tank over the year",
		Words: "Mean temperature of each day, from the tank's bottom to its top. Dark is hot.",
	}
	if len(m.days) == 0 {
		return out, nil
	}
	d := paper.NewDrawing(226, "Temperature of the tank by day and height")
	data, err := m.png()
	if err != nil {
		return out, err
	}
	width := paper.Width - left
	d.Image(data, left, top, width, bottom-top)
	d.Rect("frame", left, top, width, bottom-top)
	d.Words("scale", left-5, top+9, "top")
	d.Words("scale", left-5, bottom-1, "bottom")
	for at := start; ; at = nextMonth(at) {
		day := at.Sub(start).Hours() / 24
		if day > float64(len(m.days))-14 {
			break
		}
		x := left + width*day/float64(len(m.days))
		d.Line("tick", x, bottom, x, bottom+4)
		d.Words("begin", x+1, bottom+15, at.Format("Jan"))
	}
	scaleBar(d, left, scaleY, width)
	out.SVG = d.Done()
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
func scaleBar(d *paper.Drawing, left, y, width float64) {
	const steps = 80
	at := func(c float64) float64 { return left + width*(c-scaleLowC)/(scaleHighC-scaleLowC) }
	for i := range steps {
		c := scaleLowC + (scaleHighC-scaleLowC)*(float64(i)+0.5)/steps
		d.Fill(heatColour(c), at(c)-width/steps/2, y, width/steps+0.3, 11)
	}
	d.Rect("frame", left, y, width, 11)
	d.Words("scale", left-5, y+9.5, "°C")
	for _, w := range []struct {
		c   float64
		say string
	}{{10, "cold"}, {25, "lukewarm"}, {40, "a shower"}, {55, "dishes"}, {70, "scalds fast"}} {
		d.Line("tick", at(w.c), y+11, at(w.c), y+15)
		d.Words("middle", at(w.c), y+25, fixed(w.c, 0))
		d.Words("middle quiet", at(w.c), y+38, w.say)
	}
}
