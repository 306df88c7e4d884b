package site

import (
	"cmp"
	"slices"
	"strconv"
)

// manyNames is how many names a message lists at most.
const manyNames = 24

// manyUnknown is how many unknown names of one table are told one by one.
const manyUnknown = 100

func (w *walker) unknownNames(tab *table, path, name string, data map[string]any) {
	var names []string
	for k := range data {
		if tab.key(k) == nil && tab.table(k) == nil {
			names = append(names, k)
		}
	}
	w.inFileOrder(path, names)
	for _, k := range names[:min(len(names), manyUnknown)] {
		w.unknown(tab, path, name, k)
	}
	if more := len(names) - manyUnknown; more > 0 {
		under := "under " + tab.header(name)
		if name == "" {
			under = "at the top of the file"
		}
		w.wrong(name, w.at(join(path, names[manyUnknown])), strconv.Itoa(more)+" more names "+under+", from here on, are not known", "see that this is the right file")
	}
}

// inFileOrder sorts names of one table by where they are written.
func (w *walker) inFileOrder(path string, names []string) {
	places := make(map[string]position, len(names))
	for _, k := range names {
		places[k] = w.at(join(path, k))
	}
	slices.SortFunc(names, func(a, b string) int {
		return cmp.Or(cmp.Compare(places[a].line, places[b].line), cmp.Compare(places[a].column, places[b].column), cmp.Compare(a, b))
	})
}

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
	if near := Nearest(k, names); near != "" {
		w.meant[join(path, near)] = true
		w.wrong(key, at, "this name is not known", "did you mean "+near+"?")
		return
	}
	if homes := homesOf(w.root, "", k); len(homes) > 0 {
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
