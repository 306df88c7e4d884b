package site

import (
	"strings"
)

// Reference gives the reference page of all keys of a site file, in Markdown.
// It is kept as deploy/settings.md.
func Reference() string {
	r := &reference{}
	r.paragraph("# The site file, key by key")
	r.paragraph("This page is made from the tables that the program itself reads with; `go generate ./control` writes it anew.")
	r.paragraph("A site file is one TOML file in UTF-8. A value with a unit is a text in quotes, such as `\"8 K\"`; " +
		"a unit that does not fit is an error. A key that is not known is an error too, so that a slip of the pen never passes for a default. " +
		"A setting of `[system.settings]` counts for its system alone, one of `[settings]` for the house and for every system that has none of its own.")
	r.table(&schema, "")
	return r.text.String()
}

type reference struct{ text strings.Builder }

func (r *reference) paragraph(text string) { r.text.WriteString(text + "\n\n") }

func (r *reference) table(tab *table, name string) {
	switch {
	case name == "system.settings":
		r.heading(tab, name)
		r.paragraph("The keys are those of `[settings]`.")
		return
	case len(tab.keys) > 0:
		r.heading(tab, name)
		r.keys(tab.keys)
	}
	if together(tab.tables) {
		r.group(tab, name)
		return
	}
	for _, sub := range tab.tables {
		r.table(sub, join(name, sub.name))
	}
}

// together tells of tables that differ in their names alone: probes, outputs.
func together(tables []*table) bool {
	return len(tables) > 0 && len(tables[0].keys) > 0 && tables[0].keys[0].name == "kind"
}

// group writes tables with the same keys under one heading.
func (r *reference) group(tab *table, name string) {
	r.paragraph("## `[" + name + ".…]`")
	r.paragraph(tab.meaning)
	for _, sub := range tab.tables {
		r.text.WriteString("- `" + sub.header(join(name, sub.name)) + "`: " + sub.meaning + "\n")
	}
	r.text.WriteString("\n")
	r.keys(tab.tables[0].keys)
}

func (r *reference) heading(tab *table, name string) {
	if name == "" {
		r.paragraph("## " + "At the top of the file")
		return
	}
	r.paragraph("## `" + tab.header(name) + "`")
	r.paragraph(tab.meaning)
}

// keys writes one Markdown table, or one per group of settings.
func (r *reference) keys(keys []key) {
	group := ""
	for i := range keys {
		k := &keys[i]
		if k.kind == setting && k.setting.Group != group {
			if group != "" {
				r.text.WriteString("\n")
			}
			group = k.setting.Group
			r.paragraph("### " + group)
			r.columns()
		} else if i == 0 {
			r.columns()
		}
		r.row("`"+k.name+"`", k.allowed(), k.leftOut(), k.meaning)
	}
	r.text.WriteString("\n")
}

func (r *reference) columns() {
	r.text.WriteString("| Key | Allowed | When left out | Meaning |\n| --- | --- | --- | --- |\n")
}

func (r *reference) row(cells ...string) {
	for i, cell := range cells {
		cells[i] = strings.ReplaceAll(cell, "|", `\|`)
	}
	r.text.WriteString("| " + strings.Join(cells, " | ") + " |\n")
}

// leftOut says what a key that is not written means.
func (k *key) leftOut() string {
	switch {
	case k.required:
		return "must be written"
	case k.when != "":
		return "must be written " + k.when
	case k.def != "":
		return k.def
	}
	return "none"
}
