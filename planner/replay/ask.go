package replay

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"
	"time"

	"sunstoker/control"
	"sunstoker/history"
	"sunstoker/planner/explain"
	"sunstoker/site"
)

// with is a site with other settings, in the house and in every system.
func with(s *site.Site, texts []string) (*site.Site, error) {
	if len(texts) == 0 {
		return nil, misasked(`replay wants other settings to try: give --set "NAME = VALUE", such as --set "heater_stop = 48 °C"`)
	}
	var edits []site.Edit
	given := map[string]bool{}
	for _, text := range texts {
		name, value, both := strings.Cut(text, "=")
		name, value = strings.TrimSpace(name), strings.Trim(strings.TrimSpace(value), `"`)
		row, known := control.SettingNamed(name)
		switch {
		case !both:
			return nil, misasked(`--set %q: write it as "NAME = VALUE", such as "heater_stop = 48 °C"`, text)
		case !known:
			return nil, misasked("--set %q: there is no setting %s%s", text, name, nearest(name))
		case given[name]:
			return nil, misasked("--set %q: %s is given twice: take one of the two out", text, name)
		}
		given[name] = true
		tried := s.Plan.Settings
		if err := row.Set(&tried, value); err != nil {
			return nil, misasked("--set %q: %v", text, err)
		}
		for system := control.House; system < len(s.Systems); system++ {
			edits = append(edits, site.SetSetting(system, name, value))
		}
	}
	changed, err := s.With(edits...)
	if err != nil {
		return nil, fmt.Errorf("the site can't have these settings: %s", site.Refusal(err))
	}
	return changed, nil
}

func nearest(name string) string {
	var names []string
	for _, row := range control.SettingsTable() {
		names = append(names, row.Name)
	}
	if near := site.Nearest(name, names); near != "" {
		return "; the nearest name is " + near
	}
	return "; sunstoker explain --names lists them"
}

// read reads the record that is asked for.
func read(ctx context.Context, s *site.Site, o *Options) (r *Record, err error) {
	from, to := time.Unix(0, 0), time.Unix(1<<40, 0)
	if o.From != "" {
		if from, err = instant(o.From, s.Zone); err != nil {
			return nil, misasked("--from: %v", err)
		}
	}
	if o.To != "" {
		if to, err = instant(o.To, s.Zone); err != nil {
			return nil, misasked("--to: %v", err)
		}
	}
	if !from.Before(to) {
		return nil, misasked("--from must lie before --to")
	}
	if o.CSV != "" {
		return readCSV(s, o.CSV, from, to)
	}
	h, err := history.Open(s.History.Folder)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, h.Close()) }()
	newest, err := explain.Newest(ctx, h)
	if err != nil {
		return nil, err
	}
	if end := newest.Add(time.Minute); to.After(end) {
		to = end
	}
	if o.From != "" && !from.Before(to) {
		return nil, misasked("--from: the history ends before, at %s: give an earlier --from", to.In(s.Zone).Format(clockForm))
	}
	if o.From == "" {
		from = to.Add(-usualLength)
	}
	if to.Sub(from) > mostLength {
		return nil, misasked("a replay of %.0f days is too long: give --from and --to that are at most %.0f days apart", to.Sub(from).Hours()/24, mostLength.Hours()/24)
	}
	return FromHistory(ctx, h, s, from, to)
}

func readCSV(s *site.Site, path string, from, to time.Time) (*Record, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("the record can't be read: %w", err)
	}
	defer file.Close() // nothing was written, so nothing can be lost
	if info, err := file.Stat(); err == nil && info.IsDir() {
		return nil, fmt.Errorf("%s: this is a folder; name a file that history export has written", path)
	}
	r, err := FromCSV(file, s, from, to)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return r, nil
}

// instant is a day or a minute by the clocks of a zone; the first one where clocks
// went back.
func instant(text string, zone *time.Location) (time.Time, error) {
	if day, err := time.ParseInLocation(time.DateOnly, text, zone); err == nil {
		return day, nil
	}
	all, err := explain.Instants(text, zone)
	if err != nil {
		return time.Time{}, err
	}
	return all[0], nil
}
