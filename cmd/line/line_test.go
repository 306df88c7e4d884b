package line

import (
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"
)

// leaves counts tea leaves, and reads itself.
type leaves int

func (l *leaves) UnmarshalText(text []byte) error {
	if string(text) != "a handful" {
		return fmt.Errorf("%q is no number of leaves", text)
	}
	*l = 40
	return nil
}

type boil struct {
	Water  string         `arg:"" help:"Which water."`
	Others []string       `arg:"" optional:"" name:"more" help:"More of it."`
	Until  float64        `default:"96" help:"How hot, in °C."`
	Much   string         `enum:"cup,pot" default:"cup" help:"How much."`
	Herb   []string       `placeholder:"NAME" help:"A herb."`
	Steep  time.Duration  `default:"3m" help:"How long."`
	For    *time.Duration `help:"When to end."`
	Leaves leaves         `help:"How many leaves."`
	Cups   int            `default:"1" help:"How many."`
	Seed   uint64         `help:"Of chance."`
	WithLu bool           `name:"lid" help:"With the lid on."`
	Herbs  bool           `alone:"" help:"List the herbs."`
}

type kettle struct {
	Boil boil `cmd:"" help:"Boil water."`
	Log  struct {
		Show struct{} `cmd:"" help:"What was boiled."`
		Drop struct {
			What string `arg:"" enum:"old,all" help:"What goes."`
		} `cmd:"" help:"Forget it."`
	} `cmd:"" help:"What happened."`
}

func newKettle(t *testing.T) (*Command, *kettle) {
	t.Helper()
	k := &kettle{}
	c, err := New("kettle", "Makes tea.", k)
	if err != nil {
		t.Fatal(err)
	}
	return c, k
}

func TestValuesAreRead(t *testing.T) {
	plain := boil{Water: "rain", Until: 96, Much: "cup", Steep: 3 * time.Minute, Cups: 1}
	with := func(change func(*boil)) boil {
		b := plain
		change(&b)
		return b
	}
	minute := time.Minute
	for typed, want := range map[string]boil{
		"rain":                                plain,
		"rain --until -4 --cups -2":           with(func(b *boil) { b.Until, b.Cups = -4, -2 }),
		"--until=70.5 rain --much pot":        with(func(b *boil) { b.Until, b.Much = 70.5, "pot" }),
		"rain --herb mint --herb=a,b":         with(func(b *boil) { b.Herb = []string{"mint", "a,b"} }),
		"rain --steep 90s --for 1m":           with(func(b *boil) { b.Steep, b.For = 90*time.Second, &minute }),
		"rain --seed 7 --lid":                 with(func(b *boil) { b.Seed, b.WithLu = 7, true }),
		"rain --lid=true --lid=false":         plain,
		"rain snow hail":                      with(func(b *boil) { b.Others = []string{"snow", "hail"} }),
		"-- --lid":                            with(func(b *boil) { b.Water = "--lid" }),
		"-":                                   with(func(b *boil) { b.Water = "-" }),
		"rain --herb=":                        with(func(b *boil) { b.Herb = []string{""} }),
		"--herbs":                             with(func(b *boil) { b.Water, b.Herbs = "", true }),
		"rain --until 1 --until 2 --much=pot": with(func(b *boil) { b.Until, b.Much = 2, "pot" }),
	} {
		c, k := newKettle(t)
		chosen, err := c.Read(append([]string{"boil"}, strings.Fields(typed)...))
		if err != nil || chosen.Target() != &k.Boil || !reflect.DeepEqual(k.Boil, want) {
			t.Errorf("%q: got %+v and %v, want %+v", typed, k.Boil, err, want)
		}
	}
	c, k := newKettle(t)
	if _, err := c.Read([]string{"boil", "rain", "--leaves", "a handful"}); err != nil || k.Boil.Leaves != 40 {
		t.Errorf("got %d leaves and %v, want 40", k.Boil.Leaves, err)
	}
}

func TestMistakesAreToldInWords(t *testing.T) {
	for typed, want := range map[string]string{
		"":                         `one of boil, log must follow`,
		"log":                      `one of show, drop must follow`,
		"boi":                      `there is no command "boi" (did you mean "boil"?)`,
		"boul rain":                `there is no command "boul" (did you mean "boil"?)`,
		"fly":                      `there is no command "fly"`,
		"boil":                     `<water> is missing`,
		"log show it":              `"it" is a word too many`,
		"log drop old all":         `"all" is a word too many`,
		"log drop some":            `<what>: "some" is none of old, all`,
		"log --lid":                `there is no flag --lid here`,
		"boil rain --unti 3":       `there is no flag --unti here (did you mean "--until"?)`,
		"boil rain -l":             `there is no flag -l here`,
		"boil rain --much barrel":  `--much: "barrel" is none of cup, pot`,
		"boil rain --until":        `--until: a value must follow it`,
		"boil rain --herb --lid":   `--herb: a value must follow it`,
		"boil rain --until warm":   `--until: "warm" is no number; write it such as 360 or 0.5`,
		"boil rain --until=":       `--until: "" is no number; write it such as 360 or 0.5`,
		"boil rain --steep 5":      `--steep: "5" is no length of time; write a number with its unit, such as 90s, 2m or 1h30m`,
		"boil rain --for soon":     `--for: "soon" is no length of time; write a number with its unit, such as 90s, 2m or 1h30m`,
		"boil rain --cups 1.5":     `--cups: "1.5" is no whole number`,
		"boil rain --seed -1":      `--seed: "-1" is no whole number from 0 up`,
		"boil rain --leaves many":  `--leaves: "many" is no number of leaves`,
		"boil rain --lid=perhaps":  `--lid: "perhaps" is neither true nor false; the flag is on where it is named alone`,
		"boil rain --much=cup --x": `there is no flag --x here`,
	} {
		c, _ := newKettle(t)
		_, err := c.Read(strings.Fields(typed))
		if err == nil || err.Error() != want {
			t.Errorf("%q: got %v, want %s", typed, err, want)
		}
	}
}

// TestHelpIsGivenWhateverElseIsTyped: who asks for help need not know how to ask.
func TestHelpIsGivenWhateverElseIsTyped(t *testing.T) {
	for typed, want := range map[string]string{
		"--help":            "",
		"-h boil":           "boil",
		"boil --nope -h":    "boil",
		"log drop --help":   "log drop",
		"log dorp --help":   "log",
		"log --help drop x": "log drop",
	} {
		c, _ := newKettle(t)
		chosen, err := c.Read(strings.Fields(typed))
		if !errors.Is(err, ErrHelp) || chosen.Path() != want {
			t.Errorf("%q: got help on %q and %v, want on %q", typed, chosen.Path(), err, want)
		}
	}
	c, k := newKettle(t)
	if _, err := c.Read([]string{"boil", "--", "--help"}); err != nil || k.Boil.Water != "--help" {
		t.Errorf("behind the two dashes: got %v and the water %q, want it taken as it stands", err, k.Boil.Water)
	}
}

const wholeHelp = `Usage: kettle <command>

Makes tea.

Flags:
  -h, --help    Tell how it is used.

Commands:
  boil <water> [<more> ...] [flags]
    Boil water.

  log show
    What was boiled.

  log drop <what>
    Forget it.

"kettle <command> --help" tells how a command is
used.
`

const boilHelp = `Usage: kettle boil <water> [<more> ...] [flags]

Boil water.

Arguments:
  <water>         Which water.
  [<more> ...]    More of it.

Flags:
  -h, --help             Tell how it is used.
      --until=96         How hot, in °C.
      --much="cup"       How much.
      --herb=NAME        A herb.
      --steep=3m         How long.
      --for=FOR          When to end.
      --leaves=LEAVES    How many leaves.
`

func TestHelp(t *testing.T) {
	c, _ := newKettle(t)
	var out strings.Builder
	if err := c.WriteHelp(&out, 50); err != nil || out.String() != wholeHelp {
		t.Errorf("got %v and\n%s\nwant\n%s", err, out.String(), wholeHelp)
	}
	out.Reset()
	boil := c.Commands[0]
	boil.Flags = boil.Flags[:7]
	if err := boil.WriteHelp(&out, 80); err != nil || out.String() != boilHelp {
		t.Errorf("got %v and\n%s\nwant\n%s", err, out.String(), boilHelp)
	}
}

func TestHelpKeepsToItsWidth(t *testing.T) {
	long := strings.Repeat("word and wörd ", 30)
	var described struct {
		Short string `help:"tbd"`
		Long  string `placeholder:"SOMETHING_THAT_IS_LONGER_THAN_ANYBODY_WOULD_WRITE" help:"tbd"`
	}
	c, err := New("x", long, &described)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range c.Flags {
		f.Help = long
	}
	for _, width := range []int{40, 63, 80} {
		var out strings.Builder
		if err := c.WriteHelp(&out, width); err != nil {
			t.Fatal(err)
		}
		for text := range strings.Lines(out.String()) {
			if n := len([]rune(strings.TrimSuffix(text, "\n"))); n > width && !strings.Contains(text, "SOMETHING") {
				t.Errorf("a line of %d letters, want at most %d: %s", n, width, text)
			}
		}
		if got, want := strings.Count(out.String(), "wörd"), 4*30; got != want {
			t.Errorf("at %d letters: %d words, want %d", width, got, want)
		}
	}
}

func TestWhatCannotBeReadIsRefused(t *testing.T) {
	for name, commands := range map[string]any{
		"a type": &struct{ Water complex128 }{},
		"a list": &struct{ Waters []float64 }{},
		"a default": &struct {
			N float64 `default:"many"`
		}{},
		"a choice": &struct {
			N string `enum:"a,b" default:"c"`
		}{},
		"it further": &struct {
			Boil struct{ Water chan int } `cmd:""`
		}{},
	} {
		if _, err := New("x", "", commands); err == nil {
			t.Errorf("%s that can't be read is taken", name)
		}
	}
}

func TestEdits(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"", "abc", 3}, {"abc", "", 3}, {"kitten", "sitting", 3}, {"flaw", "lawn", 2}, {"chek", "check", 1}} {
		if got := edits(c.a, c.b); got != c.want {
			t.Errorf("%q to %q: %d letters, want %d", c.a, c.b, got, c.want)
		}
	}
}

// FuzzRead: whatever is typed is read or refused in words.
func FuzzRead(f *testing.F) {
	for _, typed := range []string{"", "boil\nrain", "boil\nrain\n--until\n3", "boil\n--\n-h", "log\ndrop\nold", "-", "--", "--=", "boil\n--herb=", "boil\n--until=-1\nx"} {
		f.Add(typed)
	}
	f.Fuzz(func(t *testing.T, typed string) {
		c, err := New("kettle", "", &kettle{})
		if err != nil {
			t.Fatal(err)
		}
		if chosen, err := c.Read(strings.Split(typed, "\n")); chosen == nil || err == nil && !chosen.Leaf() || err != nil && err.Error() == "" {
			t.Errorf("%q: reached %v with %v", typed, chosen, err)
		}
	})
}
