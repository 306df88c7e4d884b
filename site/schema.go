package site

import (
	"slices"

	"sunstoker/control"
)

// table is one [table] of the site file.
type table struct {
	name     string // last part of its header
	meaning  string
	required bool
	list     bool // written as [[name]], as often as wanted
	rare     bool // few plants have it: the starter file only mentions it
	keys     []key
	tables   []*table
	enter    func(w *walker, t *target, at position) // makes what the keys fill in; may be nil
}

// key is one key of a table: all there is to know of it.
type key struct {
	name     string
	kind     kind
	unit     control.Unit // of a quantity
	min, max float64      // of a quantity or whole number
	choices  []string
	form     *form            // of a text
	setting  *control.Setting // of a setting
	required bool
	advised  bool   // it may be left out, and stands in the starter file all the same
	when     string // in words, when it is needed though not always required
	def      string // default as the file would write it, without quotes
	example  string // for the starter file, when there is no default; # becomes a running figure
	only     kinds  // the kinds that it belongs to; none: all
	meaning  string
	set      func(t *target, v value)
}

// kind says how a key's value is written.
type kind uint8

const (
	quantity    kind = iota // a text with a unit
	plainText               // a text of some form
	choice                  // a text out of a list
	yesNo                   // true or false
	wholeNumber             // without a unit
	setting                 // as the control package reads it
)

// kinds are kinds of probe or output, as a site file writes them.
type kinds []string

// has tells whether a key of these kinds goes with a kind.
func (k kinds) has(kind string) bool { return len(k) == 0 || slices.Contains(k, kind) }

// form is what a text has to look like.
type form struct {
	allowed string                   // in words, after "write"
	wrong   func(text string) string // what is wrong, or empty
}

// value is a value that was read; one of its fields is set.
type value struct {
	number float64
	text   string
	on     bool
}

// target is what a table's keys are written to.
type target struct {
	site     *Site
	system   *System
	settings *control.Settings
	probe    *ProbeWiring
	output   *OutputWiring
	wish     *Wish
	index    int // of the system, or control.House
}

// allowed says in words which values the key takes.
func (k *key) allowed() string {
	switch k.kind {
	case quantity:
		return k.unit.Format(k.min) + " to " + k.unit.Format(k.max)
	case wholeNumber:
		return control.Plain.Format(k.min) + " to " + control.Plain.Format(k.max)
	case choice:
		return quotedList(k.choices)
	case yesNo:
		return "true or false"
	case setting:
		return k.setting.Allowed()
	}
	return k.form.allowed
}

// literal writes a value of the key as the file does.
func (k *key) literal(text string) string {
	if k.kind == yesNo || k.kind == wholeNumber {
		return text
	}
	return `"` + text + `"`
}

// sample is a line that shows how the key is written.
func (k *key) sample() string {
	text := k.def
	if text == "" {
		text = k.example
	}
	return k.name + " = " + k.literal(numbered(text, 1))
}

func (t *table) key(name string) *key {
	for i := range t.keys {
		if t.keys[i].name == name {
			return &t.keys[i]
		}
	}
	return nil
}

func (t *table) table(name string) *table {
	for _, sub := range t.tables {
		if sub.name == name {
			return sub
		}
	}
	return nil
}

// header is the table's header line, given the header of its parent.
func (t *table) header(path string) string {
	switch {
	case path == "":
		return "the top of the file"
	case t.list:
		return "[[" + path + "]]"
	}
	return "[" + path + "]"
}
