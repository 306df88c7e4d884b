package control

import (
	"fmt"
	"time"
)

//go:generate go run sunstoker/cmd/sunstoker check --reference ../deploy/settings.md

// Settings are the figures that an installer may change. Each field stands in
// exactly one row of the table in this file, which is the only place where a
// setting's name, unit, limits, default and meaning are declared.
type Settings struct {
	StartDifferenceK  float64
	StopDifferenceK   float64
	TargetDifferenceK float64
	MinimumRun        time.Duration
	MinimumRest       time.Duration
	PumpSavingPercent float64

	TankLimitC           float64
	TankLimitBandK       float64
	RestartCeilingC      float64
	RestartCeilingBandK  float64
	FrostStartC          float64
	FrostBandK           float64
	FrostTankFloorC      float64
	FrostWatchRun        time.Duration
	FrostWatchPause      time.Duration
	FreezeWarningMarginK float64
	FrostLastResortK     float64

	NightCoolingC  float64
	HeatDumpStartC float64
	ExerciseAfter  time.Duration

	HygieneInterval time.Duration
	HygieneC        float64
	HygieneHold     time.Duration
	HygieneWindows  Windows

	HeaterStartC      float64
	HeaterStopC       float64
	HeaterWindows     Windows
	HeaterFloorC      float64
	HeaterMinimumRun  time.Duration
	OffPeakWindows    Windows
	OffPeakStopC      float64
	HeaterMinimumRest time.Duration
	SuretyPercent     float64

	TapC float64

	CirculationWindows Windows
	CirculationStopC   float64
	CirculationRun     time.Duration
	CirculationDaily   time.Duration
	CirculationHygiene time.Duration

	ReadingAgeLimit time.Duration
	JumpPatience    time.Duration
	FrozenAfter     time.Duration
}

// Setting is one row of the table: all there is to know of a setting.
type Setting struct {
	Name    string  // key in the site file
	Group   string  // heading it stands under
	Unit    Unit    // of Min, Max and Default; time spans in seconds
	Min     float64 // smallest value allowed
	Max     float64 // largest value allowed
	Default float64
	Windows string // default of a setting that holds times of the day; such a row has no Unit, Min, Max
	Meaning string

	field func(*Settings) any // *float64, *time.Duration or *Windows
}

const (
	groupLoop    = "Loop pump"
	groupProtect = "Protection of the plant"
	groupHeater  = "Backup heater"
	groupHygiene = "Hygiene heat-up"
	groupTaps    = "Taps"
	groupReading = "Judging of readings"
)

var settingsTable = []Setting{
	{Name: "start_difference", Group: groupLoop, Unit: Kelvin, Min: 2, Max: 30, Default: 8,
		Meaning: "The loop pump starts when the collector is this much hotter than the tank bottom.",
		field:   func(s *Settings) any { return &s.StartDifferenceK }},
	{Name: "stop_difference", Group: groupLoop, Unit: Kelvin, Min: 0.5, Max: 20, Default: 3,
		Meaning: "The loop pump stops when the collector is only this much hotter than the tank bottom. It must be smaller than the start difference.",
		field:   func(s *Settings) any { return &s.StopDifferenceK }},
	{Name: "target_difference", Group: groupLoop, Unit: Kelvin, Min: 3, Max: 30, Default: 10,
		Meaning: "A loop pump whose speed can be set is regulated to keep the collector this much hotter than the tank bottom; near a limit it runs at full. It must be larger than the stop difference. A pump that is only on or off does not look at it.",
		field:   func(s *Settings) any { return &s.TargetDifferenceK }},
	{Name: "minimum_run", Group: groupLoop, Unit: Second, Min: 0, Max: 1800, Default: 120,
		Meaning: "Once started, the loop pump runs at least this long, unless a protection or a person stops it.",
		field:   func(s *Settings) any { return &s.MinimumRun }},
	{Name: "minimum_rest", Group: groupLoop, Unit: Second, Min: 0, Max: 1800, Default: 120,
		Meaning: "Once stopped, the loop pump rests at least this long, also after a start of the program; a protection waits 2 min at most.",
		field:   func(s *Settings) any { return &s.MinimumRest }},
	{Name: "pump_saving", Group: groupLoop, Unit: Percent, Min: 0, Max: 200, Default: 100,
		Meaning: "How far the loop pump's starts and hours are spared in a weak sun, once it has run for some days and its loop is known: a start waits until the collector has gathered enough heat, and a pump that is only on or off stops earlier, most of all while the tank is hot. More of it saves more of the pump's electricity and brings less of the sun's heat. A pump that is only on or off loses more heat by it than it saves electricity: at 100 % a coil 10 to 20 kWh a year for 4, a store of loop fluid 6 to 14 kWh for 5. Its default is therefore 0 %; write 100 % where its starts matter more, which become a quarter to a third fewer, or where heat costs less than electricity. 0 % means on and off by start_difference and stop_difference alone.",
		field:   func(s *Settings) any { return &s.PumpSavingPercent }},

	{Name: "tank_limit", Group: groupProtect, Unit: Celsius, Min: 40, Max: 85, Default: 70,
		Meaning: "No heat is brought into the tank when its hottest good reading is this hot: neither by the loop pump nor by the backup heater. Above 50 °C taps can scald within seconds: a tempering valve is needed.",
		field:   func(s *Settings) any { return &s.TankLimitC }},
	{Name: "tank_limit_band", Group: groupProtect, Unit: Kelvin, Min: 1, Max: 15, Default: 3,
		Meaning: "After the tank limit was reached, the tank must cool by this much before heat is brought in again.",
		field:   func(s *Settings) any { return &s.TankLimitBandK }},
	{Name: "restart_ceiling", Group: groupProtect, Unit: Celsius, Min: 85, Max: 150, Default: 110,
		Meaning: "The loop pump stays off while the collector is hotter than this, since pumping into a steaming collector drives steam and hammer into the loop. It must lie below the boiling point of the fluid at the loop's pressure.",
		field:   func(s *Settings) any { return &s.RestartCeilingC }},
	{Name: "restart_ceiling_band", Group: groupProtect, Unit: Kelvin, Min: 2, Max: 30, Default: 10,
		Meaning: "After the restart ceiling was passed, the collector must cool by this much below it before the loop pump may start.",
		field:   func(s *Settings) any { return &s.RestartCeilingBandK }},
	{Name: "frost_start", Group: groupProtect, Unit: Celsius, Min: 2, Max: 10, Default: 4,
		Meaning: "In a loop filled with plain water, frost protection circulates when the collector is this cold; and in short watch runs when the outdoor air is, unless the collector is known to be 3 K warmer.",
		field:   func(s *Settings) any { return &s.FrostStartC }},
	{Name: "frost_band", Group: groupProtect, Unit: Kelvin, Min: 0.5, Max: 10, Default: 2,
		Meaning: "Frost protection ends when the collector, or for watch runs the outdoor air, is this much above frost_start.",
		field:   func(s *Settings) any { return &s.FrostBandK }},
	{Name: "frost_tank_floor", Group: groupProtect, Unit: Celsius, Min: 3, Max: 30, Default: 4,
		Meaning: "Frost protection takes no more heat out of a tank that is this cold at the coil. Antifreeze, not circulation, is the protection in a long cold spell.",
		field:   func(s *Settings) any { return &s.FrostTankFloorC }},
	{Name: "frost_watch_run", Group: groupProtect, Unit: Second, Min: 30, Max: 1800, Default: 120,
		Meaning: "Length of a frost watch run: circulation for a while when the outdoor air is freezing, or when neither air nor collector can be read in the cold season.",
		field:   func(s *Settings) any { return &s.FrostWatchRun }},
	{Name: "frost_watch_pause", Group: groupProtect, Unit: Second, Min: 300, Max: 7200, Default: 900,
		Meaning: "How long the loop pump has rested when a frost watch run is due.",
		field:   func(s *Settings) any { return &s.FrostWatchPause }},
	{Name: "freeze_warning_margin", Group: groupProtect, Unit: Kelvin, Min: 1, Max: 20, Default: 5,
		Meaning: "A loop with antifreeze raises a finding when collector or outdoor air comes this near to the fluid's freezing point.",
		field:   func(s *Settings) any { return &s.FreezeWarningMarginK }},
	{Name: "frost_last_resort", Group: groupProtect, Unit: Kelvin, Min: 0, Max: 10, Default: 2,
		Meaning: "A loop with antifreeze that is this near above its fluid's freezing point gets short bursts of the tank's warmth, 3 min each after 15 min of rest at least, until two in a row have not brought the collector to frost_band above that, or the tank is at frost_tank_floor. It is a last resort and no replacement for antifreeze of the right strength. 0 K means never.",
		field:   func(s *Settings) any { return &s.FrostLastResortK }},

	{Name: "night_cooling", Group: groupProtect, Unit: Celsius, Min: 0, Max: 85, Default: 0,
		Meaning: "A tank whose hottest reading is this hot is cooled by 10 K through the cold collector, usually at night; during a holiday it begins 10 K lower. 0 °C means never. It costs heat, and is for loops that must not stagnate day after day.",
		field:   func(s *Settings) any { return &s.NightCoolingC }},
	{Name: "heat_dump_start", Group: groupProtect, Unit: Celsius, Min: 60, Max: 140, Default: 90,
		Meaning: "Where there is a heat dump, it takes the loop's heat past a full tank when the collector is this hot, and ends 15 K below. It must lie at least 15 K above the tank limit, and below restart_ceiling less restart_ceiling_band.",
		field:   func(s *Settings) any { return &s.HeatDumpStartC }},
	{Name: "exercise_after", Group: groupProtect, Unit: Second, Min: 0, Max: 2592000, Default: 259200,
		Meaning: "A loop pump that has stood still this long is turned over by night for 20 s, or for minimum_run where that is longer, so that it does not seize. 0 s means never.",
		field:   func(s *Settings) any { return &s.ExerciseAfter }},

	{Name: "hygiene_interval", Group: groupHygiene, Unit: Second, Min: 0, Max: 2592000, Default: 604800,
		Meaning: "Once in every such span, the tank top is held at the hygiene temperature, by the sun or else by the heater; only where the site file names a tempering valve. 0 s means never. Local codes may ask for more.",
		field:   func(s *Settings) any { return &s.HygieneInterval }},
	{Name: "hygiene_temperature", Group: groupHygiene, Unit: Celsius, Min: 55, Max: 75, Default: 60,
		Meaning: "Temperature of the hygiene heat-up at the tank top. Water this hot scalds within seconds where no tempering valve mixes it.",
		field:   func(s *Settings) any { return &s.HygieneC }},
	{Name: "hygiene_hold", Group: groupHygiene, Unit: Second, Min: 600, Max: 14400, Default: 3600,
		Meaning: "How long the hygiene temperature is held without a break: at least five times as long as published figures give for the death of nine germs of ten, which is 10 min at 60 °C and 90 min at 55 °C.",
		field:   func(s *Settings) any { return &s.HygieneHold }},
	{Name: "hygiene_windows", Group: groupHygiene, Windows: "13:00 to 18:00",
		Meaning: "Times of the day in which a hygiene heat-up may begin: late enough for the sun to have done its part. One that is due begins as the window opens. Where hot_water_surety lets the heater wait for the sun, it begins in the last window that leaves time enough before it is due, so late that its hold ends about as the window does, or as it is due.",
		field:   func(s *Settings) any { return &s.HygieneWindows }},

	{Name: "heater_start", Group: groupHeater, Unit: Celsius, Min: 30, Max: 65, Default: 45,
		Meaning: "Inside its windows the backup heater starts when the tank top is this cold.",
		field:   func(s *Settings) any { return &s.HeaterStartC }},
	{Name: "heater_stop", Group: groupHeater, Unit: Celsius, Min: 35, Max: 75, Default: 52,
		Meaning: "The backup heater stops when the tank top is this hot. It must be above heater_start and below the tank limit.",
		field:   func(s *Settings) any { return &s.HeaterStopC }},
	{Name: "heater_windows", Group: groupHeater, Windows: "05:00 to 07:00, 17:00 to 21:00",
		Meaning: `Times of the day, local civil time, in which the backup heater may help: "05:00 to 07:00, 17:00 to 21:00", "always" or "never".`,
		field:   func(s *Settings) any { return &s.HeaterWindows }},
	{Name: "heater_floor", Group: groupHeater, Unit: Celsius, Min: 0, Max: 50, Default: 30,
		Meaning: "Outside its windows, or while the clock is not set, the backup heater helps when the tank top is colder than this, and stops 5 K above. 0 °C means never.",
		field:   func(s *Settings) any { return &s.HeaterFloorC }},
	{Name: "off_peak_windows", Group: groupHeater, Windows: "never",
		Meaning: `Times of the day, local civil time, in which power is cheap and the backup heater heats the tank to off_peak_stop, though comfort does not ask for it: "22:00 to 06:00", or "never". A tank that is full by morning takes less of the sun.`,
		field:   func(s *Settings) any { return &s.OffPeakWindows }},
	{Name: "off_peak_stop", Group: groupHeater, Unit: Celsius, Min: 35, Max: 75, Default: 60,
		Meaning: "How hot cheap power heats the tank top. It must not be colder than heater_stop, nor come into the tank limit. Above 50 °C taps can scald within seconds: a tempering valve is needed.",
		field:   func(s *Settings) any { return &s.OffPeakStopC }},
	{Name: "heater_minimum_run", Group: groupHeater, Unit: Second, Min: 0, Max: 300, Default: 60,
		Meaning: "Once started, the backup heater runs at least this long, unless a protection or a person stops it.",
		field:   func(s *Settings) any { return &s.HeaterMinimumRun }},
	{Name: "heater_minimum_rest", Group: groupHeater, Unit: Second, Min: 0, Max: 1800, Default: 60,
		Meaning: "Once stopped, the backup heater rests at least this long, also after a start of the program.",
		field:   func(s *Settings) any { return &s.HeaterMinimumRest }},
	{Name: "hot_water_surety", Group: groupHeater, Unit: Percent, Min: 0, Max: 99.99, Default: 0,
		Meaning: "How sure hot water must be: the share of what is drawn that is to come warm, say 99 %; 99.9 % is very sure and costs more, and less than 95 % spares nothing more. The backup heater then waits for the sun as long as that allows, by the sun and the draws that the program has learned, and heats no hotter than heater_stop. Its windows hold until ten days are learned, and while a tank reading or the clock is missing. It keeps the tank cooler than a thermostat would, often just above tap_temperature: germs like that, so keep the hygiene heat-up, and leave this at 0 % where your code asks for a tank that is always hot. 0 % means that the windows alone decide.",
		field:   func(s *Settings) any { return &s.SuretyPercent }},

	{Name: "tap_temperature", Group: groupTaps, Unit: Celsius, Min: 35, Max: 50, Default: 40,
		Meaning: "Temperature that the people in the house want at the tap: the litres that are left in the tank are counted at it. It is no limit; a tempering valve is.",
		field:   func(s *Settings) any { return &s.TapC }},

	{Name: "circulation_windows", Group: groupTaps, Windows: "06:00 to 08:00, 18:00 to 21:00",
		Meaning: `Times of the day, local civil time, in which the hot-water circulation keeps the pipe to the taps hot: "06:00 to 08:00", "always" or "never". Outside of them it runs on demand alone. Buildings whose code asks for a circulation that is always hot need "always", and a hotter tank.`,
		field:   func(s *Settings) any { return &s.CirculationWindows }},
	{Name: "circulation_stop", Group: groupTaps, Unit: Celsius, Min: 30, Max: 60, Default: 45,
		Meaning: "The hot-water circulation stops when its return is this hot, or as hot as the tank top less 5 K, and goes on 5 K below. Where a code asks for 50 °C in the return, write 55 °C, and keep the tank at 60 °C.",
		field:   func(s *Settings) any { return &s.CirculationStopC }},
	{Name: "circulation_run", Group: groupTaps, Unit: Second, Min: 60, Max: 3600, Default: 300,
		Meaning: "How long the hot-water circulation runs at most when a draw begins or its button is pressed.",
		field:   func(s *Settings) any { return &s.CirculationRun }},
	{Name: "circulation_daily", Group: groupTaps, Unit: Second, Min: 0, Max: 86400, Default: 21600,
		Meaning: "How long the hot-water circulation may run in 24 hours, counted from its first run; heating the pipes for hygiene comes on top. It costs the tank heat as long as it runs. 24 h means without end.",
		field:   func(s *Settings) any { return &s.CirculationDaily }},
	{Name: "circulation_hygiene", Group: groupTaps, Unit: Second, Min: 0, Max: 7200, Default: 1800,
		Meaning: "After a hygiene heat-up of the tank the hot-water circulation takes its heat through the pipes, until its return has been at 50 °C for this long; without a return probe it runs this long. It comes once in half a hygiene_interval at most. 0 s says that the pipes are no part of the heat-up.",
		field:   func(s *Settings) any { return &s.CirculationHygiene }},

	{Name: "reading_age_limit", Group: groupReading, Unit: Second, Min: 5, Max: 600, Default: 30,
		Meaning: "A reading older than this counts as missing.",
		field:   func(s *Settings) any { return &s.ReadingAgeLimit }},
	{Name: "jump_patience", Group: groupReading, Unit: Second, Min: 2, Max: 120, Default: 20,
		Meaning: "A reading that jumps further than metal and water can is doubted; when it stays at its new level this long, it is believed. It must be shorter than reading_age_limit.",
		field:   func(s *Settings) any { return &s.JumpPatience }},
	{Name: "frozen_after", Group: groupReading, Unit: Second, Min: 3600, Max: 172800, Default: 43200,
		Meaning: "A reading that stays the same to the last digit for this long, while a neighbour moves by 10 K (the air by 5 K for a collector), is taken for frozen; a tank bottom after a quarter of that with the loop pump running.",
		field:   func(s *Settings) any { return &s.FrozenAfter }},
}

// SettingsTable gives every setting in the order of the reference page.
func SettingsTable() []Setting { return append([]Setting(nil), settingsTable...) }

// SettingNamed finds a row by its name.
func SettingNamed(name string) (Setting, bool) {
	for _, row := range settingsTable {
		if row.Name == name {
			return row, true
		}
	}
	return Setting{}, false
}

// DefaultSettings gives every setting its default.
func DefaultSettings() Settings {
	var s Settings
	for _, row := range settingsTable {
		if err := row.Set(&s, row.DefaultText()); err != nil {
			panic("control: default of " + row.Name + ": " + err.Error()) // a fault of the table itself; a test sets every default
		}
	}
	return s
}

// IsWindows tells whether the setting holds times of the day.
func (row Setting) IsWindows() bool { return row.Windows != "" }

// DefaultText is the default as a site file writes it.
func (row Setting) DefaultText() string {
	if row.IsWindows() {
		return row.Windows
	}
	return row.Unit.Format(row.Default)
}

// Allowed says in words which values the setting takes.
func (row Setting) Allowed() string {
	if row.IsWindows() {
		return "times of the day"
	}
	return row.Unit.Format(row.Min) + " to " + row.Unit.Format(row.Max)
}

// Text gives the setting's value in s as a site file writes it.
func (row Setting) Text(s *Settings) string {
	switch f := row.field(s).(type) {
	case *time.Duration:
		return row.Unit.Format(f.Seconds())
	case *Windows:
		return f.String()
	default:
		return row.Unit.Format(*f.(*float64))
	}
}

// Set reads text, as a site file writes it, into the setting's field of s. On
// an error, which says what is allowed, s is as before.
func (row Setting) Set(s *Settings, text string) error {
	if w, ok := row.field(s).(*Windows); ok {
		parsed, err := ParseWindows(text)
		if err == nil {
			*w = parsed
		}
		return err
	}
	v, err := row.Unit.Parse(text)
	if err != nil {
		return err
	}
	if v < row.Min || v > row.Max {
		return fmt.Errorf("%s is outside of what is allowed, %s", row.Unit.Format(v), row.Allowed())
	}
	switch f := row.field(s).(type) {
	case *time.Duration:
		*f = time.Duration(v * float64(time.Second))
	case *float64:
		*f = v
	}
	return nil
}
