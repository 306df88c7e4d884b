package site

import (
	"os"
	"reflect"
	"strings"
	"testing"

	"sunstoker/control"
)

func TestStarterIsReadWithoutMistakes(t *testing.T) {
	s, err := Parse("starter.toml", []byte(Starter()))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := control.New(s.Plan); err != nil {
		t.Error(err)
	}
	everyKey(&schema, "", func(_ *table, name string, k *key) {
		if !strings.Contains(Starter(), k.name+" = ") {
			t.Errorf("the starter file has no %s", name)
		}
	})
	for i, line := range strings.Split(Starter(), "\n") {
		if strings.HasPrefix(line, "#") && len([]rune(line)) > starterWidth && strings.Contains(line[2:], " ") && line[1] == ' ' {
			t.Errorf("line %d is too wide: %s", i+1, line)
		}
	}
}

// TestStarterOptionalKeys takes the # away from every key that may be left
// out: defaults and examples must be right as they stand, and the defaults
// must change nothing.
func TestStarterOptionalKeys(t *testing.T) {
	plain, err := Parse("starter.toml", []byte(Starter()))
	if err != nil {
		t.Fatal(err)
	}
	var open strings.Builder
	opened := 0
	for line := range strings.Lines(Starter()) {
		if rest, optional := strings.CutPrefix(line, "#"); optional && !strings.HasPrefix(rest, " ") && strings.TrimSpace(rest) != "" && !strings.HasPrefix(rest, "profile") {
			line = rest
			opened++
		}
		open.WriteString(line)
	}
	all, err := Parse("starter.toml", []byte(open.String()))
	if err != nil {
		t.Fatal(err)
	}
	if opened < len(control.SettingsTable())+5 {
		t.Errorf("only %d keys could be opened", opened)
	}
	for _, row := range control.SettingsTable() {
		if got, want := row.Text(&all.Settings), row.Text(&plain.Settings); got != want {
			t.Errorf("%s: the starter file says %s, the default is %s", row.Name, got, want)
		}
	}
	if all.Listen != plain.Listen || all.StateFolder != plain.StateFolder || all.OneWireFolder != plain.OneWireFolder || all.Surroundings != plain.Surroundings {
		t.Errorf("defaults differ when written: %+v and %+v", all, plain)
	}
	all.Household.Holidays, all.Household.Guests = nil, nil // examples, not defaults
	if !reflect.DeepEqual(all.Household, plain.Household) {
		t.Errorf("the household differs when written: %+v and %+v", all.Household, plain.Household)
	}
}

func TestReferencePageIsFresh(t *testing.T) {
	page, err := os.ReadFile("../deploy/settings.md")
	if err != nil {
		t.Fatal(err)
	}
	if string(page) != Reference() {
		t.Error("deploy/settings.md is stale: run go generate ./control")
	}
}

func TestReferenceNamesEveryKey(t *testing.T) {
	page := Reference()
	everyKey(&schema, "", func(_ *table, name string, k *key) {
		if !strings.Contains(page, "| `"+k.name+"` | ") {
			t.Errorf("the reference page has no %s", name)
		}
	})
}
