package site

import (
	"strings"
)

// starterWidth is the width at which comments are wrapped.
const starterWidth = 78

// Starter gives a site file to begin with: every key with its meaning, limits
// and default. Keys that may be left out stand behind a # without a space. It
// is itself a file without mistakes, for an invented house.
func Starter() string {
	s := newStarter()
	s.comment("The site file: one installation, from the place to the settings.")
	s.comment("")
	s.howToRead()
	s.comment("Mains wiring, safety valves and work on the roof are for licensed people under the local code. " +
		"No line in this file replaces a relief valve, a cut-out with manual reset or a tempering valve.")
	s.table(&schema, "")
	return strings.TrimLeft(s.text.String(), "\n")
}

type starter struct {
	text      strings.Builder
	explained map[string]bool // meanings that have been written once
	figures   map[string]int  // per key, the running figure of its example
}

func newStarter() *starter { return &starter{explained: map[string]bool{}, figures: map[string]int{}} }

func (s *starter) howToRead() {
	s.comment("The house in it is invented: put your own in its place. A line that begins with # and a space explains. " +
		"A line that begins with # alone is a key that may be left out, with its default or an example: " +
		"take the # away to use it. Values with a unit stand in quotes.")
	s.comment("")
}

func (s *starter) line(text string) { s.text.WriteString(text + "\n") }

// comment writes a sentence or more, wrapped.
func (s *starter) comment(text string) {
	line := "#"
	for word := range strings.FieldsSeq(text) {
		if len([]rune(line))+1+len([]rune(word)) > starterWidth {
			s.line(line)
			line = "#"
		}
		line += " " + strings.ReplaceAll(word, glue, " ")
	}
	s.line(line)
}

// glue keeps a figure and its unit in one line; comment turns it into a space.
const glue = "\x00"

func glued(text string) string { return strings.ReplaceAll(text, " ", glue) }

func (s *starter) table(tab *table, name string) {
	if name != "" {
		s.line("")
		if tab.rare {
			s.rare(tab, name)
			return
		}
		s.comment(tab.meaning)
	}
	if name != "" && len(tab.keys) > 0 {
		s.line(tab.header(name))
	}
	if name == "system.settings" {
		s.comment("The keys are those of [settings], explained there.")
		return
	}
	kind := ""
	for i := range tab.keys {
		k := &tab.keys[i]
		if k.name == "kind" {
			kind = k.example
		}
		s.key(k, kind)
	}
	for _, sub := range tab.tables {
		s.table(sub, join(name, sub.name))
	}
}

// rare mentions a table that few plants have, with the keys that no other table
// has explained.
func (s *starter) rare(tab *table, name string) {
	s.comment("Some plants also have [" + name + "]. " + tab.meaning)
	for i := range tab.keys {
		if k := &tab.keys[i]; !s.explained[k.meaning] {
			s.explained[k.meaning] = true
			s.comment(k.sample() + ": " + k.meaning + k.limits())
		}
	}
}

// key writes a key of a table whose kind is the given one.
func (s *starter) key(k *key, kind string) {
	if first := !s.explained[k.meaning]; first {
		s.explained[k.meaning] = true
		s.line("")
		s.comment(k.meaning + k.limits())
		if !k.only.has(kind) {
			s.comment(`Only with kind = ` + quotedList(k.only) + `: ` + glued(k.sample()))
		}
	}
	if !k.only.has(kind) {
		return
	}
	s.figures[k.name]++
	text := k.def
	if text == "" {
		text = numbered(k.example, s.figures[k.name])
	}
	mark := "#"
	if k.required || k.advised || k.when != "" {
		mark = ""
	}
	s.line(mark + k.name + " = " + k.literal(text))
}

// limits are the sentences behind a key's meaning: what is allowed, and what
// holds when it is left out.
func (k *key) limits() string {
	allowed := k.allowed()
	if low, high, span := strings.Cut(allowed, " to "); span && (k.kind == quantity || k.kind == setting) {
		allowed = glued(low) + " to " + glued(high)
	}
	text := ""
	if k.kind != choice || !strings.Contains(k.meaning, `"`) { // else the meaning names the choices
		text = " Allowed: " + allowed + "."
	}
	switch {
	case k.when != "":
		text += " Needed " + k.when + "."
	case k.def != "":
		text += " Default: " + glued(k.def) + "."
	}
	return text
}
