package sizing

import (
	"context"
	"fmt"
	"io"
	"time"

	"sunstoker/planner"
	"sunstoker/planner/paper"
	"sunstoker/site"
)

// Options is what a person asks for.
type Options struct {
	WishFile string
	Weather  string        // as in planner.SimulateOptions
	Stamp    string        // likewise
	Step     time.Duration // 1 s to planner.LongestStep
	Seed     uint64
	Option   int    // whose fitting sheet and site file are wanted, by its number; 0 for the best
	Report   string // HTML file to write; empty for none
	CSV      string // CSV file to write; empty for none
	Site     string // site file to write; empty for none
}

// study is all that is told of a house.
type study struct {
	wish     *site.Wish
	weather  planner.YearOfWeather
	dayL     float64 // hot water on a mean day with everybody at home
	outcomes []*outcome
	picks    []pick
	chosen   *outcome
	number   int // of the chosen one
}

// Size tries out what a wish allows and tells about it: to stdout, the progress to
// stderr if that is a terminal, and to the files asked for. Errors say what to do.
// Files are written whole or not at all.
func Size(ctx context.Context, o Options, stdout, stderr io.Writer) error {
	wish, err := site.LoadWish(o.WishFile)
	if err != nil {
		return err
	}
	files, err := paper.OpenFiles(o.Report, o.CSV, o.Site)
	if err != nil {
		return err
	}
	defer files.Discard()
	s, err := conduct(ctx, wish, o, stderr)
	if err != nil {
		return err
	}
	if err := s.sheet().Write(stdout); err != nil {
		return err
	}
	for name, write := range map[string]func(io.Writer) error{o.CSV: s.writeCSV, o.Report: s.writeHTML, o.Site: s.writeSite} {
		if name == "" {
			continue
		}
		if err := files.Write(name, write); err != nil {
			return err
		}
	}
	return nil
}

// conduct tries everything out.
func conduct(ctx context.Context, wish *site.Wish, o Options, stderr io.Writer) (*study, error) {
	options, err := optionsOf(wish)
	if err != nil {
		return nil, err
	}
	if o.Option < 0 || o.Option > len(options) {
		return nil, fmt.Errorf("there is no option %d; give --option 1 to %d, or leave it out for the best", o.Option, len(options))
	}
	if o.Step < time.Second || o.Step > planner.LongestStep {
		return nil, fmt.Errorf("a step of %v is not possible; give --step 1s to %v", o.Step, planner.LongestStep)
	}
	s := &study{wish: wish}
	if s.dayL, err = litresADay(wish.House); err != nil {
		return nil, err
	}
	start := time.Date(2026, time.January, 1, 0, 0, 0, 0, wish.House.Zone)
	if s.weather, err = planner.ChooseWeather(o.Weather, o.Stamp, wish.House, start, o.Seed); err != nil {
		return nil, err
	}
	sky, err := inTheShade(s.weather.Source, &wish.Roof)
	if err != nil {
		return nil, err
	}
	t := trial{wish: wish, sky: sky, start: start, step: o.Step, seed: o.Seed, months: 12}
	if s.outcomes, err = t.run(ctx, options, stderr); err != nil {
		return nil, err
	}
	s.picks = choose(wish, s.outcomes)
	s.number = s.picks[0].number
	if o.Option > 0 {
		s.number = o.Option
	}
	s.chosen = s.outcomes[s.number-1]
	return s, nil
}

// writeSite writes the site file of the chosen option.
func (s *study) writeSite(w io.Writer) error {
	_, err := io.WriteString(w, siteText(s.wish, s.chosen.fitting, s.promised()))
	return err
}

// promised is the heat from the sun of each system by month. Systems one after the
// other don't share it evenly, and none is promised.
func (s *study) promised() []float64 {
	if s.wish.House.Household.DrawsInSeries && s.chosen.systems > 1 {
		return nil
	}
	var months []float64
	for i := range s.chosen.year.Months {
		months = append(months, s.chosen.year.Months[i].FromSunKWh/float64(s.chosen.systems))
	}
	return months
}
