package letter

import (
	_ "embed"
	"fmt"
	"io"
	"slices"

	"sunstoker/planner/paper"
)

//go:embed page.css
var pageStyle string

// WriteHTML writes the letter as a page that prints on one sheet of A4.
func (l *Letter) WriteHTML(w io.Writer) error {
	return paper.Page{Title: fmt.Sprintf("%s: the year %d", l.site.Name, l.year), Style: pageStyle, Body: paper.In("main",
		paper.In("header",
			paper.In(`p class="soft"`, paper.Text(fmt.Sprintf("Your hot water in %d", l.year))),
			paper.In("h1", paper.Text(l.site.Name)),
			paper.In(`p class="lead"`, paper.Text(l.lead()))),
		paper.In(`div class="figures"`, paper.Each(l.figures(), func(f figure) paper.HTML {
			return paper.In("div", paper.In("b", paper.Text(f.value)), paper.In("span", paper.Text(f.words)))
		})),
		paper.In("figure", l.chart(), paper.In("figcaption", paper.Text(l.chartWords()))),
		paper.In(`div class="said"`, paper.Each(l.parts(), func(p part) paper.HTML {
			return paper.In("section",
				paper.In("h2", paper.Text(p.title)),
				paper.Each(p.texts, func(text string) paper.HTML { return paper.In("p", paper.Text(text)) }))
		})),
	)}.Write(w)
}

// figure is a number in large type with its words.
type figure struct{ value, words string }

func (l *Letter) figures() (list []figure) {
	t := l.total()
	if l.sunCounted {
		list = append(list, figure{whole(t.sun) + " kWh", "heat from the sun"})
	}
	list = append(list, figure{whole(t.meter) + " kWh", "heat from the meter"})
	if l.sunCounted && t.sun+t.meter > 0 {
		list = append(list, figure{whole(100*t.sun/(t.sun+t.meter)) + " %", "of the heat came from the sun"})
	}
	if l.sunCounted && l.site.Electricity.Currency != "" {
		list = append(list, figure{l.amount(t.sun), "the sun's heat would have cost from the meter"})
	}
	switch n := l.timesWrong(); n {
	case 0:
		return append(list, figure{"nothing", "was found wrong"})
	case 1:
		return append(list, figure{"once", "something was found wrong"})
	default:
		return append(list, figure{fmt.Sprint(n), "times something was found wrong"})
	}
}

func (l *Letter) chartWords() string {
	text := "Heat into the tanks by month."
	if l.total().promised > 0 {
		text += " The dark line is what was planned to come from the sun."
	}
	if l.anyPart() {
		text += " Months with a star were not watched from beginning to end."
	}
	if slices.ContainsFunc(l.months[:], func(m month) bool { return m.watched == 0 }) {
		text += " Of months with the word none nothing was written."
	}
	return text
}

// chart shows where each month's heat came from.
func (l *Letter) chart() paper.HTML {
	const top, bottom, left = 34, 128, paper.Left
	d := paper.NewDrawing(148, "Heat from the sun and from the meter by month")
	d.Rect("sun", left, 2, 9, 9)
	d.Words("key", left+13, 10, "heat from the sun")
	d.Rect("meter", left+120, 2, 9, 9)
	d.Words("key", left+133, 10, "heat from the meter")
	a := d.NiceAxis(0, l.most()*1.02, top, bottom, left, 3)
	d.Words("scale", left-5, top-9, "kWh")
	slot := (paper.Width - left) / float64(len(l.months))
	bar := slot * 0.62
	for i := range l.months {
		m := &l.months[i]
		middle := left + slot*(float64(i)+0.5)
		sunY, allY := a.Y(m.sun), a.Y(m.sun+m.meter)
		d.Rect("sun", middle-bar/2, sunY, bar, a.Y(0)-sunY)
		d.Rect("meter", middle-bar/2, allY, bar, sunY-allY)
		if m.promised > 0 {
			d.Line("planned", middle-bar/2-2.5, a.Y(m.promised), middle+bar/2+2.5, a.Y(m.promised))
		}
		name := m.begin.Format("Jan")
		switch {
		case m.watched == 0:
			d.Words("middle quiet", middle, bottom-4, "none")
		case !m.whole():
			name += "*"
		}
		d.Words("middle", middle, bottom+13, name)
	}
	d.Line("ground", left, a.Y(0), paper.Width, a.Y(0))
	return d.Done()
}
