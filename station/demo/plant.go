package demo

import (
	_ "embed"
	"os"
	"path/filepath"
	"strconv"
	"time"

	"sunstoker/sim/weather"
	"sunstoker/site"
	"sunstoker/station"
	"sunstoker/station/bench"
)

//go:embed site.toml
var siteText []byte

// Site is the demo's house; its state folder and address are for the caller
// to set.
func Site() (*site.Site, error) { return site.Parse("the demo's site file", siteText) }

// SiteIn writes the demo's site file into a folder, with state and history in the same
// folder, and tells its path.
func SiteIn(folder string) (path string, err error) {
	if folder, err = filepath.Abs(folder); err != nil {
		return "", err
	}
	text, err := site.Edited(siteText, site.SetKey("daemon", "state_folder", strconv.Quote(folder)))
	if err != nil {
		return "", err
	}
	path = filepath.Join(folder, "house.toml")
	return path, os.WriteFile(path, text, 0o644)
}

const (
	tankC      = 40              // at the start
	readPeriod = 2 * time.Second // of simulated time, as of the 1-wire bus
)

// NewPlant makes the simulated house of a site on the demo's day.
func NewPlant(s *site.Site) (station.Simulated, error) {
	place := weather.Place{LatitudeDeg: s.LatitudeDeg, LongitudeDeg: s.LongitudeDeg, AltitudeM: s.AltitudeM}
	source, err := weather.NewScripted(place, sky)
	if err != nil {
		return nil, err
	}
	plant, err := bench.New(s, bench.Options{Start: Begin(s.Zone), Weather: source, TankC: tankC, People: people{}, Seed: 1})
	if err != nil {
		return nil, err
	}
	return bench.Ports{Plant: plant, Period: readPeriod}, nil
}
