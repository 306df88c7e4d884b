package site

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// oddValues stand where a slip of the pen or of the mind may put them.
var oddValues = []string{`"8 K"`, `"-3 °C"`, `"70 °C"`, `"0 s"`, `"2 h"`, `""`, `"simulated"`, `"level file"`, `"natural"`, `"water"`,
	`"nan K"`, `3`, `-1.5`, `inf`, `true`, `[]`, `[{}]`, `{}`, `{kind = "relay"}`, `1979-05-27`, `"GPIO21"`, `"28-000000000001"`, `"99 %"`, `"never"`}

// TestMangledFiles does to the starter file what people do to files: drop
// lines, swap them, write them twice, put other values. It reaches deeper than
// the fuzz target, since most of what comes out is still TOML.
func TestMangledFiles(t *testing.T) {
	var lines []string
	for line := range strings.SplitSeq(Starter(), "\n") {
		if line != "" && !strings.HasPrefix(line, "# ") {
			line = strings.TrimPrefix(line, "#")
			lines = append(lines, line)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		text := append([]string(nil), lines...)
		for range rapid.IntRange(1, 6).Draw(t, "edits") {
			i := rapid.IntRange(0, len(text)-1).Draw(t, "line")
			switch rapid.IntRange(0, 3).Draw(t, "edit") {
			case 0:
				text[i] = ""
			case 1:
				j := rapid.IntRange(0, len(text)-1).Draw(t, "other")
				text[i], text[j] = text[j], text[i]
			case 2:
				if key, _, ok := strings.Cut(text[i], " = "); ok {
					text[i] = key + " = " + rapid.SampledFrom(oddValues).Draw(t, "value")
				}
			case 3:
				j := rapid.IntRange(0, len(text)-1).Draw(t, "other")
				text[i] += "\n" + text[j]
			}
		}
		checkParse(t, []byte(strings.Join(text, "\n")))
	})
}

// TestHugeFilesEnd: files as large as may be, made to be slow.
func TestHugeFilesEnd(t *testing.T) {
	many := func(n int, line string) []byte {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, line, i)
		}
		return []byte(b.String())
	}
	for name, data := range map[string][]byte{
		"keys":       many(20000, "key%d = 1\n"),
		"systems":    many(50000, "[[system]]\n#%d\n"),
		"tables":     many(20000, "[system%d]\n"),
		"deep key":   []byte(strings.Repeat("a.", 400000) + "a = 1"),
		"deep table": []byte("[" + strings.Repeat("a.", 400000) + "a]"),
		"deep lists": []byte("a = " + strings.Repeat("[", 9000) + strings.Repeat("]", 9000)),
		"long text":  []byte(`name = "` + strings.Repeat("x", 1<<20-100) + `"`),
		"list":       []byte("system = [" + strings.Repeat("{},", 300000) + "]"),
	} {
		t.Run(name, func(t *testing.T) {
			if len(data) > maxBytes {
				t.Fatal("the file is refused for its size")
			}
			checkParse(t, data)
		})
	}
}
