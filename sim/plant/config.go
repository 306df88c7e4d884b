package plant

import (
	"fmt"
	"slices"

	"sunstoker/physics"
)

// Limits of a Config.
const (
	MaxCollectorNodes = 16
	MaxLayers         = 96
)

// Config describes one solar water heater: a collector field, its pumped loop
// and its tank. Heights in the tank are shares of its inner height, 0 at the
// bottom and 1 at the top. Typical gives a complete one to start from.
type Config struct {
	// Collector holds the figures of the test report, see physics.Collector.
	Collector physics.Collector
	// CollectorNodes is the number of stirred cells in flow direction, 1 to
	// MaxCollectorNodes. Four put the outlet within a tenth of a kelvin of the
	// published equation, see doc.go.
	CollectorNodes int
	// NightSkyDropShare is the part of the difference between air and night
	// sky by which the collector's surroundings seem colder than the air, 0 to
	// 1. It makes an idle collector sit a few kelvin below the air on clear
	// nights (common practice, no source).
	NightSkyDropShare float64

	// Fluid is the heat carrier of the loop.
	Fluid physics.Fluid
	// LoopPressurePaAbs is the pressure at the collector in pascal absolute,
	// 0.5e5 to 12e5, as the loop was filled; see Sealing.
	LoopPressurePaAbs float64
	// AirPaAbs is the pressure of the air around the plant in Pa absolute; zero:
	// that of the sea's level.
	AirPaAbs float64
	// Sealing is what holds the loop's pressure.
	Sealing Sealing
	// PumpFlowLMin is the flow at pump level 1 in litres a minute.
	PumpFlowLMin float64
	// PumpW is the electric power at level 1 in W; it scales with the level. Zero:
	// there is no pump, so that none can break.
	PumpW float64
	// CheckValve stops flow while the pump rests. Without it (or when it is
	// stuck open) the weights of the hot and cold column drive the loop.
	CheckValve bool
	// CheckOpensPa is the drive in Pa that lifts the check valve forward, as a
	// light flap in a loop of natural circulation does. Zero: the drive of
	// natural circulation does not lift it.
	CheckOpensPa float64
	// LoopHeadPa is the pressure drop of the loop at PumpFlowLMin in Pa; it
	// sets how fast natural circulation runs in a loop whose pipes have no bore.
	LoopHeadPa float64
	// CollectorAboveTankM is the height of the collector's middle above the
	// coil's middle in m, negative when the collector hangs lower (as a plant
	// with natural circulation needs).
	CollectorAboveTankM float64
	// CollectorHeightM is how far the collector's outlet lies above its inlet in
	// m.
	CollectorHeightM float64
	// HotPipe leads from collector to coil, ColdPipe back. Both or neither have
	// a bore.
	HotPipe, ColdPipe Pipe
	// CoilBoreM and CoilLengthM are the coil's inner diameter and length in m,
	// for its friction; zero for none. A collector of parallel risers loses
	// little: count it with a pipe's FittingsLoss.
	CoilBoreM, CoilLengthM float64

	// HeatDumpWK is the heat transfer of a radiator out of doors in W/K that a
	// valve can put in the coil's place. Zero: not fitted.
	HeatDumpWK float64

	// CoilUAWK is the heat transfer of the whole coil in W/K.
	CoilUAWK float64
	// CoilBottom and CoilTop bound the coil in the tank; the loop enters at
	// the top.
	CoilBottom, CoilTop float64

	// TankLitres is the water content in litres, counted as kilograms.
	TankLitres float64
	// Layers is the number of layers, 1 (fully mixed) to MaxLayers.
	Layers int
	// TankHeightM is the inner height in m.
	TankHeightM float64
	// TankUAWK is the standing loss in W/K of the whole tank.
	TankUAWK float64
	// TankConductivityWmK is the vertical conductivity of water, wall and
	// fittings taken together, in W/(m K). Water alone has about 0.6.
	TankConductivityWmK float64
	// StartC is the temperature of the tank and the loop at the beginning in degC.
	StartC float64
	// StartTopC is that of the tank's top, with an even rise from the bottom, which
	// is at StartC. Zero: as StartC.
	StartTopC float64

	// InletMixing is the lowest share of the tank that the jet of the cold inlet
	// stirs during a draw, 0 (a good inlet) to 1. A bare pipe end stirs some 0.1
	// to 0.3 (common practice, no source).
	InletMixing float64
	// Store is set for a tank that holds the loop's fluid.
	Store Store
	// Circulation is the hot-water line to the taps, with or without a pump.
	Circulation Circulation

	// HeaterW is the power of the electric heater in W, 0 for none.
	HeaterW float64
	// HeaterHeight is where the element sits; it heats from there upwards.
	HeaterHeight float64
	// ThermostatC is where the heater's own thermostat opens in degC; it closes
	// again 5 K lower. Zero: not fitted.
	ThermostatC float64
	// CutOutC is where the independent cut-out with manual reset opens in
	// degC. Zero: not fitted.
	CutOutC float64

	// TemperingC is the setting of the tempering valve in degC. Zero: not
	// fitted, the tap gets water as hot as the tank's top.
	TemperingC float64
	// ReliefC is the tank temperature in degC at which the temperature relief
	// valve lets hot water out. Zero: not fitted.
	ReliefC float64

	// TopProbeHeight and BottomProbeHeight are where the tank's probes sit.
	TopProbeHeight, BottomProbeHeight float64
}

// Pipe is one run of insulated pipe between collector and tank. The zero Pipe
// is no pipe.
type Pipe struct {
	VolumeL      float64 // fluid content in litres
	UAWK         float64 // loss to the surroundings in W/K
	OutdoorShare float64 // share of the run out of doors, 0 to 1; the rest is at room temperature

	// For the friction of natural circulation; see Config.LoopHeadPa.
	BoreM, LengthM float64 // inner diameter and length in m; zero bore: not told
	FittingsLoss   float64 // sum of the loss factors of bends, valves and the like
}

// Typical is a plausible plant for three or four people: 4 m2 of flat plate,
// 300 litres, 12 layers, glycol, a 2 kW backup heater. Its figures are of the
// usual size (common practice, no source), not those of any product.
func Typical() Config {
	glycol, err := physics.PropyleneGlycol(0.4)
	if err != nil {
		panic(err) // a constant inside the range cannot fail
	}
	return Config{
		Collector:           physics.Collector{Eta0: 0.78, A1WM2K: 3.8, A2WM2K2: 0.012, AreaM2: 4, CapacityJM2K: 8000, B0: 0.12},
		CollectorNodes:      4,
		NightSkyDropShare:   0.15,
		Fluid:               glycol,
		LoopPressurePaAbs:   3e5,
		Sealing:             Sealing{Fitted: true},
		PumpFlowLMin:        4,
		PumpW:               25,
		CheckValve:          true,
		LoopHeadPa:          20e3,
		CollectorAboveTankM: 5,
		CollectorHeightM:    1.3,
		HotPipe:             Pipe{VolumeL: 2.5, UAWK: 2.5, OutdoorShare: 0.3},
		ColdPipe:            Pipe{VolumeL: 2.5, UAWK: 2.5, OutdoorShare: 0.3},
		CoilUAWK:            350,
		CoilBottom:          0.05,
		CoilTop:             0.45,
		TankLitres:          300,
		Layers:              12,
		TankHeightM:         1.6,
		TankUAWK:            2.2,
		TankConductivityWmK: 1.0,
		StartC:              20,
		HeaterW:             2000,
		HeaterHeight:        0.6,
		ThermostatC:         70,
		CutOutC:             85,
		TemperingC:          55,
		ReliefC:             95,
		TopProbeHeight:      0.85,
		BottomProbeHeight:   0.2,
	}
}

// TypicalNatural is Typical as a plant with natural circulation: the tank
// hangs above the collector, wide short pipes out of doors, no pump. Its figures
// are of the usual size (common practice, no source), not those of any product.
func TypicalNatural() Config {
	c := Typical()
	c.PumpW, c.CheckValve = 0, false
	c.CollectorAboveTankM = -1.2
	c.HotPipe = Pipe{VolumeL: 0.8, UAWK: 0.6, OutdoorShare: 1, BoreM: 0.022, LengthM: 2, FittingsLoss: 10}
	c.ColdPipe = Pipe{VolumeL: 1.0, UAWK: 0.8, OutdoorShare: 1, BoreM: 0.022, LengthM: 2.6, FittingsLoss: 10}
	c.CoilBoreM, c.CoilLengthM = 0.026, 6
	c.TankLitres, c.TankHeightM = 200, 1.1
	c.CollectorHeightM = 1.2
	c.Collector.AreaM2 = 4
	c.CoilBottom, c.CoilTop = 0.05, 0.75
	return c
}

// startTopC is the temperature of the tank's top at the beginning.
func (c *Config) startTopC() float64 {
	if c.StartTopC == 0 {
		return c.StartC
	}
	return c.StartTopC
}

// Validate returns an error that names the first figure out of range.
func (c Config) Validate() error {
	if err := c.Collector.Validate(); err != nil {
		return fmt.Errorf("plant: %w", err)
	}
	for _, r := range slices.Concat(c.ranges(), c.storeRanges(), c.Circulation.ranges(), c.sealingRanges()) {
		if !(r.value >= r.low && r.value <= r.high) {
			return fmt.Errorf("plant: %s is %g; give a value from %g to %g", r.what, r.value, r.low, r.high)
		}
	}
	if c.CoilTop <= c.CoilBottom {
		return fmt.Errorf("plant: the coil's top %g is not above its bottom %g", c.CoilTop, c.CoilBottom)
	}
	if (c.HotPipe.BoreM > 0) != (c.ColdPipe.BoreM > 0) {
		return fmt.Errorf("plant: one pipe has a bore and the other has none; give both or neither")
	}
	if c.conductionNumber(maxStepS) > maxConductionNumber {
		return fmt.Errorf("plant: %d layers in %g m with %g W/(m K) are too thin to compute; use fewer layers",
			c.Layers, c.TankHeightM, c.TankConductivityWmK)
	}
	return nil
}

type valueRange struct {
	what             string
	value, low, high float64
}

func (c Config) ranges() []valueRange {
	return []valueRange{
		{"the number of collector nodes", float64(c.CollectorNodes), 1, MaxCollectorNodes},
		// The cells' temperatures need a capacity to live in.
		{"the collector's heat capacity in J/(m2 K)", c.Collector.CapacityJM2K, 500, 1e6},
		{"the night-sky share", c.NightSkyDropShare, 0, 1},
		{"the loop pressure in Pa absolute", c.LoopPressurePaAbs, 0.5e5, 12e5},
		{"the air pressure in Pa absolute", c.airPa(), 0.4e5, 1.2e5},
		{"the pump flow in l/min", c.PumpFlowLMin, 0.05, 1000},
		{"the pump power in W", c.PumpW, 0, 1e4},
		{"the loop's pressure drop in Pa", c.LoopHeadPa, 10, 1e6},
		{"the collector's height above the tank in m", c.CollectorAboveTankM, -50, 50},
		{"the collector's height in m", c.CollectorHeightM, 0, 30},
		{"the hot pipe's volume in litres", c.HotPipe.VolumeL, 0, 1e4},
		{"the hot pipe's loss in W/K", c.HotPipe.UAWK, 0, 1e4},
		{"the hot pipe's outdoor share", c.HotPipe.OutdoorShare, 0, 1},
		{"the cold pipe's volume in litres", c.ColdPipe.VolumeL, 0, 1e4},
		{"the cold pipe's loss in W/K", c.ColdPipe.UAWK, 0, 1e4},
		{"the cold pipe's outdoor share", c.ColdPipe.OutdoorShare, 0, 1},
		{"the hot pipe's bore in m", c.HotPipe.BoreM, 0, 0.3},
		{"the hot pipe's length in m", c.HotPipe.LengthM, leastLengthM(c.HotPipe.BoreM), 1000},
		{"the hot pipe's fittings loss", c.HotPipe.FittingsLoss, 0, 1e4},
		{"the cold pipe's bore in m", c.ColdPipe.BoreM, 0, 0.3},
		{"the cold pipe's length in m", c.ColdPipe.LengthM, leastLengthM(c.ColdPipe.BoreM), 1000},
		{"the cold pipe's fittings loss", c.ColdPipe.FittingsLoss, 0, 1e4},
		{"the coil's bore in m", c.CoilBoreM, 0, 0.3},
		{"the coil's length in m", c.CoilLengthM, 0, 1000},
		{"the drive that lifts the check valve in Pa", c.CheckOpensPa, 0, 1e5},
		{"the heat dump's heat transfer in W/K", c.HeatDumpWK, 0, 1e6},
		{"the coil's heat transfer in W/K", c.CoilUAWK, 0, 1e6},
		{"the coil's bottom", c.CoilBottom, 0, 1},
		{"the coil's top", c.CoilTop, 0, 1},
		{"the tank's content in litres", c.TankLitres, 5, 1e6},
		{"the number of layers", float64(c.Layers), 1, MaxLayers},
		{"the tank's height in m", c.TankHeightM, 0.1, 20},
		{"the tank's loss in W/K", c.TankUAWK, 0, 1e4},
		{"the tank's conductivity in W/(m K)", c.TankConductivityWmK, 0, 500},
		{"the tank's start temperature in degC", c.StartC, 0.5, 99},
		{"the start temperature of the tank's top in degC", c.StartTopC, 0, 99},
		{"the inlet's mixing share", c.InletMixing, 0, 1},
		{"the heater's power in W", c.HeaterW, 0, 1e6},
		{"the heater's height", c.HeaterHeight, 0, 1},
		{"the heater thermostat in degC", c.ThermostatC, 0, 120},
		{"the cut-out in degC", c.CutOutC, 0, 120},
		{"the tempering valve in degC", c.TemperingC, 0, 90},
		{"the relief valve in degC", c.ReliefC, 0, 120},
		{"the height of the top probe", c.TopProbeHeight, 0, 1},
		{"the height of the bottom probe", c.BottomProbeHeight, 0, 1},
	}
}

// leastLengthM keeps a pipe with a bore from having no friction at all.
func leastLengthM(boreM float64) float64 {
	if boreM > 0 {
		return 0.01
	}
	return 0
}

// maxConductionNumber keeps the explicit conduction step far from its
// stability limit of 0.5 and free of overshoot.
const maxConductionNumber = 0.25

// conductionNumber is the heat a layer exchanges with one neighbour in a step,
// as a share of the heat it would need to become as warm: G dt / C.
func (c Config) conductionNumber(stepS float64) float64 {
	if c.Layers < 2 {
		return 0
	}
	return c.layerConductanceWK() * stepS / c.layerCapacityJK()
}

func (c Config) layerCapacityJK() float64 {
	return c.TankLitres / float64(c.Layers) * c.litreJK()
}

func (c Config) layerConductanceWK() float64 {
	crossSectionM2 := c.TankLitres / 1000 / c.TankHeightM
	return c.TankConductivityWmK * crossSectionM2 / (c.TankHeightM / float64(c.Layers))
}

func (c Config) boilingC() float64 {
	return c.Fluid.BoilingPointC(c.LoopPressurePaAbs)
}

// pumpFlowKgS is the mass flow at full level for fluid of the temperature.
func (c Config) pumpFlowKgS(tempC float64) float64 {
	return c.PumpFlowLMin / 60000 * c.Fluid.DensityKgM3(tempC)
}

// clamp bounds x; a NaN stays one. Comparisons, since the built-in minimum of
// floats costs more.
func clamp(x, low, high float64) float64 {
	if x < low {
		return low
	}
	if x > high {
		return high
	}
	return x
}
