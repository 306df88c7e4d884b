package terminal

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode"

	"pgregory.net/rapid"

	"sunstoker/dashboard"
	"sunstoker/planner/paper/papertest"
)

var update = flag.Bool("update", false, "write the pictures anew")

// sample is a house of the interface's own samples.
func sample(t testing.TB, name string) *dashboard.Now {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	h, err := readTick(text)
	if err != nil {
		t.Fatal(err)
	}
	return h.now
}

// TestPictures: read the pictures before you keep new ones.
func TestPictures(t *testing.T) {
	sunny, trouble := sample(t, "now_sunny.json"), sample(t, "now_trouble.json")
	for _, c := range []struct {
		name          string
		view          view
		columns, rows int
	}{
		{"sunny-40x24", view{line: live, now: sunny}, 40, 24},
		{"sunny-80x24", view{line: live, now: sunny}, 80, 24},
		{"sunny-160x50", view{line: live, now: sunny}, 160, 50},
		{"sunny-no-terminal", view{line: live, now: sunny}, usualColumns, 0},
		{"trouble-40x60", view{line: live, now: trouble}, 40, 60},
		{"trouble-80x24", view{line: live, now: trouble}, 80, 24},
		{"old-40x24", view{line: old, now: sunny, age: 3 * time.Minute}, 40, 24},
		{"old-80x24", view{line: old, now: sunny, age: 3 * time.Minute}, 80, 24},
		{"lost-80x24", view{line: lost, now: sunny, age: time.Hour, trouble: "No daemon answers at http://127.0.0.1:8017/."}, 80, 24},
		{"never-heard-40x24", view{line: lost, trouble: "No daemon answers at http://127.0.0.1:8017/."}, 40, 24},
		{"waiting-80x24", view{line: waiting}, 80, 24},
	} {
		var b strings.Builder
		if err := writePicture(&b, picture(c.view, c.columns, c.rows)); err != nil {
			t.Fatal(err)
		}
		golden(t, "picture-"+c.name+".txt", b.String())
	}
}

func TestPlainLines(t *testing.T) {
	var b strings.Builder
	for _, v := range []view{
		{line: connecting}, {line: waiting},
		{line: live, now: sample(t, "now_sunny.json")}, {line: live, now: sample(t, "now_trouble.json")},
		{line: old, now: sample(t, "now_sunny.json"), age: 2 * time.Hour},
		{line: lost, now: sample(t, "now_sunny.json"), age: 80 * time.Hour, trouble: "No daemon answers."},
	} {
		fmt.Fprintln(&b, strings.Join(plainLines(v), "\n"))
	}
	golden(t, "lines.txt", b.String())
}

func golden(t *testing.T, name, got string) {
	t.Helper()
	papertest.Kept(t, filepath.Join("testdata", name), got, *update)
}

// TestNothingSteersTheTerminal: whatever a daemon sends, on whatever terminal.
func TestNothingSteersTheTerminal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{"\x1b[2J", "a\nb", "\u202eroof", "屋根 の上", "e\u0301\u0301", "\x9b31m"}))
		top := rapid.Float64Range(-1e300, 1e300).Draw(t, "top")
		now := &dashboard.Now{Site: words.Draw(t, "site"), Systems: []dashboard.System{{
			Name:     words.Draw(t, "system"),
			Readings: []dashboard.Reading{{Place: "tank_top", Value: &top, Quality: rapid.SampledFrom([]string{"good", "missing"}).Draw(t, "quality")}},
			Outputs:  []dashboard.Output{{Words: words.Draw(t, "output"), Fault: words.Draw(t, "fault"), Reason: dashboard.Reason{Text: words.Draw(t, "reason")}}},
		}}, Findings: []dashboard.Finding{{Title: words.Draw(t, "title"), About: words.Draw(t, "about"), Urgency: words.Draw(t, "urgency"), Check: words.Draw(t, "check")}}}
		v := view{line: line(rapid.IntRange(0, int(lost)).Draw(t, "line")), now: now, trouble: words.Draw(t, "trouble")}
		columns, rows := rapid.IntRange(1, 200).Draw(t, "columns"), rapid.IntRange(1, 80).Draw(t, "rows")
		got := picture(v, columns, rows)
		if len(got) > rows {
			t.Errorf("%d rows of %d", len(got), rows)
		}
		for _, r := range got {
			check(t, r.text)
			if width(r.text) > columns {
				t.Errorf("%q is wider than %d", r.text, columns)
			}
		}
		for _, line := range plainLines(v) {
			check(t, line)
		}
	})
}

func check(t *rapid.T, text string) {
	for _, r := range text {
		if unicode.IsControl(r) || unicode.Is(unicode.Cf, r) || r == '\u2028' || r == '\u2029' {
			t.Errorf("%q holds %U", text, r)
		}
	}
}

func TestDrawn(t *testing.T) {
	rows := []row{{strong, "House"}, {usual, "off"}}
	if got, want := drawn(rows, true), "\x1b[H\x1b[2K\x1b[1mHouse\x1b[0m\r\n\x1b[2Koff\x1b[0J"; got != want {
		t.Errorf("with colours %q, want %q", got, want)
	}
	if got, want := drawn(rows, false), "\x1b[H\x1b[2KHouse\r\n\x1b[2Koff\x1b[0J"; got != want {
		t.Errorf("without %q, want %q", got, want)
	}
}

// TestDigits: every digit has its own shape, and whatever is drawn large has one.
func TestDigits(t *testing.T) {
	seen := map[[5]string]rune{}
	for r, shape := range blocks {
		if other, is := seen[shape]; is {
			t.Errorf("%c looks like %c", r, other)
		}
		seen[shape] = r
		for _, cells := range shape {
			if len(cells) != blockColumns {
				t.Errorf("%c has %d cells", r, len(cells))
			}
		}
	}
	for _, text := range []string{"0123456789", "-9", "?", "OLD 61°C"} {
		for _, size := range []int{1, 3} {
			rows := large(text, size)
			if len(rows) != blockRows*size {
				t.Errorf("%q at %d: %d rows", text, size, len(rows))
			}
			for _, row := range rows {
				if width(row) > largeWidth(text, size) {
					t.Errorf("%q at %d is wider than it says", text, size)
				}
			}
		}
	}
}

func TestWords(t *testing.T) {
	for tempC, want := range map[float64]string{29.9: "cold", 30: "lukewarm", 38: "warm", 45: "hot", 59.9: "hot", 60: "very hot"} {
		if got := waterWord(tempC); got != want {
			t.Errorf("%g °C is %q, want %q", tempC, got, want)
		}
	}
	for litres, want := range map[float64]string{0.4: "No water at 40 °C is left.", 1.5: "1 litre at 40 °C, enough for no shower.", 89: "89 litres at 40 °C, enough for 1 shower."} {
		if got := litresLeft(&dashboard.System{HotLitres: &litres, TapC: 40}); got != want {
			t.Errorf("%g l: %q, want %q", litres, got, want)
		}
	}
	for _, sun := range []string{"yes", "no", "unknown"} {
		for _, meter := range []string{"yes", "no", "unknown"} {
			words := heating(sun, meter)
			if strings.Contains(words, "not known") != (sun == "unknown" || meter == "unknown") {
				t.Errorf("sun %s, meter %s: %q", sun, meter, words)
			}
		}
	}
}
