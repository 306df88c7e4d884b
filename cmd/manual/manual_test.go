package manual

import (
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
	whole, err := line.New("kettle", "Makes tea.", &kettle{}, nil)
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

func TestPageTellsOfEverything(t *testing.T) {
	page := written(t, "page")
	for _, want := range []string{"kettle", "boil", "log", "drop", "much", "until", "herb", "lid", "help", "cup", "pot", "old", "all"} {
		if !strings.Contains(page, want) {
			t.Errorf("it does not tell of %s:\n%s", want, page)
		}
	}
}

func TestShellsAskTheProgram(t *testing.T) {
	for _, form := range Forms[1:] {
		if text := written(t, form); !strings.Contains(text, "__complete") || !strings.Contains(text, "kettle") || text != written(t, form) {
			t.Errorf("%s does not ask the program for completions, or is another one the second time:\n%s", form, text)
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
