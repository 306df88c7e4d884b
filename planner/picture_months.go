package planner

import "sunstoker/planner/paper"

// picture is a drawing with what is said of it.
type picture struct {
	Title, Words string
	SVG          paper.HTML
}

func (p picture) html() paper.HTML {
	if p.SVG.Empty() {
		return paper.HTML{}
	}
	return paper.In("figure", paper.In("figcaption", paper.In("h3", paper.Text(p.Title)), paper.In("p", paper.Text(p.Words))), p.SVG)
}

// monthsPicture shows where each month's heat came from and what was wanted.
func monthsPicture(y *Year) picture {
	const top, bottom, left = 64, 236, paper.Left
	d := paper.NewDrawing(262, "Heat from the sun and from the meter by month")
	high := 1.0
	for i := range y.Months {
		m := &y.Months[i]
		high = max(high, m.FromSunKWh+m.FromMeterKWh, m.AskedKWh)
	}
	d.Rect("sun", left, 4, 11, 11)
	d.Words("key", left+16, 13.5, "heat from the sun")
	d.Rect("meter", left+138, 4, 11, 11)
	d.Words("key", left+154, 13.5, "heat from the meter")
	d.Line("wanted", left, 27, left+11, 27)
	d.Words("key", left+16, 31, "wanted at the taps")
	d.Words("key", left+154, 31, "number: solar share in %")
	a := d.NiceAxis(0, high*1.02, top, bottom, left, 4)
	d.Words("scale", left-5, top-12, "kWh")
	slot := (paper.Width - left) / float64(len(y.Months))
	bar := min(slot*0.66, 40)
	for i := range y.Months {
		m := &y.Months[i]
		middle := left + slot*(float64(i)+0.5)
		sun := max(0, m.FromSunKWh)
		sunY, allY := a.Y(sun), a.Y(sun+m.FromMeterKWh)
		d.Rect("sun", middle-bar/2, sunY, bar, a.Y(0)-sunY)
		d.Rect("meter", middle-bar/2, allY, bar, sunY-allY)
		wantedY := a.Y(m.AskedKWh)
		d.Line("wanted", middle-bar/2-2.5, wantedY, middle+bar/2+2.5, wantedY)
		d.Words("middle strong", middle, min(allY, wantedY)-5, shareCell(m))
		d.Words("middle", middle, bottom+15, m.Start.Format("Jan"))
	}
	d.Line("ground", left, a.Y(0), paper.Width, a.Y(0))
	return picture{
		Title: "Month by month",
		Words: "Bars are the heat that went into the tanks, the dark line is what the household wanted. What stands above the line was lost on the way.",
		SVG:   d.Done(),
	}
}
