package site

import (
	"maps"
	"slices"
	"strconv"
	"strings"
)

// walker reads one file and gathers what is wrong with it.
type walker struct {
	file      string
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
	for _, k := range slices.Sorted(maps.Keys(data)) {
		if tab.key(k) == nil && tab.table(k) == nil {
			w.unknown(tab, path, name, k)
		}
	}
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

// manyNames is how many names a message lists at most.
const manyNames = 16

func (w *walker) unknown(tab *table, path, name, k string) {
	key, at := join(name, shortKey(k)), w.at(join(path, k))
	if why, refused := refusedKeys[k]; refused && tab.key("chip") != nil {
		w.wrong(key, at, why[0], why[1])
		return
	}
	var names []string
	for i := range tab.keys {
		names = append(names, tab.keys[i].name)
	}
	for _, sub := range tab.tables {
		names = append(names, sub.name)
	}
	if near := nearest(k, names); near != "" {
		w.meant[join(path, near)] = true
		w.wrong(key, at, "this name is not known", "did you mean "+near+"?")
		return
	}
	if homes := homesOf(&schema, "", k); len(homes) > 0 {
		w.wrong(key, at, "this name does not belong under "+tab.header(name), "move it to "+orList(homes))
		return
	}
	if len(names) > manyNames {
		w.wrong(key, at, "this name is not known", "the starter file lists all that is allowed under "+tab.header(name))
		return
	}
	w.wrong(key, at, "this name is not known", "under "+tab.header(name)+" are allowed "+andList(names))
}

// refusedKeys are keys that people look for and that are left out on purpose.
var refusedKeys = map[string][2]string{
	"active_low": {"a relay that is on while its line is low is not driven by this program: it would click on at every start, and stay on after a crash on many boards",
		"use a relay board that is on while the line is high, and take the key out"},
}

// homesOf lists the headers below which a name is known.
func homesOf(tab *table, name, k string) []string {
	var homes []string
	if tab.key(k) != nil || tab.table(k) != nil {
		homes = append(homes, tab.header(name))
	}
	for _, sub := range tab.tables {
		homes = append(homes, homesOf(sub, join(name, sub.name), k)...)
	}
	if len(homes) > 3 {
		return nil // a name that is at home in many places says nothing
	}
	return homes
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
