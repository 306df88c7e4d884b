package site

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
)

// Mistake is one thing wrong with a site file, or, in [Site.Advice], one thing
// worth a thought.
type Mistake struct {
	File   string
	Line   int    // from 1; 0 when it is about the whole file
	Column int    // in bytes, from 1; 0 when Line is 0
	Key    string // such as "system.collector.area"; empty when it is about the whole file or a line
	What   string // what is wrong, with the figures
	Do     string // what is allowed, or what to do
}

// String is the mistake in one line: "file:line: key: what; do".
func (m Mistake) String() string {
	var b strings.Builder
	b.WriteString(m.File)
	if m.Line > 0 {
		fmt.Fprintf(&b, ":%d", m.Line)
	}
	b.WriteString(": ")
	if m.Key != "" {
		b.WriteString(m.Key + ": ")
	}
	b.WriteString(m.What + "; " + m.Do)
	return b.String()
}

// Mistakes is the error of [Load] and [Parse]: everything that is wrong, in
// the order of the file.
type Mistakes struct {
	List []Mistake // at least one
}

// Error gives the mistakes, one per line.
func (m *Mistakes) Error() string { return Lines(m.List) }

// Refusal says why [Parse] has refused a file that nobody has written as it is,
// such as one with a changed setting: without its places.
func Refusal(err error) string {
	mistakes, are := errors.AsType[*Mistakes](err)
	if !are {
		return err.Error()
	}
	var out []string
	for _, m := range mistakes.List {
		if text := m.What + "; " + m.Do; !slices.Contains(out, text) { // of several systems alike
			out = append(out, text)
		}
	}
	return strings.Join(out, ". ")
}

// Lines writes mistakes or advice one per line.
func Lines(list []Mistake) string {
	lines := make([]string, len(list))
	for i, m := range list {
		lines[i] = m.String()
	}
	return strings.Join(lines, "\n")
}

// inOrder puts mistakes in the order of the file and drops what is said twice,
// as a setting of the house that clashes with settings of several systems is.
func inOrder(list []Mistake) []Mistake {
	slices.SortStableFunc(list, func(a, b Mistake) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column), cmp.Compare(a.Key, b.Key), cmp.Compare(a.What, b.What))
	})
	return slices.Compact(list)
}
