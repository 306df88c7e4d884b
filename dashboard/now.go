package dashboard

import (
	"encoding/json"
	"math"
	"time"
)

// The types in this file are the JSON interface. Names are stable and carry
// their units; page/src/api.ts reads the same ones, and testdata/now_*.json are
// the samples that both sides are tested against.

// Answer is what /api/now gives and what a "tick" event carries.
type Answer struct {
	AgeSeconds float64         `json:"age_seconds"` // of the tick, in real time, when the answer was made
	May        string          `json:"may"`         // what who asks may do: "see", "use" or "install"
	Now        json.RawMessage `json:"now"`         // a [Now]
}

// Now is one tick.
type Now struct {
	Site           string    `json:"site"`
	Version        string    `json:"version"`
	Tick           uint64    `json:"tick"` // 1 for the first since the start
	Wall           Wall      `json:"wall"`
	UpSeconds      float64   `json:"up_seconds"`           // since the start of the program, in the house's time
	ServiceSeconds float64   `json:"service_seconds"`      // all runs together
	LateSeconds    float64   `json:"late_seconds"`         // how long after its due time the tick began
	TookSeconds    float64   `json:"took_seconds"`         // from its begin until every output was driven
	Servicing      bool      `json:"servicing"`            // the service state is on
	HolidaySeconds float64   `json:"holiday_seconds_left"` // 0 when there is none
	Readings       []Reading `json:"readings"`             // of the house, such as the outdoor air
	Systems        []System  `json:"systems"`
	Findings       []Finding `json:"findings"` // most urgent first

	ForecastTrouble string `json:"forecast_trouble"` // why the site's forecast of the light can't be used; empty when it can, or none is named
}

// Wall is the house's wall clock.
type Wall struct {
	Local   time.Time `json:"local"` // civil time of the house, RFC 3339
	Zone    string    `json:"zone"`  // such as "Europe/Rome"
	Trusted bool      `json:"trusted"`

	SunUp    string  `json:"sun_up"`       // over the house: "yes", "no", or "unknown" while the clock is not set
	SunRises *string `json:"sun_rises_at"` // "07:12", civil time of the house; null while it is up, not known, or not to rise for two days
}

// System is one collector field with its tank.
type System struct {
	Name          string    `json:"name"`
	Loop          string    `json:"loop"` // "pumped" or "natural"
	HeaterPowerW  float64   `json:"heater_power_w"`
	TankLimitC    float64   `json:"tank_limit_c"`
	Store         string    `json:"store"`           // what the tank holds: "drinking water" that a coil of the loop heats, or "loop fluid" with a coil for the drinking water in it
	HeatFromSun   string    `json:"heat_from_sun"`   // "yes", "no" or "unknown", in this moment
	HeatFromMeter string    `json:"heat_from_meter"` // likewise
	HotLitres     *float64  `json:"hot_litres"`      // still to be had at tap_c without more heat; null when not known
	TapC          float64   `json:"tap_c"`
	BoostSeconds  float64   `json:"boost_seconds_left"`  // 0 when nobody asks for hot water now
	HeaterOpens   *string   `json:"heater_opens_at"`     // "16:00", civil time of the house: when the backup heater's windows next open; null while one is open, never, or while the clock is not set
	HygieneDue    *float64  `json:"hygiene_due_seconds"` // until the next hygiene heat-up is due, 0 when it is; null where none is asked for
	Energy        Energy    `json:"energy"`
	Outlook       *Outlook  `json:"outlook"` // null while hot_water_surety is 0 %, a tank reading is missing or the clock is not set
	Readings      []Reading `json:"readings"`
	Outputs       []Output  `json:"outputs"`
}

// Energy is a system's energy book since the site was first started, in
// joules. What can't be counted for want of probes is null.
type Energy struct {
	FromSun   *float64 `json:"from_sun_j"`
	FromMeter float64  `json:"from_meter_j"`
	Drawn     *float64 `json:"drawn_j"`
	TankLoss  *float64 `json:"tank_loss_j"`
	LoopLoss  *float64 `json:"loop_loss_j"`
	Pump      float64  `json:"pump_j"` // of the loop

	CirculationLoss *float64 `json:"circulation_loss_j"` // not in drawn_j; where it is null, it is
	CirculationPump float64  `json:"circulation_pump_j"`
}

// Outlook is what the rule that waits for the sun foresees.
type Outlook struct {
	Decides       bool     `json:"decides"` // over the backup heater; else its windows do
	LearnedDays   int      `json:"learned_days"`
	Sun           float64  `json:"sun_j"`          // that the sun should bring in sun_seconds
	ToldRatio     float64  `json:"told_ratio"`     // weight in it of the site's forecast file, 0 to 1; else the plant's own days foretell it
	SunLowRatio   float64  `json:"sun_low_ratio"`  // part of it that nine days of ten bring at least
	SunSeconds    float64  `json:"sun_seconds"`    // from now
	Wanted        float64  `json:"wanted_j"`       // that will likely be drawn in wanted_seconds
	WantedSeconds float64  `json:"wanted_seconds"` // from now
	StartSeconds  *float64 `json:"start_seconds"`  // until the heater gives up waiting; null when it need not start
}

// Reading is one judged reading.
type Reading struct {
	Place      string   `json:"place"`       // "tank_top"
	Words      string   `json:"words"`       // "tank top"
	Value      *float64 `json:"value"`       // in unit; null when there is none; to be believed only when quality is good
	Unit       string   `json:"unit"`        // "°C"; empty for a plain number
	AgeSeconds *float64 `json:"age_seconds"` // of the value; null when there is none
	Quality    string   `json:"quality"`     // "good", "suspect" or "missing"
	HeldOver   bool     `json:"held_over"`   // the newest sample can't be used; the last good value stands in
	Why        *Reason  `json:"why"`         // why it is not good; null when it is
	Fault      string   `json:"fault"`       // the driver's own words, or empty
	ProbeKind  string   `json:"probe_kind"`  // "one-wire"
	Raw        string   `json:"raw"`         // as it came from the bus, or empty
}

// Output is one decision and what became of it. Levels run from 0 to 1.
type Output struct {
	Actuator            string  `json:"actuator"`     // "loop_pump"
	Words               string  `json:"words"`        // "loop pump"
	LeastRatio          float64 `json:"least_ratio"`  // the lowest level above 0 that it can be driven at; 0 when it can only be on or off
	LevelRatio          float64 `json:"level_ratio"`  // what the output has now
	WantedRatio         float64 `json:"wanted_ratio"` // what was decided; what would be done, when nothing is switched and all only watched
	Rank                string  `json:"rank"`         // of the winning vote
	Reason              Reason  `json:"reason"`
	Urgent              bool    `json:"urgent"`
	HeldSeconds         float64 `json:"held_seconds"` // a minimum time still keeps it so; 0 when none does
	Fault               string  `json:"fault"`        // why it could not be driven, or empty
	OverrideRatio       float64 `json:"override_ratio"`
	OverrideSecondsLeft float64 `json:"override_seconds_left"` // 0 when nobody set it by hand
	RunSeconds          float64 `json:"run_seconds"`           // since the site was first started
	Switchings          uint64  `json:"switchings"`            // since the site was first started
	Votes               []Vote  `json:"votes"`
}

// Vote is what one rule wants.
type Vote struct {
	LevelRatio float64 `json:"level_ratio"`
	Rank       string  `json:"rank"`
	Reason     Reason  `json:"reason"`
}

// Reason is a sentence with its key and figures, in the sentence's own units.
type Reason struct {
	Key    string     `json:"key"`
	Text   string     `json:"text"`
	Values [3]float64 `json:"values"`
}

// Finding is something that is wrong.
type Finding struct {
	Kind       string  `json:"kind"`    // "probe_silent"
	System     string  `json:"system"`  // its name; empty for the house
	Part       string  `json:"part"`    // place or actuator it is about; empty for the whole system
	About      string  `json:"about"`   // part in words, or empty
	Urgency    string  `json:"urgency"` // "information", "soon" or "at_once"
	Title      string  `json:"title"`
	Evidence   Reason  `json:"evidence"`
	Likely     string  `json:"likely"`
	Check      string  `json:"check"`
	Detail     string  `json:"detail"` // a driver's own words, or empty
	ForSeconds float64 `json:"for_seconds"`
}

// finite makes a figure safe for JSON, which has no words for what is no number.
func finite(v float64) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0
	}
	return v
}
