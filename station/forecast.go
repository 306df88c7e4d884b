package station

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"os"
	"sync/atomic"
	"time"

	"sunstoker/control"
	"sunstoker/site"
)

// forecastPeriod is how often the forecast file is looked at.
const forecastPeriod = time.Minute

// forecast reads the site's file of foretold light whenever it has changed, on a
// goroutine of its own. What can't be read leaves what was told before, which the
// controller puts aside when it is old.
type forecast struct {
	site   *site.Site
	clock  Clock
	log    *slog.Logger
	newest atomic.Pointer[control.LightForecast]
	told   atomic.Pointer[string] // the trouble that was last logged; nil while there is none

	seen    time.Time // when the file was changed, at the last look that read it
	untimed bool      // the clock was not set then, so that it must be read again
}

// forecastOf gives the forecast of a site, nil when it names no file.
func forecastOf(s *site.Site, clock Clock, log *slog.Logger) *forecast {
	if s.Forecast.File == "" {
		return nil
	}
	return &forecast{site: s, clock: clock, log: log}
}

func (f *forecast) service() Service { return Service{Name: "forecast", Run: f.run} }

func (f *forecast) run(ctx context.Context) error {
	ticker := time.NewTicker(forecastPeriod)
	defer ticker.Stop()
	for {
		f.look()
		select {
		case <-ctx.Done():
			return nil
		case <-ticker.C:
		}
	}
}

// look reads the file if it is another one than at the last look.
func (f *forecast) look() {
	made, hours, err := f.read()
	switch {
	case err != nil:
		f.tell(err)
	case hours > 0:
		f.told.Store(nil)
		f.log.Info("the forecast of the light was read", "file", f.site.Forecast.File, "made", made.Format(time.RFC3339), "hours", hours)
	}
}

// tell logs a trouble once.
func (f *forecast) tell(err error) {
	if text := err.Error(); text != f.trouble() {
		f.told.Store(&text)
		f.log.Warn("the forecast of the light can't be used; what was foretold before holds for two days, and then the plant's own days alone", "file", f.site.Forecast.File, "error", text)
	}
}

// read gives how many hours were read anew, and when they were made.
func (f *forecast) read() (made time.Time, hours int, err error) {
	wall := f.clock.Wall()
	file, err := os.Open(f.site.Forecast.File)
	if err != nil {
		return made, 0, err
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return made, 0, err
	}
	// The controller has put it aside by then, and somebody has to see why.
	if wall.Trusted && wall.Time.Sub(info.ModTime()) > control.ForecastLasts {
		f.seen = time.Time{}
		return made, 0, fmt.Errorf("the file was last changed on %s; see why nothing writes a new one", info.ModTime().In(wall.Time.Location()).Format("2006-01-02 15:04"))
	}
	if info.ModTime().Equal(f.seen) && !(f.untimed && wall.Trusted) {
		return made, 0, nil
	}
	f.seen, f.untimed = info.ModTime(), !wall.Trusted
	if f.untimed {
		return made, 0, nil // which of its hours are past is not known
	}
	l, hours, err := loadForecast(file, info.ModTime(), wall.Time, f.site)
	if err == nil {
		f.newest.Store(l)
	}
	return info.ModTime(), hours, err
}

// loadForecast reads a forecast file of a site.
func loadForecast(file io.Reader, made, now time.Time, s *site.Site) (*control.LightForecast, int, error) {
	text, err := io.ReadAll(io.LimitReader(file, mostForecastBytes+1))
	if err != nil {
		return nil, 0, err
	}
	rows, err := readForecast(text, s.LatitudeDeg, s.LongitudeDeg)
	if err != nil {
		return nil, 0, err
	}
	l, err := lightOf(rows, made, now, s.Forecast.OnCollectors)
	return l, len(rows), err
}

// CheckForecast reads the file that foretells the light, where the site names one and
// there is one, and says what is wrong with it.
func CheckForecast(s *site.Site, now time.Time) error {
	if s.Forecast.File == "" {
		return nil
	}
	file, err := os.Open(s.Forecast.File)
	if os.IsNotExist(err) {
		return nil
	}
	if err != nil {
		return err
	}
	defer file.Close()
	if _, _, err := loadForecast(file, now, now, s); err != nil {
		return fmt.Errorf("%s: %w", s.Forecast.File, err)
	}
	return nil
}

// trouble says why the file can't be used, in words; empty when it can, or none is
// named.
func (f *forecast) trouble() string {
	if f == nil {
		return ""
	}
	if told := f.told.Load(); told != nil {
		return *told
	}
	return ""
}

// pass hands the controller what is new.
func (f *forecast) pass(to *control.Controller, was *control.LightForecast) *control.LightForecast {
	if f == nil {
		return was
	}
	is := f.newest.Load()
	if is != nil && is != was {
		to.Foretell(is)
	}
	return is
}
