package site

import (
	"slices"
	"strconv"

	"github.com/pelletier/go-toml/v2/unstable"
)

// position is a place in the file, both from 1; the zero position is the whole
// file.
type position struct{ line, column int }

// lines turns an offset into a position.
type lines []int // offset of every line's first byte

func newLines(data []byte) lines {
	starts := lines{0}
	for i, c := range data {
		if c == '\n' {
			starts = append(starts, i+1)
		}
	}
	return starts
}

func (l lines) at(offset int) position {
	line, found := slices.BinarySearch(l, offset)
	if !found {
		line--
	}
	return position{line + 1, offset - l[line] + 1}
}

// maxDepth is how deep keys are followed. The schema ends well before; deeper
// ones are not known anyway and are reported where they begin.
const maxDepth = 8

// positionMap says where each key and table is written. Paths look like
// "system[0].collector.area".
type positionMap map[string]position

// positionsOf finds the position of every key in text that the library has
// accepted.
func positionsOf(data []byte) positionMap {
	m := &mapper{found: positionMap{}, explicit: map[string]bool{}, counts: map[string]int{}, lines: newLines(data)}
	var p unstable.Parser
	p.Reset(data)
	current := ""
	for p.NextExpression() {
		e := p.Expression()
		switch e.Kind {
		case unstable.Table, unstable.ArrayTable:
			current = m.header(e)
		case unstable.KeyValue:
			m.keyValue(current, e, 0)
		}
	}
	return m.found
}

type mapper struct {
	found    positionMap
	explicit map[string]bool // tables that have a header of their own
	counts   map[string]int  // how many elements a list of tables has so far
	lines    lines
}

func (m *mapper) note(path string, key *unstable.Node) {
	if _, there := m.found[path]; !there {
		m.found[path] = m.lines.at(int(key.Raw.Offset))
	}
}

// header notes the tables that a header names and gives the path of the last.
func (m *mapper) header(e *unstable.Node) string {
	path, depth := "", 0
	for keys := e.Key(); keys.Next(); depth++ {
		key := keys.Node()
		if depth < maxDepth {
			path = join(path, string(key.Data))
		}
		m.note(path, key)
		if keys.IsLast() && e.Kind == unstable.ArrayTable {
			m.counts[path]++
		}
		if n := m.counts[path]; n > 0 {
			path = element(path, n-1)
			m.note(path, key)
		}
		if keys.IsLast() && !m.explicit[path] {
			m.explicit[path] = true
			m.found[path] = m.lines.at(int(key.Raw.Offset))
		}
	}
	return path
}

func (m *mapper) keyValue(path string, e *unstable.Node, depth int) {
	for keys := e.Key(); keys.Next(); depth++ {
		if depth < maxDepth {
			path = join(path, string(keys.Node().Data))
		}
		m.note(path, keys.Node())
	}
	m.value(path, e.Value(), depth)
}

func (m *mapper) value(path string, v *unstable.Node, depth int) {
	if depth >= maxDepth {
		return
	}
	switch v.Kind {
	case unstable.InlineTable:
		for children := v.Children(); children.Next(); {
			m.keyValue(path, children.Node(), depth)
		}
	case unstable.Array:
		i := 0
		for children := v.Children(); children.Next(); i++ {
			m.value(element(path, i), children.Node(), depth+1)
		}
	}
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

func element(path string, i int) string { return path + "[" + strconv.Itoa(i) + "]" }
