package station

import (
	"encoding/json"
	"os"
	"testing"

	"sunstoker/control"
	"sunstoker/station/request"
)

// TestSavedSettings reads what people have changed, from the newest state that is
// whole, and leaves every file as it was.
func TestSavedSettings(t *testing.T) {
	s := *testSite(t, t.TempDir(), oneWireProbes+relays)
	s.StateFolder = t.TempDir()
	if now, changes, err := SavedSettings(&s); err != nil || now != &s || len(changes) > 0 {
		t.Fatalf("without a state: %v, %d changes", err, len(changes))
	}
	system := s.Plan.Systems[0]
	row, _ := control.SettingNamed("start_difference")
	is := row.Text(&system.Settings)
	saved := func(to string) []byte {
		data, err := encodeState(&stateBody{Controller: json.RawMessage("{}"), Settings: savedBook{Last: 1, Changes: []request.Change{{
			Number: 1, By: "Ada", System: system.Name, Values: []request.Value{{Setting: row.Name, From: is, To: to, File: is}}}}}})
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	newest, before, _ := stateFiles(s.StateFolder)
	put := func(path string, data []byte) {
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	put(newest, saved("11 K"))
	put(before, saved("12 K"))
	now, changes, err := SavedSettings(&s)
	if err != nil || len(changes) != 1 || row.Text(&now.Plan.Systems[0].Settings) != "11 K" {
		t.Errorf("%v, %+v, want a start difference of 11 K", err, changes)
	}
	torn := saved("11 K")[:50]
	put(newest, torn)
	if now, _, err := SavedSettings(&s); err != nil || row.Text(&now.Plan.Systems[0].Settings) != "12 K" {
		t.Errorf("%v, want what the copy of before says", err)
	}
	put(before, torn)
	if now, _, err := SavedSettings(&s); err == nil || now != &s {
		t.Error("two torn files, and no word of it")
	}
	if data, err := os.ReadFile(newest); err != nil || string(data) != string(torn) {
		t.Errorf("the state was touched: %v", err)
	}
}
