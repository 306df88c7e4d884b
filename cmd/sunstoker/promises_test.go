package main

import (
	"maps"
	"regexp"
	"slices"
	"testing"

	"sunstoker/site"
)

var named = regexp.MustCompile(`\b[Cc]ommand\s+(?:#\s+)?["` + "`" + `](?:sunstoker )?([^"` + "`" + `]+)["` + "`" + `]`)

// commandsNamed lists the commands that a text sends its reader to.
func commandsNamed(text string) []string {
	found := map[string]bool{}
	for _, match := range named.FindAllStringSubmatch(text, -1) {
		found[match[1]] = true
	}
	return slices.Sorted(maps.Keys(found))
}

// TestTextsNameCommandsThatExist reads the starter files and the reference page.
func TestTextsNameCommandsThatExist(t *testing.T) {
	whole, err := newLine(nil)
	if err != nil {
		t.Fatal(err)
	}
	known := map[string]bool{}
	for c := range whole.All() {
		known[c.Path()] = c.Leaf()
	}
	for where, text := range map[string]string{"the starter file": site.Starter(), "the starter file of a wish": site.WishStarter(), "the reference page": site.Reference()} {
		commands := commandsNamed(text)
		if len(commands) == 0 {
			t.Errorf("%s names no command: is it still told as this test looks for it?", where)
		}
		for _, command := range commands {
			if !known[command] {
				t.Errorf("%s sends its reader to the command %q, which does not exist", where, command)
			}
		}
	}
}

func TestCommandsNamed(t *testing.T) {
	got := commandsNamed("the command \"juggle\" does; the command `sunstoker dance` too, as the command\n# \"sing\" and the command \"juggle\"")
	if want := []string{"dance", "juggle", "sing"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
