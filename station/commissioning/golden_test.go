package commissioning

import (
	"bytes"
	"flag"
	"log/slog"
	"os"
	"path/filepath"
	"testing"

	"sunstoker/planner/handover"
	"sunstoker/planner/paper/papertest"
	"sunstoker/site"
)

var update = flag.Bool("update", false, "write anew what is said and reported")

// houses are the demo's and two invented ones, each with a file of answers.
var houses = map[string]string{
	"demo":     "../demo/site.toml",
	"highland": "testdata/houses/highland.toml",
	"winter":   "testdata/houses/winter.toml",
}

func load(t *testing.T, file string) *site.Site {
	t.Helper()
	s, err := site.Load(file)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestPractice hands three houses over on their simulated plants and holds what was
// said, and the report, against what was read and found right.
func TestPractice(t *testing.T) {
	for name, file := range houses {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := load(t, file)
			paper := filepath.Join("testdata", "houses", name+".answers")
			text, err := os.ReadFile(paper)
			if err != nil {
				t.Fatal(err)
			}
			answers, err := handover.ReadAnswers(paper, text, s)
			if err != nil {
				t.Fatal(err)
			}
			said, r := practise(t, s, Options{Site: s, Answers: answers})
			var page bytes.Buffer
			if err := handover.Report(&page, s, r, "of a test"); err != nil {
				t.Fatal(err)
			}
			golden(t, name+".said", said)
			_, body, found := bytes.Cut(page.Bytes(), []byte("<body>\n"))
			if !found {
				t.Fatal("the report has no body")
			}
			golden(t, name+".html", bytes.ReplaceAll(body, []byte("><"), []byte(">\n<")))
		})
	}
}

// practise runs a hand-over on the simulated plant.
func practise(t *testing.T, s *site.Site, o Options) (said []byte, r *handover.Record) {
	t.Helper()
	var out bytes.Buffer
	o.Out = &out
	done, err := Practise(t.Context(), &o, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	r, err = Run(t.Context(), o)
	if err != nil {
		t.Errorf("%v\n%s", err, &out)
	}
	if err := done(); err != nil {
		t.Error(err)
	}
	return out.Bytes(), r
}

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	papertest.Kept(t, filepath.Join("testdata", "golden", name), string(got), *update)
}
