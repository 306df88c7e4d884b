package paper

import (
	"fmt"
	"io"
	"regexp"
	"strings"
	"unicode/utf8"
)

// Sheet is plain text for a terminal in the making. Its zero value is empty.
type Sheet struct{ lines []string }

// Columns is how wide a sheet is: as the narrowest usual terminal.
const Columns = 80

// Heading begins a part.
func (s *Sheet) Heading(format string, args ...any) {
	if len(s.lines) > 0 {
		s.lines = append(s.lines, "")
	}
	s.lines = append(s.lines, Plain(fmt.Sprintf(format, args...)))
}

// Say writes sentences, broken into lines that are set in by some columns.
func (s *Sheet) Say(in int, format string, args ...any) {
	s.fill(strings.Repeat(" ", in), in, fmt.Sprintf(format, args...))
}

// Line writes a line as it is, such as one of a chart.
func (s *Sheet) Line(line string) { s.lines = append(s.lines, strings.TrimRight(line, " ")) }

// Row writes a name and what there is to say of it beside it.
func (s *Sheet) Row(name string, column int, format string, args ...any) {
	s.fill("  "+name+strings.Repeat(" ", max(1, column-2-utf8.RuneCountInString(name))), column, fmt.Sprintf(format, args...))
}

// fill breaks text behind a beginning; further lines are set in by some columns.
func (s *Sheet) fill(line string, in int, text string) {
	s.lines = append(s.lines, Lines(Plain(line), in, Columns, Plain(text))...)
}

// Lines breaks text behind a beginning into lines of so many columns, further ones
// set in by some columns. A figure stays with its unit; a word that is longer than a
// line stands out.
func Lines(line string, in, columns int, text string) (lines []string) {
	empty := true
	add := func() { lines = append(lines, strings.ReplaceAll(strings.TrimRight(line, " "), together, " ")) }
	for word := range strings.FieldsSeq(withUnits.ReplaceAllString(text, "$1"+together+"$2")) {
		if !empty && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > columns {
			add()
			line, empty = strings.Repeat(" ", in), true
		}
		if !empty {
			line += " "
		}
		line += word
		empty = false
	}
	add()
	return lines
}

// together stands for a space at which no line breaks, while a line is made; it is
// no space to the standard library.
const together = "\x1f"

// withUnits finds figures with a unit.
var withUnits = regexp.MustCompile(`(\d) (°C|K|W|kWh|kW|l|bar|A|s|min|h|d|%)`)

// Command writes a command line to type; it is never broken.
func (s *Sheet) Command(in int, args ...string) {
	line := strings.Repeat(" ", in) + "sunstoker"
	for _, arg := range args {
		if strings.ContainsAny(arg, " \"'\\$") {
			arg = "'" + strings.ReplaceAll(arg, "'", `'\''`) + "'"
		}
		line += " " + arg
	}
	s.lines = append(s.lines, Plain(line))
}

// Write writes the sheet.
func (s *Sheet) Write(to io.Writer) error {
	_, err := io.WriteString(to, strings.Join(s.lines, "\n")+"\n")
	return err
}

// Capital writes the first letter large.
func Capital(words string) string {
	first, size := utf8.DecodeRuneInString(words)
	if size == 0 {
		return ""
	}
	return strings.ToUpper(string(first)) + words[size:]
}

// Sentence makes a sentence of words that the program gave.
func Sentence(words string) string {
	words = Capital(strings.TrimSpace(words))
	if words == "" {
		return ""
	}
	if !strings.ContainsAny(words[len(words)-1:], ".!?") {
		words += "."
	}
	return words
}
