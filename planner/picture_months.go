package planner

import "html/template"

// picture is a drawing with what is said of it.
type picture struct {
	Title, Words string
	SVG          template.HTML
}

// monthsPicture shows where each month's heat came from and what was wanted.
func monthsPicture(y *Year) picture {
	const top, bottom, left = 64, 236, pictureLeft
	d := newDrawing(262, "Heat from the sun and from the meter by month")
	high := 1.0
	for i := range y.Months {
		m := &y.Months[i]
		high = max(high, m.FromSunKWh+m.FromMeterKWh, m.AskedKWh)
	}
	d.rect("sun", left, 4, 11, 11)
	d.words("key", left+16, 13.5, "heat from the sun")
	d.rect("meter", left+138, 4, 11, 11)
	d.words("key", left+154, 13.5, "heat from the meter")
	d.line("wanted", left, 27, left+11, 27)
	d.words("key", left+16, 31, "wanted at the taps")
	d.words("key", left+154, 31, "number: solar share in %")
	a := d.niceAxis(0, high*1.02, top, bottom, left, 4)
	d.words("scale", left-5, top-12, "kWh")
	slot := (d.width - left) / float64(len(y.Months))
	bar := min(slot*0.66, 40)
	for i := range y.Months {
		m := &y.Months[i]
		middle := left + slot*(float64(i)+0.5)
		sun := max(0, m.FromSunKWh)
		sunY, allY := a.y(sun), a.y(sun+m.FromMeterKWh)
		d.rect("sun", middle-bar/2, sunY, bar, a.y(0)-sunY)
		d.rect("meter", middle-bar/2, allY, bar, sunY-allY)
		wantedY := a.y(m.AskedKWh)
		d.line("wanted", middle-bar/2-2.5, wantedY, middle+bar/2+2.5, wantedY)
		d.words("middle strong", middle, min(allY, wantedY)-5, shareCell(m))
		d.words("middle", middle, bottom+15, m.Start.Format("Jan"))
	}
	d.line("ground", left, a.y(0), d.width, a.y(0))
	return picture{
		Title: "Month by month",
		Words: "Bars are the heat that went into the tanks, the dark line is what the household wanted. What stands above the line was lost on the way.",
		SVG:   d.done(),
	}
}
