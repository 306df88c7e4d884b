package paper

import (
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"
)

// TestSheet: lines are no wider than a terminal, a figure keeps its unit, and a
// command line is never broken.
func TestSheet(t *testing.T) {
	var s Sheet
	s.Heading("Heading")
	s.Say(2, "%s", strings.Repeat("the tank is at 45.5 °C and gives 2000 W for 5 l/min; ", 9))
	s.Row("tank top", 24, "%s", strings.Repeat("words ", 30))
	s.Heading("Further")
	s.Command(2, "explain", strings.Repeat("long/", 20)+"site's file.toml")
	var out strings.Builder
	if err := s.Write(&out); err != nil {
		t.Fatal(err)
	}
	for line := range strings.SplitSeq(out.String(), "\n") {
		if n := utf8.RuneCountInString(line); n > Columns && !strings.Contains(line, "explain") {
			t.Errorf("%d letters: %s", n, line)
		}
		for _, unit := range []string{"°C", "W ", "l/min"} {
			if strings.HasPrefix(strings.TrimSpace(line), unit) {
				t.Errorf("a unit stands without its figure: %s", line)
			}
		}
	}
	for _, want := range []string{"Heading\n  the tank", "\n  tank top              words", "\n                        words", "words\n\nFurther\n", `long/site'\''s file.toml'`} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("%q is not in\n%s", want, out.String())
		}
	}
}

func TestSentence(t *testing.T) {
	for words, want := range map[string]string{"": "", "the tank is full": "The tank is full.", " é!": "É!"} {
		if got := Sentence(words); got != want {
			t.Errorf("%q becomes %q, want %q", words, got, want)
		}
	}
}

// TestNothingSteersTheTerminal: whatever stands in a text.
func TestNothingSteersTheTerminal(t *testing.T) {
	const nasty = "a\x1b[2Jb\rc\x9bd\x1fe\u202ef\u2028g\xffh"
	var s Sheet
	s.Heading("%s", nasty)
	s.Say(2, "%s", nasty)
	s.Row(nasty, 10, "%s", nasty)
	s.Command(2, nasty)
	var out strings.Builder
	if err := s.Write(&out); err != nil || strings.ContainsFunc(strings.ReplaceAll(out.String(), "\n", ""), func(r rune) bool { return !unicode.IsPrint(r) }) {
		t.Errorf("%v: %q", err, out.String())
	}
}

// TestPlain: letters of any language stay, and what can't be seen is shown to be there.
func TestPlain(t *testing.T) {
	for text, want := range map[string]string{
		"Dach é 屋根 47.8 °C": "Dach é 屋根 47.8 °C", "a\r\n\tb": "a   b", "two\u00a0words\u2029": "two words ",
		"\x1b[31m": "?[31m", "\u202efoor": "?foor", "soft\u00adhyphen": "soft?hyphen", "\xff\x9b": "??", "": "",
	} {
		if got := Plain(text); got != want {
			t.Errorf("%q becomes %q, want %q", text, got, want)
		}
	}
}
