package explain

import (
	"fmt"
	"io"
	"strings"

	"sunstoker/control"
	"sunstoker/planner/paper"
	"sunstoker/site"
)

// Name is a finding or a setting.
type Name struct {
	finding control.FindingKind
	setting *control.Setting // nil for a finding
}

// Find gives the finding or setting of a name, however its words are joined. The
// error says which name was meant, where one is near.
func Find(name string) (Name, error) {
	key := strings.ToLower(strings.NewReplacer(" ", "_", "-", "_").Replace(strings.TrimSpace(name)))
	if kind, known := kindNamed(key); known {
		return Name{finding: kind}, nil
	}
	if row, known := control.SettingNamed(key); known {
		return Name{setting: &row}, nil
	}
	near := ""
	if meant := site.Nearest(key, allNames()); meant != "" {
		near = fmt.Sprintf("; the nearest name is %s", meant)
	}
	return Name{}, fmt.Errorf("%q is neither a finding nor a setting%s", name, near)
}

func allNames() (names []string) {
	for _, k := range control.FindingKinds() {
		names = append(names, k.String())
	}
	for _, row := range control.SettingsTable() {
		names = append(names, row.Name)
	}
	return names
}

// Names lists all that can be explained by its name.
func Names(to io.Writer) error {
	var s paper.Sheet
	s.Heading("Findings")
	for _, k := range control.FindingKinds() {
		s.Row(k.String(), 34, "%s", k.Title())
	}
	s.Heading("Settings")
	for _, row := range control.SettingsTable() {
		s.Row(row.Name, 34, "%s", row.Group)
	}
	return s.Write(to)
}
