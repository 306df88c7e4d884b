package main

import (
	"fmt"
	"maps"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"sunstoker/cmd/line"
	"sunstoker/docs/pagetest"
)

// The pages that come with the program send people to commands. Each must be one that
// there is, spelt as it is typed, and each of this program's is run by some test.

const root = "../.."

var (
	fenced  = regexp.MustCompile("(?ms)^```(?:sh)?\n(.*?)^```$")
	anyCode = regexp.MustCompile("(?ms)^```.*?^```$")
	inline  = regexp.MustCompile("`([^`\n]+)`")
	aWord   = regexp.MustCompile(`[A-Z_]+="[^"]*"|'[^']*'|"[^"]*"|\S+`)
)

// toldCommand is a command of a page, in words.
type toldCommand struct {
	page  string
	words []string
	whole bool // it stands in a block, to be typed as it is
}

func (c toldCommand) String() string { return c.page + ": " + strings.Join(c.words, " ") }

// toldPages are all texts that send people to commands, by their path from the root.
func toldPages(t *testing.T) map[string]string {
	t.Helper()
	texts := pagetest.All(t, root)
	for _, path := range pagetest.Files(t, root+"/.github/*/*.yml") {
		texts[strings.TrimPrefix(path, root+"/")] = pagetest.Read(t, path)
	}
	return texts
}

// toldCommands gathers what begins with one of these programs.
func toldCommands(t *testing.T, programs ...string) (all []toldCommand) {
	t.Helper()
	for page, text := range toldPages(t) {
		for _, b := range fenced.FindAllStringSubmatch(text, -1) {
			for typed := range strings.Lines(b[1]) {
				all = append(all, toldCommand{page, typedWords(typed), true})
			}
		}
		for _, m := range inline.FindAllStringSubmatch(anyCode.ReplaceAllString(text, ""), -1) {
			all = append(all, toldCommand{page, typedWords(strings.ReplaceAll(m[1], `\|`, "|")), false})
		}
	}
	return slices.DeleteFunc(all, func(c toldCommand) bool { return len(c.words) == 0 || !slices.Contains(programs, c.words[0]) })
}

// typedWords are the words of a command up to a comment, a pipe or a file that takes
// its output; what is set for it alone is left out.
func typedWords(typed string) (words []string) {
	for _, w := range aWord.FindAllString(typed, -1) {
		if strings.HasPrefix(w, "#") || w == "|" || w == ">" || w == "&&" {
			break
		}
		if len(words) == 0 && (w == "sudo" || regexp.MustCompile(`^[A-Z_]+=`).MatchString(w)) {
			continue
		}
		words = append(words, strings.Trim(w, `'"`))
	}
	return words
}

// TestPagesNameCommandsOfTheProgram, all of which are run by a script with the flags that
// they have there, but for "watch", which TestWatchTheDemo runs.
func TestPagesNameCommandsOfTheProgram(t *testing.T) {
	told := toldCommands(t, "sunstoker")
	if len(told) < 40 {
		t.Errorf("%d commands were found; are they written in another way now?", len(told))
	}
	scripts := ""
	for _, path := range pagetest.Files(t, "testdata/script/*.txtar") {
		scripts += pagetest.Read(t, path)
	}
	scripts += pagetest.Read(t, root+"/.ci/bench") // with a daemon in real time
	for _, c := range told {
		path, err := commandOf(c)
		if err != nil {
			t.Errorf("%v: %v", c, err)
			continue
		}
		if c.whole && path != "watch" && !regexp.MustCompile(`(?m)^sunstoker `+path+`( |$)`).MatchString(scripts) {
			t.Errorf("%v: no script under testdata runs it", c)
		}
		for _, w := range c.words[1:] {
			flag, _, _ := strings.Cut(w, "=")
			if c.whole && strings.HasPrefix(flag, "--") && !regexp.MustCompile(`(?m)sunstoker `+path+` .*`+flag+`\b|"\$program" `+path+` .*`+flag+`\b`).MatchString(scripts) {
				t.Errorf("%v: no script under testdata, nor .ci/bench, gives it %s", c, flag)
			}
		}
	}
	for _, wrong := range []toldCommand{{words: []string{"sunstoker", "juggle"}}, {words: []string{"sunstoker", "check", "--backwards"}}, {words: []string{"sunstoker", "history", "sing"}, whole: true}} {
		if path, err := commandOf(wrong); err == nil {
			t.Errorf("%v passes as %q", wrong, path)
		}
	}
}

// commandOf has the real command line read what a page says.
func commandOf(c toldCommand) (path string, err error) {
	whole, err := newLine(func(any) error { return nil })
	if err != nil {
		return "", err
	}
	if c.whole {
		whole.SetArgs(c.words[1:])
		done, err := whole.ExecuteC()
		if err != nil {
			return "", err
		}
		return behind(done.CommandPath()), nil
	}
	paths := map[string]*line.Command{}
	for known := range whole.All() {
		paths[known.Path()] = known
	}
	for n := min(len(c.words)-1, 2); n > 0; n-- {
		path := strings.Join(c.words[1:n+1], " ")
		known, is := paths[path]
		if !is {
			continue
		}
		for _, w := range c.words[n+1:] {
			name, flag := strings.CutPrefix(w, "--")
			name, _, _ = strings.Cut(name, "=")
			if flag && name != "help" && known.Flags().Lookup(name) == nil {
				return "", fmt.Errorf("the command %q has no flag %q", path, w)
			}
		}
		return path, nil
	}
	return "", fmt.Errorf("there is no such command")
}

func behind(path string) string {
	_, rest, _ := strings.Cut(path, " ")
	return rest
}

func TestPagesNameTargetsThatThereAre(t *testing.T) {
	makefile := pagetest.Read(t, root+"/Makefile")
	told := toldCommands(t, "make")
	if len(told) < 40 {
		t.Errorf("%d targets were found", len(told))
	}
	for _, c := range told {
		for _, target := range c.words[1:] {
			if !strings.Contains(target, "=") && !strings.Contains(makefile, "\n"+target+":") {
				t.Errorf("%v: there is no target %q", c, target)
			}
		}
	}
}

// TestPagesNameTestsThatThereAre: what stands behind -run, -bench and -fuzz fits some
// function of the packages that are named.
func TestPagesNameTestsThatThereAre(t *testing.T) {
	told := toldCommands(t, "go")
	tried := 0
	for _, c := range told {
		if len(c.words) < 3 || c.words[1] != "test" {
			continue
		}
		var functions []string
		for _, w := range c.words {
			if folder, is := strings.CutPrefix(w, "./"); is && folder != "..." {
				functions = slices.AppendSeq(functions, maps.Keys(pagetest.Functions(t, filepath.Join(root, folder))))
			}
		}
		for i, w := range c.words[:len(c.words)-1] {
			kind, is := map[string]string{"-run": "Test", "-bench": "Benchmark", "-fuzz": "Fuzz"}[w]
			pattern := c.words[i+1]
			if !is || pattern == "^$" || pattern == "XXX" || len(functions) == 0 {
				continue
			}
			tried++
			pattern, _, _ = strings.Cut(pattern, "/")
			fits := regexp.MustCompile(pattern)
			if !slices.ContainsFunc(functions, func(f string) bool { return strings.HasPrefix(f, kind) && fits.MatchString(f) }) {
				t.Errorf("%v: nothing is called so there", c)
			}
		}
	}
	if tried < 10 {
		t.Errorf("%d patterns were tried", tried)
	}
}
