package manual

import (
	"os/exec"
	"slices"
	"strings"
	"testing"

	"sunstoker/cmd/line"
)

// kettle is an invented command line with everything that a manual tells of.
type kettle struct {
	Boil struct {
		Water string   `arg:"" help:"The water."`
		Much  string   `enum:"cup,pot" default:"cup" help:"How much: a cup, or a pot. It's never more than the kettle holds."`
		Until string   `placeholder:"96 °C" help:".5 K below the boil of the [place]; until it whistles when not given."`
		Herb  []string `help:"A herb. May be given several times."`
		Lid   bool     `help:"With the lid on."`
	} `cmd:"" help:"Boil water, \"hot\"."`
	Log struct {
		Boil struct {
			From string `arg:"" optional:"" help:"Where to begin."`
		} `cmd:"" help:"What was boiled."`
		Drop struct {
			What string `arg:"" enum:"old,all" help:"What goes."`
		} `cmd:"" help:"Forget."`
	} `cmd:"" help:"What happened."`
}

func model(t *testing.T) *line.Command {
	t.Helper()
	whole, err := line.New("kettle", "Makes tea.", &kettle{})
	if err != nil {
		t.Fatal(err)
	}
	return whole
}

func written(t *testing.T, form string) string {
	t.Helper()
	text, err := Write(form, model(t), Edition{Version: "1.2", Day: "2026-11-26", Sections: []Section{
		{Title: "Cautions", Text: "Steam scalds.", Items: []Item{{"/etc/kettle", "Which kettle."}}},
	}})
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func TestEveryFormTellsOfEverything(t *testing.T) {
	for _, form := range Forms {
		text := written(t, form)
		for _, want := range []string{"kettle", "boil", "log", "drop", "much", "until", "herb", "lid", "help", "cup", "pot", "old", "all"} {
			if !strings.Contains(text, want) {
				t.Errorf("%s does not tell of %s:\n%s", form, want, text)
			}
		}
		if again := written(t, form); again != text {
			t.Errorf("%s is another one the second time", form)
		}
	}
}

func TestAnotherFormIsRefused(t *testing.T) {
	if _, err := Write("tapestry", model(t), Edition{}); err == nil || !strings.Contains(err.Error(), "page, bash, zsh, fish") {
		t.Errorf("got %v, want an error that lists the forms", err)
	}
}

func TestPageIsNotReadAsOrders(t *testing.T) {
	page := written(t, "page")
	for _, want := range []string{".TH KETTLE 1 2026-11-26 \"kettle 1.2\"\n", ".SS \"log boil [<from>]\"\n", `.B "\-\-until=96 \[u00B0]C"`, `\&.5 K below the boil`, `Boil water, \(dqhot\(dq.`, `It\(aqs never`, "One of: old, all.", ".SH \"CAUTIONS\"\nSteam scalds.\n.TP\n.B \"/etc/kettle\"\nWhich kettle.\n"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q:\n%s", want, page)
		}
	}
	for line := range strings.Lines(page) {
		if len(line) > textWidth+1 && !strings.HasPrefix(line, ".") {
			t.Errorf("a line of %d letters: %s", len(line), line)
		}
	}
}

// TestBashCompletes asks the shell itself what it would offer.
func TestBashCompletes(t *testing.T) {
	shell, err := exec.LookPath("bash")
	if err != nil {
		t.Skip("no bash here")
	}
	const ask = `
COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1))
_kettle
echo "${COMPREPLY[*]}"`
	for typed, want := range map[string]string{
		"kettle |":                   "boil log",
		"kettle b":                   "boil",
		"kettle log |":               "boil drop",
		"kettle log boil -":          "--help",
		"kettle boil |":              "", // the shell goes on with files
		"kettle boil water --l":      "--lid",
		"kettle boil --much |":       "cup pot",
		"kettle boil --until |":      "",
		"kettle log drop a":          "all",
		"kettle boil log --":         "--help --much --until --herb --lid", // a water called log
		"kettle log boil boil --ru":  "",
		"kettle nonsense log drop |": "old all",
	} {
		words := strings.Fields(strings.ReplaceAll(typed, "|", "''"))
		for i, w := range words {
			words[i] = strings.ReplaceAll(w, "''", "")
		}
		out, err := exec.Command(shell, slices.Concat([]string{"-c", written(t, "bash") + ask, "bash"}, words)...).CombinedOutput()
		if got := strings.TrimSpace(string(out)); err != nil || got != want {
			t.Errorf("%q: offers %q, want %q (%v)", typed, got, want, err)
		}
	}
}

func TestBrief(t *testing.T) {
	long := strings.Repeat("very ", 14) + "long"
	for help, want := range map[string]string{
		"A herb. May be given several times.":   "A herb",
		"How long to go on; until the end.":     "How long to go on",
		"For tests: let it go.":                 "For tests: let it go",
		"Hourly weather: a " + long + " story.": "Hourly weather",
		"":                                      "",
	} {
		if got := brief(help); got != want {
			t.Errorf("%q: %q, want %q", help, got, want)
		}
	}
}
