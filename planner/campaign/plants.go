package campaign

import (
	"embed"
	"fmt"

	"sunstoker/control"
	"sunstoker/sim"
	"sunstoker/sim/plant"
	"sunstoker/site"
	"sunstoker/site/twin"
)

//go:embed sites/*.toml
var siteFiles embed.FS

// House is one of the campaign's plants, as a site file describes it.
type House struct {
	Name string
	site *site.Site
	// broken is the system that faults happen to.
	broken int
	// coldNightC is the coldest of its frosty night, °C.
	coldNightC float64
	// more says that it has probes beyond the usual fit.
	more bool
	// rare says that it is there for its rare parts alone: only what breaks those is
	// tried in it.
	rare bool
}

// houseFiles are the campaign's plants; the first is the usual one.
var houseFiles = []struct {
	file       string
	broken     int
	coldNightC float64
	more, rare bool
}{
	{"pumped", 0, -12, false, false},
	{"natural", 0, -12, false, false},
	{"store", 0, -12, false, false},
	{"two-systems", 1, -3, false, false}, // the second system holds plain water
	{"more-probes", 0, -12, true, false},
	{"rare-parts", 0, -12, false, true},
}

// Houses reads the campaign's plants.
func Houses() ([]*House, error) {
	var all []*House
	for _, h := range houseFiles {
		name := "sites/" + h.file + ".toml"
		text, err := siteFiles.ReadFile(name)
		if err != nil {
			return nil, err
		}
		s, err := site.Parse(name, text)
		if err != nil {
			return nil, fmt.Errorf("campaign: %w", err)
		}
		all = append(all, &House{Name: s.Name, site: s, broken: h.broken, coldNightC: h.coldNightC, more: h.more, rare: h.rare})
	}
	return all, nil
}

// tries tells whether a switch is tried in the house.
func (h *House) tries(s Switch) bool {
	return !h.rare || s.Needs == Circulation || s.Needs == HeatDump
}

// systemFor is the system that a fault of that need happens to; ok is false when
// it means nothing in this house.
func (h *House) systemFor(n Need, config *sim.Config) (system int, ok bool) {
	if h.meets(n, h.broken, config) {
		return h.broken, true
	}
	for i := range config.Systems {
		if h.meets(n, i, config) {
			return i, true
		}
	}
	return 0, false
}

func (h *House) meets(n Need, system int, config *sim.Config) bool {
	p, s := &config.Systems[system].Plant, &h.site.Systems[system]
	switch n {
	case Pump:
		return s.Loop == control.Pumped
	case CheckValve:
		return p.CheckValve
	case Circulation:
		return s.HotWaterLine.Circulation
	case HeatDump:
		return p.HeatDumpWK > 0
	case Store:
		return isStore(p)
	case DrinkTank:
		return !isStore(p)
	case SealedLoop:
		return p.Sealing.Fitted && !isStore(p)
	case Antifreeze:
		return s.Glycol
	}
	return true
}

func isStore(p *plant.Config) bool { return p.Store.TapCoilUAWK > 0 }

// probeName is what the simulated house calls the probe at a place of a system,
// or of the house; empty when there is none.
func (h *House) probeName(system int, place string) string {
	for i, p := range h.site.Plan.Probes {
		if p.Place.String() == place && (p.System == system || p.System == control.House) {
			return twin.ProbeName(h.site, i)
		}
	}
	return ""
}
