package line

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/spf13/cobra"
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

// read gives the struct of the command that was chosen, what was written, and the
// command that was reached.
func (k *kettle) read(t *testing.T, words ...string) (chosen any, written string, reached *cobra.Command, err error) {
	t.Helper()
	c, err := New("kettle", "Makes tea.", k, func(command any) error { chosen = command; return nil })
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	c.SetOut(&out)
	c.SetErr(&out)
	c.SetWidth(50)
	c.SetArgs(append([]string{}, words...))
	reached, err = c.ExecuteC()
	return chosen, out.String(), reached, err
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
		k := &kettle{}
		chosen, _, _, err := k.read(t, append([]string{"boil"}, strings.Fields(typed)...)...)
		if err != nil || chosen != &k.Boil || !reflect.DeepEqual(k.Boil, want) {
			t.Errorf("%q: got %+v and %v, want %+v", typed, k.Boil, err, want)
		}
	}
	k := &kettle{}
	if _, _, _, err := k.read(t, "boil", "rain", "--leaves", "a handful"); err != nil || k.Boil.Leaves != 40 {
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
		"boil rain --unti 3":       `there is no flag --unti here`,
		"boil rain -l":             `there is no flag -l here`,
		"boil rain --much barrel":  `--much: "barrel" is none of cup, pot`,
		"boil rain --until":        `--until: a value must follow it`,
		"boil --herb --lid":        `<water> is missing`,
		"boil rain --=":            `bad flag syntax: --=`,
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
		chosen, _, _, err := new(kettle).read(t, strings.Fields(typed)...)
		if _, told := errors.AsType[*Mistake](err); !told || err.Error() != want || chosen != nil {
			t.Errorf("%q: got %v, want %s", typed, err, want)
		}
	}
}

const wholeHelp = `Usage: kettle <command>

Makes tea.

Flags:
  -h, --help   Tell how it is used.

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
  <water>
    Which water.
  [<more> ...]
    More of it.

Flags:
      --until UNTIL     How hot, in °C.
                        (default 96)
      --much cup|pot    How much. (default cup)
      --herb NAME       A herb.
      --steep STEEP     How long. (default 3m)
      --for FOR         When to end.
      --leaves LEAVES   How many leaves.
      --cups CUPS       How many. (default 1)
      --seed SEED       Of chance.
      --lid             With the lid on.
      --herbs           List the herbs.
  -h, --help            Tell how it is used.
`

func TestHelp(t *testing.T) {
	for typed, want := range map[string]string{
		"--help": wholeHelp, "help": wholeHelp, "help --help": wholeHelp,
		"boil -h": boilHelp, "boil rain --help": boilHelp, "help boil": boilHelp,
	} {
		if chosen, got, _, err := new(kettle).read(t, strings.Fields(typed)...); err != nil || chosen != nil || got != want {
			t.Errorf("%q: got %v and\n%s\nwant\n%s", typed, err, got, want)
		}
	}
	k := &kettle{}
	if _, _, _, err := k.read(t, "boil", "--", "--help"); err != nil || k.Boil.Water != "--help" {
		t.Errorf("behind the two dashes: got %v and the water %q, want it taken as it stands", err, k.Boil.Water)
	}
}

func TestCompletionsKnowTheChoices(t *testing.T) {
	for typed, want := range map[string][]string{
		"":                   {"boil", "help", "log"},
		"log|":               {"show", "drop"},
		"log|drop|":          {"old", "all"},
		"boil|rain|--much|":  {"cup", "pot"},
		"boil|rain|--l":      {"--lid", "--leaves"},
		"boil|rain|--until|": nil, // the shell goes on with files
	} {
		_, got, _, err := new(kettle).read(t, append([]string{cobra.ShellCompNoDescRequestCmd}, strings.Split(typed, "|")...)...)
		var words []string
		for line := range strings.Lines(got) {
			if line = strings.TrimSpace(line); strings.HasPrefix(line, ":") {
				break
			}
			words = append(words, strings.TrimSpace(line))
		}
		slices.Sort(words)
		slices.Sort(want)
		if err != nil || !slices.Equal(words, want) {
			t.Errorf("%q: offers %q (%v), want %q", typed, words, err, want)
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
		if _, err := New("x", "", commands, nil); err == nil {
			t.Errorf("%s that can't be read is taken", name)
		}
	}
}

// FuzzRead: whatever is typed is read or refused in words.
func FuzzRead(f *testing.F) {
	for _, typed := range []string{"", "boil\nrain", "boil\nrain\n--until\n3", "boil\n--\n-h", "log\ndrop\nold", "-", "--", "--=", "boil\n--herb=", "boil\n--until=-1\nx"} {
		f.Add(typed)
	}
	f.Fuzz(func(t *testing.T, typed string) {
		chosen, written, reached, err := new(kettle).read(t, strings.Split(typed, "\n")...)
		if reached == nil || err == nil && chosen == nil && written == "" || err != nil && err.Error() == "" {
			t.Errorf("%q: reached %v with %v", typed, reached, err)
		}
	})
}
