package sizing

import (
	"sunstoker/sim/weather"
	"sunstoker/site"
)

// inTheShade is the weather as the roof sees it.
func inTheShade(sky weather.Source, roof *site.Roof) (weather.Source, error) {
	if len(roof.Horizon) == 0 && len(roof.ShadePercent) == 0 {
		return sky, nil
	}
	var shade weather.Shade
	for _, p := range roof.Horizon {
		shade.Horizon = append(shade.Horizon, weather.HorizonPoint{AzimuthDeg: p.DirectionDeg, ElevationDeg: p.HeightDeg})
	}
	for i, percent := range roof.ShadePercent {
		shade.MonthShare[i] = percent / 100
	}
	return weather.NewShaded(sky, shade)
}
