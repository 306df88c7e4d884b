package station

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"sunstoker/control"
	"sunstoker/site"
	"sunstoker/station/request"
)

// book is what counts of settings: the site as its file describes it, and what
// people have changed since. A change is an edit of the file's text that is kept
// in the state instead of being written into the file, which stays the
// installer's. Hence whatever a file is held to, a change is held to as well,
// and the file with the changes in it can be had at any time. A change counts
// for as long as the file says of its settings what it said when it was made:
// whoever edits the line in the file has the last word. A book is never changed.
type book struct {
	file    *site.Site // as the file says
	now     *site.Site // with the changes in it
	changes []request.Change
	last    int // highest number that a change was ever given
	shown   *request.Book
}

// savedBook is what the state keeps of a book.
type savedBook struct {
	Last    int              `json:"last"`
	Changes []request.Change `json:"changes,omitempty"`
}

// How many changes can be taken back though newer ones have passed over them.
const keptForUndo = 20

func newBook(file *site.Site, changes []request.Change, last int) (*book, error) {
	b := &book{file: file, now: file, changes: changes, last: last, shown: &request.Book{}}
	if file == nil {
		return b, nil
	}
	var edits []site.Edit
	for i := range changes {
		edits = append(edits, editsOf(file, &changes[i])...)
	}
	if len(edits) > 0 {
		var err error
		if b.now, err = file.With(edits...); err != nil {
			return nil, err
		}
	}
	b.shown = &request.Book{File: figuresOf(file), Now: figuresOf(b.now), Changes: changes, Text: b.now.Text()}
	return b, nil
}

func figuresOf(s *site.Site) request.Figures {
	f := request.Figures{House: s.Plan.Settings}
	for i := range s.Plan.Systems {
		f.Systems = append(f.Systems, s.Plan.Systems[i].Settings)
	}
	return f
}

// takeUpBook makes the book of a site with changes that an earlier run has left.
// Those that do not go with the file any more are left out, and told of.
func takeUpBook(file *site.Site, saved *savedBook) (b *book, left []string) {
	if file == nil { // of a test; the changes are kept for whoever has it
		return mustBook(newBook(nil, saved.Changes, saved.Last)), nil
	}
	kept, left := stillMeant(file, saved.Changes)
	if b, err := newBook(file, kept, saved.Last); err == nil {
		return b, left
	}
	b = mustBook(newBook(file, nil, saved.Last))
	for i := range kept {
		more, err := newBook(file, append(slices.Clone(b.changes), kept[i]), saved.Last)
		if err != nil {
			left = append(left, fmt.Sprintf("change %d does not go with the site file: %v", kept[i].Number, err))
			continue
		}
		b = more
	}
	return b, left
}

// mustBook is for a book without changes, which can't fail.
func mustBook(b *book, err error) *book {
	if err != nil {
		panic("station: " + err.Error())
	}
	return b
}

// stillMeant leaves out what the file says otherwise now, or has not any more.
func stillMeant(file *site.Site, changes []request.Change) (kept []request.Change, left []string) {
	says := figuresOf(file)
	for _, c := range changes {
		system, known := systemNamed(file, c.System)
		values := slices.DeleteFunc(slices.Clone(c.Values), func(v request.Value) bool {
			row, is := control.SettingNamed(v.Setting)
			gone := !known || !is || row.Text(says.Of(system)) != v.File
			if gone {
				left = append(left, fmt.Sprintf("%s of %s, changed to %s: the site file says something else now than it did", v.Setting, ownerName(c.System), v.To))
			}
			return gone
		})
		if c.Values = values; len(values) > 0 {
			kept = append(kept, c)
		}
	}
	return kept, left
}

// systemNamed finds a system by its name; the empty one is the house.
func systemNamed(s *site.Site, name string) (system int, known bool) {
	if name == "" {
		return control.House, true
	}
	system = slices.IndexFunc(s.Plan.Systems, func(of control.System) bool { return of.Name == name })
	return system, system >= 0
}

func ownerName(system string) string {
	if system == "" {
		return "the house"
	}
	return system
}

func editsOf(file *site.Site, c *request.Change) []site.Edit {
	system, known := systemNamed(file, c.System)
	if !known {
		return nil
	}
	var edits []site.Edit
	for _, v := range c.Values {
		edits = append(edits, site.SetSetting(system, v.Setting, v.To))
	}
	return edits
}

// changed is the book with one change more. It is the book itself when the
// change would change nothing.
func (b *book) changed(by string, r request.Settings) (*book, error) {
	if b.file == nil {
		return nil, errors.New("this program runs without a site file, so that there is nothing to change")
	}
	if r.System != control.House && (r.System < 0 || r.System >= len(b.file.Plan.Systems)) {
		return nil, fmt.Errorf("there is no system %d; there are %d", r.System, len(b.file.Plan.Systems))
	}
	c := request.Change{Number: b.last + 1, By: by}
	if r.System != control.House {
		c.System = b.file.Plan.Systems[r.System].Name
	}
	var err error
	if c.Values, err = b.values(r); err != nil {
		return nil, err
	}
	if len(c.Values) == 0 {
		return b, nil
	}
	next, err := newBook(b.file, trimmed(append(slices.Clone(b.changes), c)), c.Number)
	if err != nil {
		return nil, inWords(err)
	}
	return next, nil
}

// values reads what a change asks for, and leaves out what is so already.
func (b *book) values(r request.Settings) (values []request.Value, err error) {
	asked := 0 // of those that there are
	for _, row := range control.SettingsTable() {
		text, there := r.Values[row.Name]
		if !there {
			continue
		}
		asked++
		wanted := *b.shown.Now.Of(r.System)
		if fault := row.Set(&wanted, text); fault != nil {
			err = errors.Join(err, fmt.Errorf("%s: %w", row.Name, fault))
			continue
		}
		if from, to := row.Text(b.shown.Now.Of(r.System)), row.Text(&wanted); from != to {
			values = append(values, request.Value{Setting: row.Name, From: from, To: to, File: row.Text(b.shown.File.Of(r.System))})
		}
	}
	if asked == len(r.Values) {
		return values, err
	}
	for _, name := range slices.Sorted(maps.Keys(r.Values)) {
		if _, known := control.SettingNamed(name); !known {
			err = errors.Join(err, fmt.Errorf("there is no setting %.60q; look up its name in the list of settings", name))
		}
	}
	return values, err
}

// undone is the book without its newest change.
func (b *book) undone(number int) (*book, error) {
	switch {
	case len(b.changes) == 0:
		return nil, errors.New("no change of settings is left that could be taken back")
	case b.newest().Number != number:
		return nil, fmt.Errorf("change %d is not the newest one: take back change %d first, or set the setting anew", number, b.newest().Number)
	}
	next, err := newBook(b.file, b.changes[:len(b.changes)-1], b.last)
	if err != nil {
		return nil, inWords(err)
	}
	return next, nil
}

// newest is the newest change; there must be one.
func (b *book) newest() *request.Change { return &b.changes[len(b.changes)-1] }

// trimmed drops the oldest changes that newer ones have passed over, but for
// those that can be taken back one after the other.
func trimmed(changes []request.Change) []request.Change {
	over := map[[2]string]bool{}
	var kept []request.Change
	for i := len(changes) - 1; i >= 0; i-- {
		c := changes[i]
		counts := len(kept) < keptForUndo
		for _, v := range c.Values {
			key := [2]string{c.System, v.Setting}
			counts = counts || !over[key]
			over[key] = true
		}
		if counts {
			kept = append(kept, c)
		}
	}
	slices.Reverse(kept)
	return kept
}

// inWords says what a site file would be refused for, without the lines of a
// file that the person has not written.
func inWords(err error) error {
	mistakes, ok := errors.AsType[*site.Mistakes](err)
	if !ok {
		return err
	}
	var lines []string
	for _, m := range mistakes.List {
		key := m.Key[strings.LastIndex(m.Key, ".")+1:]
		lines = append(lines, strings.TrimPrefix(key+": "+m.What+"; "+m.Do, ": "))
	}
	return errors.New(strings.Join(lines, ". "))
}

// advice gives what the site file's checks advise of this book and did not of
// the one before.
func (b *book) advice(before *book) (lines []string) {
	for _, m := range b.now.Advice {
		if !slices.ContainsFunc(before.now.Advice, func(o site.Mistake) bool { return o.What == m.What }) {
			lines = append(lines, m.What+"; "+m.Do)
		}
	}
	return lines
}

// stamped is the book with the time of its newest change.
func (b *book) stamped(when time.Time) *book {
	next, shown := *b, *b.shown
	next.changes = slices.Clone(b.changes)
	next.newest().When = when
	shown.Changes = next.changes
	next.shown = &shown
	return &next
}
