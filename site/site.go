package site

import (
	"time"

	"sunstoker/control"
)

// Site is an installation as its file describes it. It is not changed after
// [Parse] and may be shared.
type Site struct {
	File string // as handed to Load or Parse
	Name string

	LatitudeDeg  float64 // north positive
	LongitudeDeg float64 // east positive
	AltitudeM    float64
	TimeZone     string         // such as "Europe/Rome"
	Zone         *time.Location // of TimeZone
	BatteryClock bool           // the board keeps the time without power
	ColdestC     float64        // coldest night to expect

	YearLightKWhM2 float64 // on level ground in a usual year; 0: not known

	SupplyW     float64 // that all heaters together may draw; 0: no limit
	ObserveOnly bool    // everything is decided and shown, nothing is switched

	StateFolder   string // absolute path
	History       History
	Electricity   Price           // of a kWh from the meter
	PricesByTime  []control.Price // in its currency, where it costs something else
	Forecast      Forecast
	Network       Network
	People        People
	MQTT          MQTT
	Listen        string // loopback address and port
	MetricsListen string // address and port of the metrics alone; empty: they are with the page
	OneWireFolder string // absolute path
	Guard         string // absolute path of the guard's socket; empty when there is none
	// OutputsTestedBy says who has tested this very wiring of the outputs in another
	// way than by the hand-over; empty when nobody has.
	OutputsTestedBy string

	Settings     control.Settings // of the house; the systems' own are in Systems
	Systems      []System
	Household    Household
	Surroundings Surroundings

	Plan    control.Plan   // what the controller needs
	Probes  []ProbeWiring  // in the order of Plan.Probes
	Outputs []OutputWiring // in the order of Plan.Outputs
	Advice  []Mistake      // worth a thought, but no fault

	text []byte
}

// Text is the file's text. It is not to be changed.
func (s *Site) Text() []byte { return s.text }

// With reads the site anew with its file's text edited. The error is a *Mistakes,
// or says which table has to be edited by hand; s is as before.
func (s *Site) With(edits ...Edit) (*Site, error) {
	text, err := Edited(s.text, edits...)
	if err != nil {
		return nil, err
	}
	return Parse(s.File, text)
}

// Network is what the page for other devices has beside the page's own.
type Network struct {
	Listen           string   // address and port; empty: there is none
	WebConfiguration string   // absolute path; there need be no file
	HostNames        []string // beside the board's own
}

// MQTT is a message broker that is told what the page shows.
type MQTT struct {
	Broker        string // address and port; empty: there is none
	Encrypted     bool
	AuthorityFile string // absolute path; empty: the authorities of the board's system
	User          string
	PasswordFile  string // absolute path; empty where there is no user
	Topic         string
	Every         time.Duration
	Commands      string // what messages may: "none", "use" or "install"
}

// People are names that may more than see.
type People struct {
	Install, Use []string
	Board        string // what whoever asks from the board itself may: "see", "use" or "install"
}

// System is one collector field with its tank.
type System struct {
	Name              string
	Loop              control.Loop
	Store             Store
	Glycol            bool    // propylene glycol in the loop; else plain water
	AntifreezePercent float64 // of propylene glycol by volume; 0 for water
	FreezingPointC    float64 // of the fluid in the loop
	LoopPressureBar   float64 // of the cold loop at the collector, above the air around it
	LoopFlowLPerMin   float64 // with the pump at full; 0 in a loop of natural circulation
	PumpW             float64 // electricity of the loop pump at full
	CirculationLMin   float64 // flow of the hot-water circulation
	CirculationW      float64 // electricity of its pump
	Collector         Collector
	Tank              Tank
	Heater            Heater
	TankFittings      TankFittings
	LoopFluidStore    LoopFluidStore
	Plumbing          Plumbing
	HotWaterLine      HotWaterLine
	Serviced          Serviced
	PromisedKWh       []float64        // heat from the sun, January to December; empty when nothing was promised
	DrawSharePercent  float64          // of the house's hot water; 0 in every system: equal shares
	Settings          control.Settings // the house's, with the system's own in their place
}

// Forecast is a file that foretells the light, hour by hour.
type Forecast struct {
	File         string // absolute path; empty when there is none. There need be no such file
	OnCollectors bool   // its light is that on the collectors; else on level ground
}

// History is what is kept of what happened, and for how long.
type History struct {
	Kept       bool
	Folder     string        // absolute path
	MinutesFor time.Duration // minutes
	AllFor     time.Duration // all the rest
}

// Collector is a field of flat plates, with the figures of its test report.
type Collector struct {
	AreaM2                   float64 // of the kind the test report uses
	TiltDeg                  float64 // 0 level, 90 upright
	DirectionDeg             float64 // where it looks to, clockwise from north
	OpticalEfficiencyPercent float64 // without heat loss
	LossWM2K                 float64 // W/(m² K)
	LossGrowthWM2K2          float64 // W/(m² K²)
}

// Tank is the hot water store.
type Tank struct {
	VolumeL    float64
	LossWK     float64 // standing loss, W/K
	TemperingC float64 // setting of the tempering valve; 0 when none is written
}

// Heater is the backup heater in the tank.
type Heater struct {
	PowerW  float64 // 0 when there is none
	CutOutC float64 // where its cut-out with manual reset opens; 0 when none is written

	HeightPercent float64 // where the element sits, of the tank's height

	// A simulation alone uses these.
	ThermostatC  float64 // where its own thermostat opens; 0: of the usual size
	NoThermostat bool
}

// TankFittings are measures and fittings of the tank; a simulation alone uses
// them, but for where the probes sit. What is 0 is of the usual size, but for
// heights and the inlet's share.
type TankFittings struct {
	HeightM                          float64 // inside
	CoilAreaM2                       float64 // outer surface of the solar coil
	CoilBottomPercent                float64 // of the tank's height, as all heights here
	CoilTopPercent                   float64 // 0: neither end is written
	InletStirsPercent                float64 // lowest part of the tank that the cold inlet stirs
	TopProbePercent, LowProbePercent float64
	ReliefC                          float64 // temperature relief valve
	NoReliefValve                    bool
}

// LoopFluidStore is what a store of loop fluid has beside its tank; a simulation
// alone uses it.
type LoopFluidStore struct {
	TapCoilAreaM2 float64 // outer surface of the drinking-water coil; 0: of the usual size
	FeedByLayers  bool    // the loop's fluid comes in where the store is as warm as it
	FluidLossL    float64 // a day
}

// Plumbing is the loop's pipes and safety parts; a simulation alone uses it, but
// for the relief valve. What is 0 is of the usual size.
type Plumbing struct {
	PipeLengthM    float64 // one way
	PipeBoreM      float64
	OutdoorPercent float64
	HeightM        float64 // collector's middle above the coil's
	HeightGiven    bool    // HeightM is written, and may be 0
	NoCheckValve   bool
	HeatDumpWK     float64 // of the heat dump's radiator
	CheckOpensBar  float64 // that lifts a light check valve; 0: natural circulation lifts none
	VesselL        float64 // whole expansion vessel
	NoVessel       bool
	ReliefBar      float64 // loop relief valve, above the air around it
	NoReliefValve  bool
}

// HotWaterLine is the pipe to the taps; a simulation alone uses it. Length 0:
// the taps stand beside the tank.
type HotWaterLine struct {
	LengthM, BoreM float64
	Circulation    bool // there is a return pipe with a pump
}

// Surroundings are those of tanks and collectors; a simulation alone uses them.
type Surroundings struct {
	RoomC                   float64 // around the tanks
	GroundReflectionPercent float64 // of the light on the ground before the collectors
}

// Household is who draws the hot water. A simulation alone uses it.
type Household struct {
	Profile         string  // load profile of EU regulation 812/2013, such as "M"; empty when people count
	People          int     // used when Profile is empty
	LitresPerPerson float64 // of hot water a day, at 60 °C over cold water of 10 °C
	Holidays        []Days  // with nobody at home
	Guests          []Guests
	DrawsInSeries   bool // hot water passes through all systems, in the order of the file
}

// Store says which water the tank holds.
type Store uint8

// The kinds of store.
const (
	DrinkingWater Store = iota // drinking water, heated by a solar coil
	LoopFluid                  // the loop's own fluid; a coil in it heats the drinking water
)

// String is the store as a site file writes it.
func (s Store) String() string {
	if s == LoopFluid {
		return "loop fluid"
	}
	return "drinking water"
}
