package site

import (
	"strconv"
	"strings"
)

// walker reads one file and gathers what is wrong with it.
type walker struct {
	file      string
	root      *table // of all names of the file
	positions positionMap
	mistakes  []Mistake
	advice    []Mistake
	site      *Site

	// sound holds the paths of the keys whose value can be relied on, written
	// or by default, so that no check speaks about figures nobody has written.
	sound map[string]bool

	meant map[string]bool // paths that an unknown name was most likely meant for

	systems []*System
	probes  []*ProbeWiring
	outputs []*OutputWiring

	connections []Connection // the Modbus lines that were seen so far
}

func (w *walker) wrongLine(at position, what, do string) { w.wrong("", at, what, do) }

func (w *walker) wrong(key string, at position, what, do string) {
	w.mistakes = append(w.mistakes, Mistake{File: w.file, Line: at.line, Column: at.column, Key: key, What: what, Do: do})
}

func (w *walker) advise(key string, at position, what, do string) {
	w.advice = append(w.advice, Mistake{File: w.file, Line: at.line, Column: at.column, Key: key, What: what, Do: do})
}

// at gives the position of the first of the paths that is written.
func (w *walker) at(paths ...string) position {
	for _, path := range paths {
		if at, ok := w.positions[path]; ok {
			return at
		}
	}
	return position{}
}

// written tells whether a key or table stands in the file.
func (w *walker) written(path string) bool {
	_, there := w.positions[path]
	return there
}

// spoken is a path as a person says it, without the numbers of the systems.
func spoken(path string) string {
	if tail, ofSystem := strings.CutPrefix(path, "system["); ofSystem {
		_, tail, _ = strings.Cut(tail, "]")
		return "system" + tail
	}
	return path
}

// where gives the position of a path, or of the nearest table around it.
func (w *walker) where(path string) position {
	for path != "" {
		if at, ok := w.positions[path]; ok {
			return at
		}
		cut := strings.LastIndexAny(path, ".[")
		path = path[:max(0, cut)]
	}
	return position{}
}

// walk reads a table. path tells where the data is, name is its header as a
// person writes it. A table that is not written is walked all the same, so
// that its keys take their defaults.
func (w *walker) walk(tab *table, path, name string, data map[string]any, written bool, t target) {
	if tab.enter != nil && (written || tab.name == "settings") {
		tab.enter(w, &t, w.where(path))
	}
	w.unknownNames(tab, path, name, data)
	for i := range tab.keys {
		w.key(&tab.keys[i], tab, path, name, data, written, &t)
	}
	for _, sub := range tab.tables {
		w.subTable(sub, join(path, sub.name), join(name, sub.name), data, written, t)
	}
}

func (w *walker) subTable(sub *table, path, name string, data map[string]any, written bool, t target) {
	raw, there := data[sub.name]
	if !there {
		if sub.required && written && !w.meant[path] {
			w.missingTable(sub, path, name)
		}
		if !sub.list && (len(sub.tables) == 0) && !sub.onlyWhenWritten() {
			w.walk(sub, path, name, nil, false, t)
		}
		return
	}
	if sub.list {
		w.list(sub, path, name, raw, t)
		return
	}
	inner, ok := raw.(map[string]any)
	if !ok {
		w.wrong(name, w.at(path), "this is "+sortOf(raw)+", but a table is wanted", "write the header "+sub.header(name)+" and its keys below it, one per line")
		return
	}
	w.walk(sub, path, name, inner, true, t)
}

// onlyWhenWritten tells of tables that stand for a thing: without the table
// there is no such thing, and nothing to give defaults to.
func (tab *table) onlyWhenWritten() bool { return tab.enter != nil && tab.name != "settings" }

func (w *walker) list(sub *table, path, name string, raw any, t target) {
	elements, ok := raw.([]any)
	if ok {
		for _, e := range elements {
			if _, isTable := e.(map[string]any); !isTable {
				ok = false
			}
		}
	}
	switch {
	case !ok:
		w.wrong(name, w.at(path), "this is "+sortOf(raw), "write every "+sub.name+" under a header of its own, "+sub.header(name)+" with two brackets on each side")
	case len(elements) == 0:
		w.missingTable(sub, path, name)
	}
	if !ok {
		return
	}
	for i, e := range elements[:min(len(elements), maxSystems+1)] {
		w.walk(sub, element(path, i), name, e.(map[string]any), true, t)
	}
}

func (w *walker) missingTable(sub *table, path, name string) {
	var needs []string
	for i := range sub.keys {
		if sub.keys[i].required {
			needs = append(needs, sub.keys[i].name)
		}
	}
	w.wrong(name, w.where(path), "the table "+sub.header(name)+" is missing", "add it, with "+andList(needs)+" below it")
}

// sortOf names what TOML has read.
func sortOf(raw any) string {
	switch v := raw.(type) {
	case string:
		return "the text " + strconv.Quote(shorten(v))
	case bool:
		return "true or false"
	case int64:
		return "the plain number " + strconv.FormatInt(v, 10)
	case float64:
		return "the plain number " + strconv.FormatFloat(v, 'g', -1, 64)
	case map[string]any:
		return "a table"
	case []any:
		return "a list"
	}
	return "a date or a time"
}
