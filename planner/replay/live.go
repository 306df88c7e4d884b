package replay

import (
	"context"
	"fmt"
	"time"

	"sunstoker/planner"
	"sunstoker/sim"
	"sunstoker/sim/weather"
	"sunstoker/site"
	"sunstoker/site/twin"
)

// fittedPlant is what came of fitting a system.
type fittedPlant struct {
	figures []Fitted
	why     error // it could not be fitted
}

// live fits the twin, if that is asked for, and lets it live through the month in
// which the record begins, under the present settings and under the others.
func (t *teller) live(ctx context.Context, o *Options) error {
	begin := t.record.begin().In(t.site.Zone)
	start := time.Date(begin.Year(), begin.Month(), 1, 0, 0, 0, 0, t.site.Zone)
	w, err := planner.ChooseWeather(o.Weather, "", t.site, start, o.Seed)
	if err != nil {
		return err
	}
	for i := range t.site.Systems {
		if o.Fit {
			figures, why := Fit(t.site, i, t.record, w.Source)
			t.plants = append(t.plants, fittedPlant{figures, why})
		}
	}
	for i, s := range []*site.Site{t.site, t.changed} {
		if t.twins[i], err = t.month(ctx, s, w.Source, start, o.Seed); err != nil {
			return err
		}
	}
	return nil
}

// month is what a month comes to in a twin.
func (t *teller) month(ctx context.Context, s *site.Site, sky weather.Source, start time.Time, seed uint64) (planner.Month, error) {
	config, err := twin.Config(s, twin.Options{Weather: sky, Start: start, Step: step, Seed: seed})
	if err != nil {
		return planner.Month{}, err
	}
	t.put(&config)
	run, err := planner.RunIn(s, config)
	if err != nil {
		return planner.Month{}, err
	}
	year, err := planner.RunYear(ctx, run, nil)
	if err != nil {
		return planner.Month{}, fmt.Errorf("the simulation ended early: %w", err)
	}
	return year.Total(), nil
}

// put gives a twin the figures that the record has told.
func (t *teller) put(c *sim.Config) {
	for i := range t.plants {
		for k := range t.plants[i].figures {
			if f := &t.plants[i].figures[k]; f.Told() {
				*f.of(&c.Systems[i].Plant) = f.Value
			}
		}
	}
}
