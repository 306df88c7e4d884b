package sizing

import (
	_ "embed"
	"fmt"
	"io"
	"strconv"

	"sunstoker/planner/paper"
)

//go:embed report.css
var reportStyle string

// writeHTML writes the report: two printed pages for as many options as a house
// usually has, the second of them for whoever fits.
func (s *study) writeHTML(w io.Writer) error {
	return paper.Page{
		Title: s.wish.House.Name + ": what to fit", Style: reportStyle,
		Body: paper.In("main", s.headPart(), s.bestPart(), s.tablePart(), s.outsidePart(), s.fittingPart(), s.cautionPart()),
	}.Write(w)
}

func heading(words string) paper.HTML { return paper.In("h2", paper.Text(words)) }

func bullets(texts []string) paper.HTML {
	return paper.In("ul", paper.Each(texts, func(text string) paper.HTML { return paper.In("li", paper.Text(text)) }))
}

func note(words string) paper.HTML { return paper.In(`p class="note"`, paper.Text(words)) }

func (s *study) headPart() paper.HTML {
	return paper.In("header",
		paper.In(`p class="soft"`, paper.Text("What to fit: "+s.tried())),
		paper.In("h1", paper.Text(s.wish.House.Name)),
		paper.Each(s.preface(), note))
}

func (s *study) bestPart() paper.HTML {
	best := paper.In("ol", paper.Each(s.picks, func(p pick) paper.HTML {
		return paper.In("li", paper.In("b", paper.Text(fmt.Sprintf("Option %d: %s. ", p.number, p.words()))), paper.Text(p.why()))
	}))
	return paper.In("section", heading("The best, and why"),
		paper.In(`div class="two"`, paper.In("div", best, note(moneyWords(s.wish))), s.chart()))
}

func (s *study) tablePart() paper.HTML {
	head := []paper.HTML{paper.In("th", paper.Text(""))}
	for _, c := range shown() {
		first := c.head[0]
		if n := len(first) - 1; n >= 0 && first[n] == '-' {
			first = first[:n]
		} else if first != "" {
			first += " "
		}
		unit := c.head[2]
		if c.csvName == "cost" {
			unit = s.wish.House.Electricity.Currency
		}
		head = append(head, paper.In(`th scope="col"`, paper.Text(first+c.head[1]), paper.In("small", paper.Text(unit))))
	}
	var rows []paper.HTML
	for i, o := range s.outcomes {
		cells := []paper.HTML{paper.In(`th scope="row"`, paper.Text(s.cells(i)[0]))}
		for k, cell := range s.cells(i)[1:] {
			if k+1 < textColumns {
				cells = append(cells, paper.In(`td class="words"`, paper.Text(cell)))
			} else {
				cells = append(cells, paper.In("td", paper.Text(cell)))
			}
		}
		if s.place(o) != "" {
			rows = append(rows, paper.In(`tr class="best"`, cells...))
		} else {
			rows = append(rows, paper.In("tr", cells...))
		}
	}
	return paper.In("section", heading("All that was tried"),
		paper.In(`div class="table" tabindex="0" role="region" aria-label="All that was tried"`,
			paper.In("table", paper.In("thead", paper.In("tr", head...)), paper.In("tbody", rows...))),
		paper.Each(s.notes(), note))
}

func (s *study) outsidePart() paper.HTML {
	var texts []string
	for _, c := range s.outside() {
		texts = append(texts, c.words)
	}
	return paper.In("section", heading("Held against figures from outside"), bullets(texts))
}

func (s *study) fittingPart() paper.HTML {
	return paper.In(`section class="sheet"`, heading("Fitting sheet of option "+strconv.Itoa(s.number)+": "+s.chosen.words()),
		paper.Each(s.fittingNotes(), note), rowsTable(s.rows()), heading("What is wired"), rowsTable(s.wiring()))
}

func rowsTable(rows []row) paper.HTML {
	return paper.In(`table class="rows"`, paper.In("tbody", paper.Each(rows, func(r row) paper.HTML {
		return paper.In("tr", paper.In(`th scope="row"`, paper.Text(r.what)), paper.In("td", paper.Text(r.value)), paper.In("td", paper.Text(r.how)))
	})))
}

func (s *study) cautionPart() paper.HTML {
	return paper.In(`div class="two"`,
		paper.In(`section class="caution"`, heading("Cautions"), bullets(cautions())),
		paper.In("section", heading("What the years leave out"), bullets(limits)))
}

// chart shows the solar share against the cost of all options.
func (s *study) chart() paper.HTML {
	const top, bottom, left, right = 30.0, 190.0, paper.Left, paper.Width - 14
	d := paper.NewDrawing(224, "Solar share of all options against their cost")
	low, high := s.outcomes[0].cost, s.outcomes[0].cost
	for _, o := range s.outcomes {
		low, high = min(low, o.cost), max(high, o.cost)
	}
	share := d.NiceAxis(0, 100, top, bottom, left, 5)
	cost := d.NiceAxisAcross(low, high, left, right, top, bottom, 4)
	d.Words("scale", left-5, top-10, "%")
	d.Words("right quiet", right, bottom+28, "cost, "+s.wish.House.Electricity.Currency)
	d.Dot("pumped", left+6, 8, 4)
	d.Words("key", left+15, 12, "pumped")
	d.Dot("natural", left+76, 8, 4)
	d.Words("key", left+85, 12, "natural circulation")
	d.Words("key quiet", left+205, 12, "number: the best")
	for i, o := range s.outcomes {
		x, y := cost.Y(o.cost), share.Y(100*o.share)
		d.Dot(o.loopWords(), x, y, 4)
		if s.place(o) != "" {
			d.Words("middle strong", x, y-8, strconv.Itoa(i+1))
		}
	}
	return paper.In("figure", paper.In("figcaption", paper.Text("Heat from the sun, as a share of all heat, against the cost.")), d.Done())
}
