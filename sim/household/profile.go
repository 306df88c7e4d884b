package household

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
	"time"
)

//go:embed data/eu_tapping_profiles.csv
var profileTable string

// Profile is a day that is always the same.
type Profile struct {
	name  string
	draws []Draw
}

// TappingProfile returns one of the European profiles "S", "M", "L" and "XL".
func TappingProfile(name string) (*Profile, error) {
	rows, err := csv.NewReader(strings.NewReader(profileTable)).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("household: the built-in tapping profiles: %w", err)
	}
	p := &Profile{name: name}
	for _, row := range rows[1:] {
		if row[0] != name {
			continue
		}
		draw, err := profileDraw(row)
		if err != nil {
			return nil, fmt.Errorf("household: the built-in tapping profile %s at %s: %w", name, row[1], err)
		}
		p.draws = append(p.draws, draw)
	}
	if len(p.draws) == 0 {
		return nil, fmt.Errorf("household: there is no tapping profile %q; give S, M, L or XL", name)
	}
	return p, nil
}

// profileDraw turns a row of profile, time, heat in kWh, least flow in l/min,
// useful from degC and peak degC (may be empty) into a draw.
func profileDraw(row []string) (d Draw, err error) {
	at, err := time.Parse("15:04", row[1])
	if err != nil {
		return d, err
	}
	var values [3]float64
	for i := range values {
		if values[i], err = strconv.ParseFloat(row[i+2], 64); err != nil {
			return d, err
		}
	}
	heatJ := values[0] * 3.6e6
	d = Draw{FlowLMin: values[1], UsefulC: values[2], TapC: values[2]}
	d.At = time.Duration(at.Hour())*time.Hour + time.Duration(at.Minute())*time.Minute
	if row[5] != "" {
		if d.TapC, err = strconv.ParseFloat(row[5], 64); err != nil {
			return d, err
		}
	}
	litres := heatJ / (waterJPerLK * (d.TapC - planningColdC))
	d.For = time.Duration(litres / d.FlowLMin * float64(time.Minute))
	return d, nil
}

// String is the profile's name.
func (p *Profile) String() string { return p.name }

// Day implements Source.
func (p *Profile) Day(_ Date, into []Draw) []Draw { return append(into, p.draws...) }
