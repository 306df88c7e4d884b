package planner

import (
	_ "embed"
	"io"

	"sunstoker/planner/paper"
	"sunstoker/site"
)

//go:embed page.css
var pageStyle string

// writeHTML writes the report.
func (p *page) writeHTML(w io.Writer) error {
	var systems []systemView
	for i := range p.site.Systems {
		v, err := p.systemView(i)
		if err != nil {
			return err
		}
		systems = append(systems, v)
	}
	return paper.Page{Title: p.site.Name + ": a simulated year", Style: pageStyle, Body: paper.In("main",
		p.header(),
		two(p.standoutsPart(), p.reportedPart()),
		p.picturesPart(systems),
		p.monthsPart(),
		p.sitePart(systems),
		two(section("What the models leave out", listed(modelLimits)), paper.In(`section class="caution"`, heading("Cautions"), listed(Cautions))),
	)}.Write(w)
}

func heading(words string) paper.HTML { return paper.In("h2", paper.Text(words)) }

func section(title string, inside ...paper.HTML) paper.HTML {
	return paper.In("section", heading(title), paper.Join(inside...))
}

func two(parts ...paper.HTML) paper.HTML { return paper.In(`div class="two"`, parts...) }

func listed(texts []string) paper.HTML {
	return paper.In("ul", paper.Each(texts, func(text string) paper.HTML { return paper.In("li", paper.Text(text)) }))
}

func remark(words string) paper.HTML { return paper.In(`p class="remark"`, paper.Text(words)) }

func note(words string) paper.HTML { return paper.In(`p class="soft note"`, paper.Text(words)) }

func (p *page) header() paper.HTML {
	var weatherRemark paper.HTML
	if p.weather.Remark != "" {
		weatherRemark = remark(p.weather.Remark)
	}
	return paper.In("header",
		paper.In(`p class="soft"`, paper.Text("A simulated year, "+p.span())),
		paper.In("h1", paper.Text(p.site.Name)),
		paper.In(`p class="lead"`, paper.Text("This is what this site's plant would do under its own controller and settings. Weather: "+p.weather.Words+".")),
		weatherRemark,
		paper.Each(p.faults, func(fault string) paper.HTML { return remark("Fault: " + fault + ".") }),
		paper.In(`div class="figures"`, paper.Each(p.figures(), func(f figure) paper.HTML {
			return paper.In("div",
				paper.In("b", paper.Text(f.Value+" "), paper.In("small", paper.Text(f.Unit))),
				paper.In("span", paper.Text(f.Words)))
		})),
	)
}

func (p *page) standoutsPart() paper.HTML { return section("What stands out", listed(p.standouts)) }

// reportedPart is what the controller found and what the site file was advised.
func (p *page) reportedPart() paper.HTML {
	var parts []paper.HTML
	if reported := reportedSentences(p.year); len(reported) > 0 {
		parts = append(parts, heading("What the controller reported"), listed(reported))
	}
	if len(p.site.Advice) > 0 {
		var advice []string
		for _, a := range p.site.Advice {
			advice = append(advice, adviceWords(&a))
		}
		parts = append(parts, heading("Advice on the site file"), listed(advice))
	}
	return paper.In("section", parts...)
}

func adviceWords(a *site.Mistake) string {
	words := a.What + "; " + a.Do
	if a.Key != "" {
		words = text("%s, line %d: %s", a.Key, a.Line, words)
	}
	return words
}

func (p *page) picturesPart(systems []systemView) paper.HTML {
	overview := []picture{monthsPicture(p.year)}
	for i := range systems {
		overview = append(overview, systems[i].Tank)
	}
	pictures := paper.In(`div class="pictures wide"`, paper.Each(overview, picture.html))
	if len(systems) > 1 {
		pictures = paper.In(`div class="pictures"`, paper.Each(overview, picture.html))
	}
	return paper.In(`section class="long"`, heading("The year in pictures"), pictures,
		paper.Each(systems, func(v systemView) paper.HTML {
			return paper.Join(v.title(len(systems)), paper.In(`div class="pictures"`, paper.Each(v.Weeks, picture.html)))
		}))
}

// title names a system, where there are several.
func (v *systemView) title(systems int) paper.HTML {
	if systems == 1 {
		return paper.HTML{}
	}
	return paper.In(`h3 class="system"`, paper.Text("System “"+v.Name+"”"))
}

func (p *page) monthsPart() paper.HTML {
	head, rows := p.tableCells()
	var brackets paper.HTML
	if words := bracketNote(p.year); words != "" {
		brackets = note(words)
	}
	return section("The months in figures",
		paper.In(`div class="table" tabindex="0" role="region" aria-label="The months in figures"`, paper.In("table",
			paper.In("thead", paper.In("tr", paper.In(`th scope="col"`, paper.Text("month")), paper.Each(head, func(f figure) paper.HTML {
				return paper.In(`th scope="col"`, paper.Text(f.Words), paper.In("small", paper.Text(f.Unit)))
			}))),
			paper.In("tbody", paper.Each(rows, monthRow)))),
		brackets,
		paper.Each(brokenSentences(p.run, p.year), remark),
		note(p.balance()))
}

func monthRow(cells []string) paper.HTML {
	return paper.In("tr", paper.In(`th scope="row"`, paper.Text(cells[0])),
		paper.Each(cells[1:], func(cell string) paper.HTML { return paper.In("td", paper.Text(cell)) }))
}

func (p *page) sitePart(systems []systemView) paper.HTML {
	return section("The site",
		two(paper.Each(systems, func(v systemView) paper.HTML { return paper.In("div", v.title(len(systems)), definitions(v.Facts)) })),
		definitions([]figure{{Words: "Place", Value: placeWords(p.site)}, {Words: "Household", Value: householdWords(p.site)}}))
}

// definitions are words with their values beside them.
func definitions(facts []figure) paper.HTML {
	return paper.In("dl", paper.Each(facts, func(f figure) paper.HTML {
		return paper.Join(paper.In("dt", paper.Text(f.Words)), paper.In("dd", paper.Text(f.Value)))
	}))
}

func householdWords(s *site.Site) string {
	if s.Household.Profile != "" {
		return text("load profile %s of EU regulation 812/2013", s.Household.Profile)
	}
	return text("%v people, %v l each a day at 60 °C", s.Household.People, s.Household.LitresPerPerson)
}
