package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"sunstoker/docs/pagetest"
)

// Every block of every page is run by some test: by the kind that stands behind its
// fence, or by how it begins. The lines that are typed in a shell have a table of their
// own, by program.

// shownBlock is how a page shows something, and the tests that take it for real.
type shownBlock struct {
	kind   string // behind the fence
	begins string // as a pattern
	tests  []string
}

var shownBlocks = []shownBlock{
	{"go", `package `, []string{"docs.TestTheWorkedRule", "docs.TestTheWorkedProbeKind"}},
	{"diff", `[ +-]`, []string{"docs.TestTheWorkedRule", "docs.TestTheWorkedProbeKind"}},
	{"toml", ``, []string{"docs.TestTheGuidesSiteFileLoads", "docs.TestPiecesOfOtherPagesLoad", "station/trial.TestTheScriptOnThePage"}},
	{"http", `[A-Z]+ /api/`, []string{"dashboard.TestAPIPageTellsTheTruth"}},
	{"json", `\{`, []string{"dashboard.TestAPIPageTellsTheTruth"}},
	{"csv", `# light|time,light`, []string{"station.TestThePageShowsAForecast"}},
	{"", `> house `, []string{"control.TestThePageShowsOrders"}},
	{"", `> sweep `, []string{"control.TestThePageShowsOrders"}},
	{"", `user sunstoker\n`, []string{"cmd/sunstoker.TestTheBrokersListIsTheOneTried"}},
	{"", ` sensors ──`, nil}, // a drawing
	{"sh", typedPrograms, []string{"cmd/sunstoker.TestTypedLinesHaveTheirTests"}},
	{"", typedPrograms, []string{"cmd/sunstoker.TestTypedLinesHaveTheirTests"}},
}

const typedPrograms = `(?:sudo )?(?:` + `sunstoker|make|go|apt|dpkg|curl` + `) `

var anyBlock = regexp.MustCompile("(?ms)^```(\\w*)[^\n]*\n(.*?)^```$")

func TestEveryBlockHasItsTest(t *testing.T) {
	used := make([]bool, len(shownBlocks))
	for page, text := range toldPages(t) {
		for _, m := range anyBlock.FindAllStringSubmatch(text, -1) {
			i := slices.IndexFunc(shownBlocks, func(b shownBlock) bool {
				return b.kind == m[1] && regexp.MustCompile(`^(?:`+b.begins+`)`).MatchString(m[2])
			})
			if i < 0 {
				begin, _, _ := strings.Cut(m[2], "\n")
				t.Errorf("%s: no test is known that runs the block that begins with %q", page, begin)
				continue
			}
			used[i] = true
		}
	}
	for i, b := range shownBlocks {
		if !used[i] {
			t.Errorf("no page shows a block %q that begins with %q", b.kind, b.begins)
		}
		for _, test := range b.tests {
			folder, name, _ := strings.Cut(test, ".")
			if !pagetest.Functions(t, filepath.Join(root, folder))[name] {
				t.Errorf("the block %q is left to %s, and there is no such test", b.kind, test)
			}
		}
	}
}

// typedBy says of each program that pages send people to how its lines are tried.
var typedBy = map[string]func(*testing.T, toldCommand){
	"sunstoker": nil, // TestPagesNameCommandsOfTheProgram, TestWhatPagesBeginWithRuns
	"make":      nil, // TestPagesNameTargetsThatThereAre
	"go":        nil, // TestPagesNameTestsThatThereAre
	"apt":       installs,
	"dpkg":      installs,
	"systemctl": startsUnits,
	"man":       func(t *testing.T, c toldCommand) { stands(t, c, ".ci/package", `man -l "$work/sunstoker.1"`) },
	"curl":      asksTheDaemon,
	"promtool":  runsInCI,
	"amtool":    runsInCI,
	"kill":      nil, // names what SAFETY.md tells of; make hil does it
	"uname":     nil, // ends by itself on any board
}

// TestTypedLinesHaveTheirTests: in blocks nothing but these programs is typed, in lines
// that a shell reads; each line, and each that stands in a text, is tried.
func TestTypedLinesHaveTheirTests(t *testing.T) {
	for page, text := range toldPages(t) {
		for _, m := range anyBlock.FindAllStringSubmatch(text, -1) {
			if !regexp.MustCompile(`^` + typedPrograms).MatchString(m[2]) {
				continue
			}
			shell := exec.Command("sh", "-n")
			shell.Stdin = strings.NewReader(m[2])
			if out, err := shell.CombinedOutput(); err != nil {
				t.Errorf("%s: a shell does not read its lines: %v, %s", page, err, out)
			}
			for typed := range strings.Lines(m[2]) {
				if words := typedWords(typed); len(words) > 0 {
					if _, known := typedBy[words[0]]; !known {
						t.Errorf("%s: no test is known that runs %q", page, strings.TrimSpace(typed))
					}
				}
			}
		}
	}
	for program, try := range typedBy {
		told := toldCommands(t, program)
		if len(told) == 0 {
			t.Errorf("no page sends people to %s", program)
		}
		for _, c := range told {
			if try != nil && (c.whole || len(c.words) > 1) {
				try(t, c)
			}
		}
	}
}

// installs: what is installed is what make package makes, for a kind of board that it
// makes packages for.
func installs(t *testing.T, c toldCommand) {
	if c.words[1] == "--print-architecture" {
		return // ends by itself on any Debian
	}
	file := filepath.Base(c.words[len(c.words)-1])
	kind, found := strings.CutSuffix(file[strings.LastIndex(file, "_")+1:], ".deb")
	if !found || !slices.Contains([]string{"install", "-i"}, c.words[1]) {
		t.Errorf("%v: installs no package", c)
	}
	stands(t, c, "deploy/package/build", kind)
	if folder := filepath.Dir(c.words[len(c.words)-1]); folder != "." && folder != "./build/package" && folder != "build/package" {
		t.Errorf("%v: packages are under build/package", c)
	}
}

// startsUnits that the package brings.
func startsUnits(t *testing.T, c toldCommand) {
	if c.words[1] != "enable" || c.words[2] != "--now" {
		t.Errorf("%v: the packages' trial does nothing like it", c)
	}
	for _, unit := range c.words[3:] {
		stands(t, c, "deploy/systemd/"+unit+".service", "[Install]")
	}
}

// asksTheDaemon by a way in whose answer the page shows, which a test of dashboard
// holds against the real one.
func asksTheDaemon(t *testing.T, c toldCommand) {
	_, behind, _ := strings.Cut(c.words[len(c.words)-1], "://")
	_, path, _ := strings.Cut(behind, "/")
	stands(t, c, c.page, "```http\nGET /"+path+"\n")
}

// runsInCI the same checks, on the files that are given.
func runsInCI(t *testing.T, c toldCommand) {
	checks := c.words[:slices.IndexFunc(c.words, func(w string) bool { return strings.Contains(w, ".") })]
	stands(t, c, ".ci/fleet", "\n"+strings.Join(checks, " ")+" ")
	for _, w := range c.words[len(checks):] {
		found := false
		for _, folder := range []string{"", "deploy/prometheus", "deploy/fleet"} {
			there, err := filepath.Glob(filepath.Join(root, folder, w))
			found = found || err == nil && len(there) > 0
		}
		if !found {
			t.Errorf("%v: there is no %s", c, w)
		}
	}
}

func stands(t *testing.T, c toldCommand, file, text string) {
	t.Helper()
	if !strings.Contains(pagetest.Read(t, filepath.Join(root, file)), text) {
		t.Errorf("%v: %s does not hold %q", c, file, text)
	}
}

// TestVariablesOfMakeHoldRealFlags: what pages put into a variable of a target, such as
// CONTROL="-only desert", is a flag of some test.
func TestVariablesOfMakeHoldRealFlags(t *testing.T) {
	makefile, flags, tried := pagetest.Read(t, root+"/Makefile"), "", 0
	for _, pattern := range []string{"*", "*/*", "*/*/*"} {
		for _, path := range pagetest.Files(t, filepath.Join(root, pattern+"_test.go")) {
			flags += pagetest.Read(t, path)
		}
	}
	set := regexp.MustCompile("`([A-Z]+)=\"(-[^\"`]*)\"")
	for page, text := range toldPages(t) {
		for _, m := range set.FindAllStringSubmatch(text, -1) {
			if !strings.Contains(makefile, "$("+m[1]+")") {
				t.Errorf("%s sets %s, which no target looks at", page, m[1])
			}
			for _, f := range regexp.MustCompile(`(?:^| )-(\w[\w-]*)`).FindAllStringSubmatch(m[2], -1) {
				if tried++; !regexp.MustCompile(`flag\.\w+\((?:&\w+, )?"` + f[1] + `"`).MatchString(flags) {
					t.Errorf("%s: %s: no test has the flag -%s", page, m[0], f[1])
				}
			}
		}
	}
	if tried < 5 {
		t.Errorf("%d flags were tried", tried)
	}
}

// TestTheBrokersListIsTheOneTried before a real broker in .ci/broker, for another house.
func TestTheBrokersListIsTheOneTried(t *testing.T) {
	_, rest, _ := strings.Cut(pagetest.Read(t, root+"/deploy/messages.md"), "```\nuser sunstoker\n")
	list, _, found := strings.Cut("user sunstoker\n"+rest, "```")
	list = strings.ReplaceAll(list, "houses/hill/", "houses/valley/")
	tried := strings.ReplaceAll(pagetest.Read(t, root+"/.ci/broker"), "\t", "")
	if !found || !strings.Contains(tried, "\n"+list+"END\n") {
		t.Errorf(".ci/broker tries another list than\n%s", list)
	}
}

// endsByItself fits the lines of pages that need neither a plant, a history nor a person.
var endsByItself = regexp.MustCompile(`^sunstoker (?:size --new|check|manual|bench .*--site-file|handover .*--paper)\b`)

// TestWhatPagesBeginWithRuns: such lines of each page, as they are typed, one after the
// other in an empty folder.
func TestWhatPagesBeginWithRuns(t *testing.T) {
	ran := 0
	for page, text := range toldPages(t) {
		t.Run(page, func(t *testing.T) {
			t.Chdir(t.TempDir())
			if page == "docs/fitting.md" { // its own house is loaded by a test of docs
				typedRuns(t, "sunstoker check --new > house.toml")
			}
			for _, m := range fenced.FindAllStringSubmatch(text, -1) {
				for typed := range strings.Lines(m[1]) {
					if endsByItself.MatchString(typed) && !strings.Contains(typed, "deploy/") {
						typedRuns(t, typed)
						ran++
					}
				}
			}
		})
	}
	if ran < 8 {
		t.Errorf("%d lines were run", ran)
	}
	typedRuns(t, "sunstoker manual page")
	typedRuns(t, "sunstoker manual bash")
}

// typedRuns runs a line as it is typed.
func typedRuns(t *testing.T, typed string) {
	t.Helper()
	var out, complaints bytes.Buffer
	if code := run(t.Context(), typedWords(typed)[1:], strings.NewReader(""), &out, &complaints); code != 0 || out.Len() == 0 {
		t.Errorf("%s: %d, %s", typed, code, complaints.String())
	}
	if into := regexp.MustCompile(` > (\S+)`).FindStringSubmatch(typed); into != nil {
		if err := os.WriteFile(into[1], out.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
