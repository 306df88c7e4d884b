package dashboard

import (
	"errors"
	"net/http"
	"time"

	"sunstoker/control"
	"sunstoker/station/request"
)

// SettingsShown is the table of settings with what counts of each.
type SettingsShown struct {
	Table  []SettingRow    `json:"table"`  // in the order of the reference page
	Owners []SettingsOwner `json:"owners"` // the house, then its systems
}

// SettingRow is all there is to know of a setting.
type SettingRow struct {
	Name    string `json:"name"`
	Group   string `json:"group"`
	Unit    string `json:"unit"`    // "°C"; empty for times of the day
	Allowed string `json:"allowed"` // "40 °C to 85 °C"
	Default string `json:"default"`
	Meaning string `json:"meaning"`
}

// SettingsOwner is the house or a system, with its settings in the table's order.
type SettingsOwner struct {
	System string         `json:"system"` // its name; empty for the house, whose settings count for systems that have no own
	Values []SettingValue `json:"values"`
}

// SettingValue is one setting as a site file writes it.
type SettingValue struct {
	Setting string        `json:"setting"`
	Value   string        `json:"value"`   // that counts
	File    string        `json:"file"`    // what the site file says
	Changed *ChangedValue `json:"changed"` // the newest change of it; null when there is none
}

// ChangedValue tells of a change of one setting.
type ChangedValue struct {
	Number int        `json:"number"`
	When   *time.Time `json:"when"` // civil time of the house; null when the clock was not set
	By     string     `json:"by"`
	From   string     `json:"from"`
}

// ChangeShown is a change of settings that counts.
type ChangeShown struct {
	Number int           `json:"number"`
	When   *time.Time    `json:"when"` // civil time of the house; null when the clock was not set
	By     string        `json:"by"`
	System string        `json:"system"` // its name; empty for the house
	Values []ChangeValue `json:"values"`
}

// ChangeValue is what a change has made of one setting.
type ChangeValue struct {
	Setting string `json:"setting"`
	From    string `json:"from"`
	To      string `json:"to"`
}

// book gives what counts of settings, or refuses.
func (d *Dashboard) book(w http.ResponseWriter, r *http.Request) (*request.Book, *control.Plan) {
	plan := d.plan()
	switch {
	case plan == nil:
		refuseEarly(w, r)
	case d.desk == nil:
		Refuse(w, r, http.StatusServiceUnavailable, "This program shows a house and has no controller with settings.")
	default:
		return d.desk.Book(), plan
	}
	return nil, nil
}

func (d *Dashboard) serveSettings(w http.ResponseWriter, r *http.Request) {
	book, plan := d.book(w, r)
	if book == nil {
		return
	}
	shown := SettingsShown{Owners: []SettingsOwner{ownerOf(book, plan, control.House)}}
	for _, row := range control.SettingsTable() {
		shown.Table = append(shown.Table, rowOf(row))
	}
	for i := range plan.Systems {
		shown.Owners = append(shown.Owners, ownerOf(book, plan, i))
	}
	answer(w, r, shown)
}

func rowOf(row control.Setting) SettingRow {
	unit := row.Unit.String()
	if row.IsWindows() {
		unit = ""
	}
	return SettingRow{Name: row.Name, Group: row.Group, Unit: unit, Allowed: row.Allowed(), Default: row.DefaultText(), Meaning: row.Meaning}
}

func ownerOf(book *request.Book, plan *control.Plan, system int) SettingsOwner {
	o := SettingsOwner{System: systemName(plan, system), Values: []SettingValue{}}
	changed := map[string]*ChangedValue{}
	for _, c := range book.Changes {
		for _, v := range c.Values {
			if c.System == o.System {
				changed[v.Setting] = &ChangedValue{Number: c.Number, When: civil(c.When, zoneOf(plan)), By: c.By, From: v.From}
			}
		}
	}
	for _, row := range control.SettingsTable() {
		o.Values = append(o.Values, SettingValue{
			Setting: row.Name, Value: row.Text(book.Now.Of(system)), File: row.Text(book.File.Of(system)), Changed: changed[row.Name],
		})
	}
	return o
}

func (d *Dashboard) serveChanges(w http.ResponseWriter, r *http.Request) {
	book, plan := d.book(w, r)
	if book == nil {
		return
	}
	shown := []ChangeShown{}
	for i := range book.Changes {
		shown = append(shown, changeOf(&book.Changes[len(book.Changes)-1-i], zoneOf(plan)))
	}
	answer(w, r, shown)
}

func changeOf(c *request.Change, zone *time.Location) ChangeShown {
	shown := ChangeShown{Number: c.Number, When: civil(c.When, zone), By: c.By, System: c.System, Values: []ChangeValue{}}
	for _, v := range c.Values {
		shown.Values = append(shown.Values, ChangeValue{Setting: v.Setting, From: v.From, To: v.To})
	}
	return shown
}

// civil is a time in the house's zone; nil when nobody knows it.
func civil(at time.Time, zone *time.Location) *time.Time {
	if at.IsZero() {
		return nil
	}
	at = at.In(zone)
	return &at
}

// serveSiteFile gives the site file with the changes in it, for the installer to
// keep or to put in the place of the old one.
func (d *Dashboard) serveSiteFile(w http.ResponseWriter, r *http.Request) {
	book, _ := d.book(w, r)
	if book == nil {
		return
	}
	h := w.Header()
	h.Set("Content-Type", "application/toml")
	h.Set("Cache-Control", "no-store")
	h.Set("Content-Disposition", `attachment; filename="site.toml"`)
	w.Write(book.Text)
}

// patchSettings changes settings of the system that the path names, or of the
// house when it names none. All of a body's settings change together or not at
// all.
func (d *Dashboard) patchSettings(w http.ResponseWriter, r *http.Request) {
	read := func(system int) (request.Request, error) {
		got, err := readFields(r)
		if err != nil {
			return nil, err
		}
		if len(got) == 0 {
			return nil, malformed(`No setting is named: send such as {"tank_limit": "65 °C"}.`)
		}
		values := map[string]string{}
		for name := range got {
			text, textErr := got.text(name, "65 °C")
			values[name] = text
			err = errors.Join(err, textErr)
		}
		return request.Settings{System: system, Values: values}, err
	}
	if r.PathValue("system") != "" {
		d.withSystem(w, r, read)
		return
	}
	q, err := read(control.House)
	if err != nil {
		refuseUnread(w, r, err)
		return
	}
	d.ask(w, r, q)
}

func (d *Dashboard) undoChange(w http.ResponseWriter, r *http.Request) {
	n, err := numberOf(r)
	if err != nil {
		refuseUnread(w, r, err)
		return
	}
	d.ask(w, r, request.Undo{Number: n})
}
