package site

const (
	levelGround  = "level ground"
	onCollectors = "collectors"
)

var forecastTable = table{
	name:    "forecast",
	meaning: "A file that foretells the light, from any source that something else on the board fetches or works out. A heater that waits for the sun (hot_water_surety) believes it as far as it has foretold the last days better than the plant's own did; deploy/forecast.md says how it is written.",
	keys: []key{
		{name: "file", kind: plainText, form: &forecastForm, example: "/var/lib/sunstoker/light.csv",
			meaning: "The file. It is looked at once a minute and read when it has changed. Put a new one in its place by renaming, so that no half of it is read. Left out, the plant's own days alone foretell the sun.",
			set:     func(t *target, v value) { t.site.Forecast.File = v.text }},
		{name: "light", kind: choice, choices: []string{levelGround, onCollectors}, def: levelGround,
			meaning: `Where its light falls: on level ground, or on the plane of the collectors. Write "collectors" only where all of the house's look the same way.`,
			set:     func(t *target, v value) { t.site.Forecast.OnCollectors = v.text == onCollectors }},
	},
}

var forecastForm = form{
	allowed: `the whole path of a file from the root, such as "/var/lib/sunstoker/light.csv"`,
	wrong:   wrongPath,
}

// checkForecast sees that light goes with a file, and falls on one plane.
func (w *walker) checkForecast() {
	const path = "forecast.light"
	if !w.written(path) {
		return
	}
	if !w.written("forecast.file") {
		w.wrong(path, w.at(path), "no file is named", `name one, as file = "/var/lib/sunstoker/light.csv", or take this key out`)
		return
	}
	for _, s := range w.systems {
		first := w.systems[0]
		if w.site.Forecast.OnCollectors && (s.Collector.TiltDeg != first.Collector.TiltDeg || s.Collector.DirectionDeg != first.Collector.DirectionDeg) {
			w.wrong(path, w.at(path), "the collectors of "+s.Name+" look another way than those of "+first.Name, `give the light on level ground, and write light = "`+levelGround+`"`)
			return
		}
	}
}
