package handover

import (
	_ "embed"
	"fmt"
	"io"

	"sunstoker/control"
	"sunstoker/planner/paper"
)

//go:embed report.css
var reportStyle string

// write writes the page.
func (v *view) write(w io.Writer) error {
	return paper.Page{Title: v.site.Name + ": hand-over", Style: reportStyle, Body: paper.In("main",
		v.header(), v.toDoPart(), v.answersPart(), v.remarksPart(), v.wiringPart(), v.settingsPart(), v.photosPart(), v.lastPart(),
	)}.Write(w)
}

func text(format string, args ...any) paper.HTML { return paper.Text(fmt.Sprintf(format, args...)) }

func section(title string, inside ...paper.HTML) paper.HTML {
	return paper.In("section", paper.In("h2", paper.Text(title)), paper.Join(inside...))
}

func listed(texts []string) paper.HTML {
	return paper.Each(texts, func(words string) paper.HTML { return paper.In("li", paper.Text(words)) })
}

// row is a row of a table with a heading of its own.
func row(name string, cells ...paper.HTML) paper.HTML {
	return paper.In("tr", paper.In(`th scope="row"`, paper.Text(name)), paper.Join(cells...))
}

func or(words, otherwise string) string {
	if words == "" {
		return otherwise
	}
	return words
}

func (v *view) header() paper.HTML {
	parts := []paper.HTML{
		paper.In(`p class="soft"`, paper.Text("Hand-over of a solar water heater")),
		paper.In("h1", paper.Text(v.site.Name)),
	}
	if v.record != nil && v.record.Simulated {
		parts = append(parts, paper.In(`p class="stop"`, paper.In("b", paper.Text("Practice on a simulated plant.")), paper.Text(" Nothing of this was tried on the real one: it proves nothing.")))
	}
	signed := "not in the program: nobody has signed these answers"
	if v.record.IsSigned() {
		signed = "by " + v.installer + ", with the answers as they stand here"
	}
	const unnamed = "not named"
	facts := [][2]string{
		{"Handed over by", or(v.installer, unnamed)}, {"Taken over by", or(v.owner, unnamed)}, {"Day", or(v.day, unnamed)},
		{"Place", place(v.site)}, {"Signed", signed},
	}
	parts = append(parts,
		paper.In(`dl class="facts"`, paper.Each(facts, func(f [2]string) paper.HTML {
			return paper.Join(paper.In("dt", paper.Text(f[0])), paper.In("dd", paper.Text(f[1])))
		})),
		paper.In(`div class="counts"`,
			paper.In(`div class="good"`, count(v.counts[Done], "in order")),
			paper.In(`div class="wrong"`, count(v.counts[Fault], "wrong")),
			paper.In(`div class="doubt"`, count(v.counts[NotProven], "not proven")),
			paper.In("div", count(v.counts[Skipped]+v.counts[Unanswered], "left out or open"))),
		v.barsPart())
	return paper.In("header", parts...)
}

func count(n int, of string) paper.HTML {
	return paper.Join(paper.In("b", text("%d", n)), paper.Text(of))
}

// barsPart says why the daemon does not run this plant by itself.
func (v *view) barsPart() paper.HTML {
	if by := v.site.OutputsTestedBy; by != "" {
		return paper.In(`p class="soft"`, paper.Text("The site file says that the outputs were tested by: "+by))
	}
	bars := v.record.Bars(v.site)
	if len(bars) == 0 {
		return paper.HTML{}
	}
	return paper.In(`div class="stop"`,
		paper.In("b", paper.Text("The program does not run this plant by itself yet.")),
		paper.Text(" It watches, and switches nothing, frost protection included, until this is in order:"),
		paper.In("ul", listed(bars)))
}

// outcome is the cell of an outcome; its colour stands beside the word, never alone.
func outcome(o Outcome) paper.HTML {
	words := paper.Text(o.String())
	switch o {
	case Done:
		return paper.In(`td class="mark good"`, words)
	case Fault:
		return paper.In(`td class="mark wrong"`, words)
	}
	return paper.In(`td class="mark doubt"`, words)
}

// said is what was asked, said and seen.
func (l line) said() paper.HTML {
	var parts []paper.HTML
	if asked := l.asked(); asked != "" {
		parts = append(parts, paper.In(`span class="soft"`, paper.Text(asked)), paper.Text(" "))
	}
	return paper.Join(append(parts, paper.Text(l.words()))...)
}

func (v *view) toDoPart() paper.HTML {
	if len(v.toDo) == 0 {
		return paper.HTML{}
	}
	return section("What is left to do", paper.In("table", paper.Each(v.toDo, func(l line) paper.HTML {
		return row(l.step.Key, outcome(l.answer.Outcome), paper.In("td", l.said()))
	})))
}

func (v *view) answersPart() paper.HTML {
	return section("What was asked, tried and measured", paper.Each(v.groups, func(g group) paper.HTML {
		return paper.Join(paper.In("h3", paper.Text(g.title)), paper.In("table", paper.Each(g.lines, func(l line) paper.HTML {
			said := l.said()
			if at := l.time(); at != "" {
				said = paper.Join(said, paper.Text(" "), paper.In(`span class="soft"`, paper.Text(at)))
			}
			return row(l.step.Key, outcome(l.answer.Outcome), paper.In("td", said))
		})))
	}))
}

func (v *view) remarksPart() paper.HTML {
	if v.remarks == "" {
		return paper.HTML{}
	}
	return section("Remarks", paper.In("p", paper.Text(v.remarks)))
}

func (v *view) wiringPart() paper.HTML {
	var rows []paper.HTML
	for i, o := range v.site.Outputs {
		rows = append(rows, row(v.owned(o.System, o.Actuator.Words()), paper.In("td", paper.Text(WiringOf(v.site, i)))))
	}
	for _, p := range v.site.Probes {
		rows = append(rows, row(v.owned(p.System, p.Place.Words())+" probe", paper.In("td", paper.Text(p.Where()))))
	}
	return section("Wiring", paper.In("table", rows...))
}

// settingsPart lists all settings of the house, and of a system what differs.
func (v *view) settingsPart() paper.HTML {
	var rows []paper.HTML
	add := func(name, value string) {
		rows = append(rows, paper.In("div", paper.In("span", paper.Text(name)), paper.In("span", paper.Text(value))))
	}
	for _, setting := range control.SettingsTable() {
		house := setting.Text(&v.site.Settings)
		add(setting.Name, house)
		for i := range v.site.Systems {
			if own := setting.Text(&v.site.Systems[i].Settings); own != house {
				add(v.site.Systems[i].Name+": "+setting.Name, own)
			}
		}
	}
	return section("Settings", paper.In(`div class="settings"`, rows...))
}

func (v *view) photosPart() paper.HTML {
	if len(v.photos) == 0 {
		return paper.HTML{}
	}
	return section("Pictures",
		paper.In(`p class="soft"`, paper.Text("By file, with the fingerprint (SHA-256) of what it held.")),
		paper.In("table", paper.Each(v.photos, func(p Photo) paper.HTML {
			return row(p.File, paper.In("td", text("%d bytes", p.Bytes)), paper.In(`td class="sums"`, paper.Text(p.SHA256)))
		})))
}

// lastPart is the cautions with the lines to sign on, on one sheet.
func (v *view) lastPart() paper.HTML {
	return paper.In(`section class="last"`,
		paper.In("h2", paper.Text("Cautions for owner and installer")),
		paper.In(`ul class="cautions"`, listed(cautions)),
		paper.In(`div class="sign"`,
			paper.In("div", paper.Text(or(v.installer, "Handed over by")+": place, day, signature")),
			paper.In("div", paper.Text(or(v.owner, "Taken over by")+": place, day, signature"))),
		paper.In(`p class="soft written"`, paper.Text("Written by sunstoker "+v.version+".")))
}
