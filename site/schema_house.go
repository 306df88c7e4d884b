package site

import (
	"time"

	"sunstoker/control"
)

// schema is the whole file. The order is that of the starter file, and of
// reading: the house's settings come before the systems, which start from them.
var schema table

// The schema is put together at start, since its walking functions refer to it.
func init() {
	schema = table{
		keys: []key{
			{name: "name", kind: plainText, form: &nameForm, required: true, example: "House on the hill",
				meaning: "What the house is called on the page and in reports.",
				set:     func(t *target, v value) { t.site.Name = v.text }},
			{name: "observe_only", kind: yesNo, def: "false",
				meaning: "Whether everything is decided and shown, and nothing is switched: for the first days after fitting. Frost protection does not run either.",
				set:     func(t *target, v value) { t.site.ObserveOnly = v.on }},
			{name: "supply_limit", unit: control.Watt, min: 500, max: 100000, example: "4 kW",
				meaning: "What all backup heaters of the house together may draw at most. Left out, there is no limit. It stands in for no fuse and no breaker.",
				set:     func(t *target, v value) { t.site.SupplyW = v.number }},
		},
		tables: []*table{&placeTable, &daemonTable, &networkTable, &peopleTable, &mqttTable, &historyTable, &electricityTable, &forecastTable, &oneWireTable, probeTable(true), &householdTable, &surroundingsTable, &settingsOfHouse, systemTable()},
	}
}

var placeTable = table{
	name: "place", required: true,
	meaning: "Where the house stands: for the sun, the clock, the frost and the air pressure.",
	keys: []key{
		{name: "latitude", unit: control.Degree, min: -90, max: 90, required: true, example: "45.0 °",
			meaning: "Latitude, north positive.",
			set:     func(t *target, v value) { t.site.LatitudeDeg = v.number }},
		{name: "longitude", unit: control.Degree, min: -180, max: 180, required: true, example: "8.0 °",
			meaning: "Longitude, east positive.",
			set:     func(t *target, v value) { t.site.LongitudeDeg = v.number }},
		{name: "altitude", unit: control.Metre, min: -450, max: 5500, required: true, example: "250 m",
			meaning: "Height above the sea. Fluids boil sooner in thin air.",
			set:     func(t *target, v value) { t.site.AltitudeM = v.number }},
		{name: "time_zone", kind: plainText, form: &timeZoneForm, required: true, example: "Europe/Rome",
			meaning: "Time zone of the house's clock, by its name in the IANA time zone database. Windows of the day follow it, summer time included.",
			set: func(t *target, v value) {
				t.site.TimeZone = v.text
				t.site.Zone, _ = zoneNamed(v.text) // the form has proved it
			}},
		{name: "battery_clock", kind: yesNo, def: "false",
			meaning: "Whether the board has a clock with a battery, so that its time can be trusted from the start.",
			set:     func(t *target, v value) { t.site.BatteryClock = v.on }},
		{name: "coldest", unit: control.Celsius, min: -50, max: 30, required: true, example: "-12 °C",
			meaning: "Outdoor air in the coldest night to expect. The fluid in the loop is checked against it.",
			set:     func(t *target, v value) { t.site.ColdestC = v.number }},
		{name: "sunshine", unit: control.LightSum, min: 300, max: 3000, example: "1400 kWh/m²",
			meaning: "Light on level ground in a usual year, as solar maps and weather services give it. Used by simulate alone, when it makes up weather; left out, it goes by latitude, and single places are off by a fifth.",
			set:     func(t *target, v value) { t.site.YearLightKWhM2 = v.number }},
	},
}

var daemonTable = table{
	name:    "daemon",
	meaning: "The program itself.",
	keys: []key{
		{name: "state_folder", kind: plainText, form: &folderForm, def: "/var/lib/sunstoker",
			meaning: "Folder for what is kept over a restart: the controller's memory, and a copy of the site file that the program runs by, which \"off\" needs when the file was changed meanwhile.",
			set:     func(t *target, v value) { t.site.StateFolder = v.text }},
		{name: "listen", kind: plainText, form: &listenForm, def: "127.0.0.1:8017",
			meaning: "Address and port of the page for the board itself, without a password. Only the board itself may be named (127.0.0.1 or [::1]); other devices come by [network]. Port 0 takes any free port.",
			set:     func(t *target, v value) { t.site.Listen = v.text }},
		{name: "metrics_listen", kind: plainText, form: &anywhereForm, example: "127.0.0.1:8018",
			meaning: "Address and port for the metrics alone. Left out, they are at the page's address as /metrics. On an address that other devices reach they take a password, as the page does.",
			set:     func(t *target, v value) { t.site.MetricsListen = v.text }},
		{name: "guard", kind: plainText, form: &socketForm, advised: true, example: "/run/sunstoker/guard",
			meaning: "Socket of the guard: a small process of its own (the command \"guard\", a service of its own) that holds relays, level files and speed signals in this program's place, and drops them within 2 s when it is killed, hangs or is stopped. Written, nothing of these is driven while no guard is there. Left out, this program holds them itself, and what they do when it dies is up to board and wiring.",
			set:     func(t *target, v value) { t.site.Guard = v.text }},
		{name: "outputs_tested_by", kind: plainText, form: &nameForm, example: "A. Rossi, 2026-05-01",
			meaning: "Who has switched every output alone and seen that it was the right one, and when, in another way than by the command \"handover\". Without such a record of this very wiring, and without this line, nothing is switched but by that command: everything is decided and shown only. Take the line out when you change an output.",
			set:     func(t *target, v value) { t.site.OutputsTestedBy = v.text }},
	},
}

var historyTable = table{
	name:    "history",
	meaning: "What happened, kept on the board: temperatures, outputs with their reasons, findings, heat.",
	keys: []key{
		{name: "kept", kind: yesNo, def: "true",
			meaning: "Whether a history is kept. It wears a storage card by a few megabytes a day.",
			set:     func(t *target, v value) { t.site.History.Kept = v.on }},
		{name: "folder", kind: plainText, form: &folderForm, example: "/mnt/stick/sunstoker",
			meaning: "Folder of the history, some 100 MB after twenty years, such as one on a stick that spares the board's card. The service must be allowed to write there (ReadWritePaths= in a drop-in). Every site needs one of its own. Left out, it lies in the state folder.",
			set:     func(t *target, v value) { t.site.History.Folder = v.text }},
		{name: "keep_minutes", unit: control.Second, min: 86400, max: 3660 * 86400, def: "90 d",
			meaning: "How long what was measured in every minute is kept.",
			set:     func(t *target, v value) { t.site.History.MinutesFor = seconds(v.number) }},
		{name: "keep_all", unit: control.Second, min: 366 * 86400, max: 36525 * 86400, def: "7305 d",
			meaning: "How long all the rest is kept: quarter hours, events, heat by the hour. 7305 d are 20 years. It can't be shorter than keep_minutes.",
			set:     func(t *target, v value) { t.site.History.AllFor = seconds(v.number) }},
	},
}

// seconds is a time span as the unit table gives it.
func seconds(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }

var oneWireTable = table{
	name:    "one_wire",
	meaning: "The bus of the one-wire probes.",
	keys: []key{
		{name: "folder", kind: plainText, form: &folderForm, def: "/sys/bus/w1/devices",
			meaning: "Folder in which the kernel shows the probes.",
			set:     func(t *target, v value) { t.site.OneWireFolder = v.text }},
	},
}

var householdTable = table{
	name:    "household",
	meaning: "Who draws the hot water. Used by the command \"simulate\" alone; the controller looks at draws_in_series alone, and the demo has people of its own.",
	keys: []key{
		{name: "profile", kind: choice, choices: []string{"S", "M", "L", "XL"}, example: "M",
			meaning: "Load profile of the European regulation 812/2013, instead of people and litres_per_person.",
			set:     func(t *target, v value) { t.site.Household.Profile = v.text }},
		{name: "people", kind: wholeNumber, min: 1, max: 50, def: "4",
			meaning: "How many people live in the house.",
			set:     func(t *target, v value) { t.site.Household.People = int(v.number) }},
		{name: "litres_per_person", unit: control.Litre, min: 5, max: 200, def: "40 l",
			meaning: "Hot water that each of them draws on a mean day, counted at 60 °C over cold water of 10 °C. Planning figures: 40 l simple, 45 l medium, 55 l high (SIA 385/2, 2015, read second hand).",
			set:     func(t *target, v value) { t.site.Household.LitresPerPerson = v.number }},
		{name: "holidays", kind: plainText, form: &holidaysForm, example: "2 August to 15 August",
			meaning: "Days with nobody at home, every year, both ends included; several runs of days stand behind commas.",
			set:     func(t *target, v value) { t.site.Household.Holidays, _ = parseHolidays(v.text) }}, // the form has proved it
		{name: "guests", kind: plainText, form: &guestsForm, example: "2 from 23 December to 2 January",
			meaning: "Days with more people in the house, every year, and how many more.",
			set:     func(t *target, v value) { t.site.Household.Guests, _ = parseGuests(v.text) }},
		{name: "draws_in_series", kind: yesNo, def: "false",
			meaning: "true when the cold water runs through all systems of the house one after the other, in the order of this file, and the last one feeds the taps; its heater then makes the water hot, and those before it only keep to their floor. Otherwise each feeds the taps with its share.",
			set:     func(t *target, v value) { t.site.Household.DrawsInSeries = v.on }},
	},
}

var surroundingsTable = table{
	name:    "surroundings",
	meaning: "What stands around tanks and collectors. Used by simulate alone.",
	keys: []key{
		{name: "room", unit: control.Celsius, min: -10, max: 45, def: "18 °C",
			meaning: "Temperature around the tanks.",
			set:     func(t *target, v value) { t.site.Surroundings.RoomC = v.number }},
		{name: "ground_reflection", unit: control.Percent, min: 0, max: 100, def: "20 %",
			meaning: "Share of the light that the ground before the collectors throws back: grass about 20 %, snow 60 % and more.",
			set:     func(t *target, v value) { t.site.Surroundings.GroundReflectionPercent = v.number }},
	},
}

var settingsOfHouse = table{
	name:    "settings",
	meaning: "Settings of the house, and of every system that has none of its own.",
	keys:    settingKeys(),
	enter:   func(_ *walker, t *target, _ position) { t.settings = &t.site.Settings },
}

// settingKeys makes a key of every row of the control package's table.
func settingKeys() []key {
	var keys []key
	for _, row := range control.SettingsTable() {
		keys = append(keys, key{name: row.Name, kind: setting, setting: &row, def: row.DefaultText(), meaning: row.Meaning})
	}
	return keys
}
