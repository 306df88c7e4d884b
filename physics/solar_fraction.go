package physics

import "math"

// SolarMonth holds what the chart correlation needs of one month.
type SolarMonth struct {
	// Collector is the collector in the inlet form, with the factor of the
	// loop's exchanger applied to both constants.
	Collector InletCollector
	// AreaM2 is the collector area.
	AreaM2 float64
	// Days is the length of the month.
	Days float64
	// AmbientC is the mean air temperature of the month in degC.
	AmbientC float64
	// PlaneJM2Day is the mean daily light on the collector plane in J/m2.
	PlaneJM2Day float64
	// AngleFactor is the month's mean incidence-angle modifier, 0 to 1 (about
	// 0.96 for one cover facing the equator; from memory). It is not silently
	// 1: zero is an error.
	AngleFactor float64
	// LoadJ is the heat for hot water over the month, tank loss included.
	LoadJ float64
	// StoreLitrePerM2 is the tank volume by collector area, 37.5 to 300.
	StoreLitrePerM2 float64
	// DeliveredC and MainsC are hot and cold water in degC.
	DeliveredC, MainsC float64
}

// LossRatio is X of the chart, uncorrected: FR'UL (100 - Ta) dt A/L. Without a load
// it is +Inf, which Fraction refuses. Source as ChartFraction, by definition.
func (m SolarMonth) LossRatio() float64 {
	if !(m.LoadJ > 0) {
		return math.Inf(1)
	}
	return m.Collector.FRULWM2K * (100 - m.AmbientC) * m.Days * secondsPerDay * m.AreaM2 / m.LoadJ
}

// GainRatio is Y of the chart: FR'(tau alpha) times light times area by load.
// Without a load and for its source as LossRatio.
func (m SolarMonth) GainRatio() float64 {
	if !(m.LoadJ > 0) {
		return math.Inf(1)
	}
	return m.Collector.FRTauAlpha * m.AngleFactor * m.PlaneJM2Day * m.Days * m.AreaM2 / m.LoadJ
}

// Fraction is the solar share of the month's hot water, 0 to 1, with the
// corrections for tank volume and for hot water alone. An error when a figure
// or one of the two ratios is out of the correlation's range.
//
// Source: Klein, Beckman and Duffie (1976). It is an outside check of a
// simulated year: on yearly totals it agrees with detailed simulation to a few
// percent of the load, on single months less well. It knows nothing of a
// controller's mistakes.
func (m SolarMonth) Fraction() (float64, error) {
	err := firstError(
		checkPositive("collector area", m.AreaM2, "m2"),
		checkRange("days of the month", m.Days, 1, 31, ""),
		checkRange("mean air temperature", m.AmbientC, -40, 50, "degC"),
		checkNotNegative("daily light on the plane", m.PlaneJM2Day, "J/m2"),
		checkRange("mean incidence-angle modifier", m.AngleFactor, 0.5, 1, ""),
		checkPositive("load of the month", m.LoadJ, "J"),
	)
	if err != nil {
		return 0, err
	}
	volume, err := StoreVolumeCorrection(m.StoreLitrePerM2)
	if err != nil {
		return 0, err
	}
	water, err := HotWaterCorrection(m.DeliveredC, m.MainsC, m.AmbientC)
	if err != nil {
		return 0, err
	}
	return ChartFraction(m.LossRatio()*volume*water, m.GainRatio())
}

// ChartFraction is the correlation for liquid systems, 0 to 1: f = 1.029 Y -
// 0.065 X - 0.245 Y2 + 0.0018 X2 + 0.0215 Y3. Range X 0 to 18, Y 0 to 3, an
// error outside. Do not use it for air collectors.
//
// Source: Klein, Beckman and Duffie (1976); coefficients read second hand in
// five agreeing files.
func ChartFraction(lossRatio, gainRatio float64) (float64, error) {
	err := firstError(
		checkRange("loss ratio X of the month (is the collector too large for the load?)", lossRatio, 0, 18, ""),
		checkRange("gain ratio Y of the month (is the collector too large for the load?)", gainRatio, 0, 3, ""),
	)
	if err != nil {
		return 0, err
	}
	x, y := lossRatio, gainRatio
	return clamp(1.029*y-0.065*x-0.245*y*y+0.0018*x*x+0.0215*y*y*y, 0, 1), nil
}

// StoreVolumeCorrection is the factor on X for a tank that does not hold 75
// litres per m2 of collector: (M/75)^-0.25. Range 37.5 to 300, an error
// outside. Source as ChartFraction.
func StoreVolumeCorrection(litrePerM2 float64) (float64, error) {
	if err := checkRange("tank volume by collector area", litrePerM2, 37.5, 300, "litres per m2"); err != nil {
		return 0, err
	}
	return math.Pow(litrePerM2/75, -0.25), nil
}

// HotWaterCorrection is the factor on X when hot water is the only load: (11.6
// + 1.18 Tw + 3.86 Tm - 2.32 Ta)/(100 - Ta), delivered, mains and air in degC.
// It is for well-insulated tanks and delivered temperatures of 50 to 70 degC.
// Negative results, possible in hot air with cold mains, are clamped to zero.
//
// Source: Beckman, Klein and Duffie (1977), from memory.
func HotWaterCorrection(deliveredC, mainsC, ambientC float64) (float64, error) {
	err := firstError(
		checkRange("delivered water", deliveredC, 35, 90, "degC"),
		checkRange("mains water", mainsC, 0, 35, "degC"),
		checkRange("air", ambientC, -40, 50, "degC"),
	)
	if err != nil {
		return 0, err
	}
	return math.Max((11.6+1.18*deliveredC+3.86*mainsC-2.32*ambientC)/(100-ambientC), 0), nil
}
