package dashboard

import (
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// The text format of Prometheus, version 0.0.4 (prometheus.io/docs/instrumenting/
// exposition_formats, from memory; the tests read it with that project's own
// parser). It is written here and not by that project's client library, whose
// registry, protocol buffers and compression took a third of the daemon's memory
// on a board, and four times as long.

// textType is the media type of the format.
const textType = "text/plain; version=0.0.4; charset=utf-8"

// family is all series of one name.
type family struct {
	name, kind, help string
	labels           []string
}

func gauge(name, help string, labels ...string) *family {
	return &family{name, "gauge", help, labels}
}

func counter(name, help string, labels ...string) *family {
	return &family{name, "counter", help, labels}
}

// exposition is a scrape that is being written. It can be used again.
type exposition struct {
	series map[*family][]byte // the lines of each family
	text   []byte
}

func newExposition() *exposition { return &exposition{series: map[*family][]byte{}} }

// begin forgets what was written.
func (e *exposition) begin() {
	for f, lines := range e.series {
		e.series[f] = lines[:0]
	}
}

// put adds a series: one value for each label of the family. A label that is no
// UTF-8 is made some, since it would spoil the whole scrape.
func (e *exposition) put(f *family, v float64, values ...string) {
	to := append(e.series[f], f.name...)
	for i, label := range f.labels {
		to = append(to, separator(i))
		to = append(append(to, label...), `="`...)
		to = append(appendLabel(to, values[i]), '"')
	}
	if len(f.labels) > 0 {
		to = append(to, '}')
	}
	e.series[f] = append(appendValue(append(to, ' '), v), '\n')
}

func separator(i int) byte {
	if i == 0 {
		return '{'
	}
	return ','
}

// flag adds 1 or 0.
func (e *exposition) flag(f *family, is bool, values ...string) {
	v := 0.0
	if is {
		v = 1
	}
	e.put(f, v, values...)
}

// end gives the whole text, with the families in the given order. It is good until
// the next begin.
func (e *exposition) end(order []*family) []byte {
	e.text = e.text[:0]
	for _, f := range order {
		if len(e.series[f]) == 0 {
			continue
		}
		for _, part := range []string{"# HELP ", f.name, " ", f.help, "\n# TYPE ", f.name, " ", f.kind, "\n"} {
			e.text = append(e.text, part...)
		}
		e.text = append(e.text, e.series[f]...)
	}
	return e.text
}

func appendLabel(to []byte, value string) []byte {
	if !utf8.ValidString(value) {
		value = strings.ToValidUTF8(value, "\uFFFD")
	}
	for i := range len(value) {
		switch c := value[i]; c {
		case '\\', '"':
			to = append(to, '\\', c)
		case '\n':
			to = append(to, `\n`...)
		default:
			to = append(to, c)
		}
	}
	return to
}

func appendValue(to []byte, v float64) []byte {
	switch {
	case math.IsInf(v, 1):
		return append(to, "+Inf"...)
	case math.IsInf(v, -1):
		return append(to, "-Inf"...)
	}
	return strconv.AppendFloat(to, v, 'g', -1, 64) // also NaN
}
