package physics

import "math"

// Temperatures in degC that hold Legionella down. Local codes decide.
const (
	// LegionellaStorageC is the least temperature of stored hot water: WHO,
	// Legionella and the prevention of legionellosis (2007), chapter 4, for the
	// water that leaves a recirculating heater (read); UK HSE HSG274 Part 2
	// (read second hand).
	LegionellaStorageC = 60
	// LegionellaReturnC is the least temperature of the circulation's return:
	// WHO (2007), read. ASHRAE Guideline 12-2000 asks for 51 in buildings at
	// high risk (read second hand).
	LegionellaReturnC = 50
	// LegionellaOutletC is the least at the outlet within a minute: HSG274 Part
	// 2 (read second hand); 55 in health care.
	LegionellaOutletC = 50
	// LegionellaColdC is the most for cold water: HSG274 Part 2 and ASHRAE
	// Guideline 12-2000 (read second hand); WHO allows 25, ideally 20.
	LegionellaColdC = 20
	// LegionellaGrowthLowC and LegionellaGrowthHighC are where it multiplies:
	// WHO (2007), read. Growth up to 50 is slow, not absent.
	LegionellaGrowthLowC  = 25
	LegionellaGrowthHighC = 45
)

// thermalDeath is a row of Sanden, Fields, Barbaree and Feeley (1989), Current
// Microbiology 18, abstract: L. pneumophila in chlorine-free water (read).
var thermalDeath = [...]struct{ tempC, minutes float64 }{{50, 380}, {55, 13.93}, {60, 0.74}}

// DecimalReductionMinutes is the time in minutes at a temperature in degC that
// leaves a tenth of the germs, the straight line in its logarithm between 50,
// 55 and 60 degC. Below 50 degC there is no credit: +Inf. Above 60 degC the
// figure of 60 stands.
//
// Source: Sanden et al. (1989). Other studies find up to three times as long
// at 60 degC, so a decision must use CautiousDecimalReductionMinutes. Both are
// for laboratory water: scale, sediment and slime protect the germ, and a time
// at temperature in the tank says nothing of the pipes.
func DecimalReductionMinutes(tempC float64) float64 {
	last := len(thermalDeath) - 1
	if !(tempC >= thermalDeath[0].tempC) {
		return math.Inf(1)
	}
	for i := range last {
		low, high := thermalDeath[i], thermalDeath[i+1]
		if tempC < high.tempC {
			share := (tempC - low.tempC) / (high.tempC - low.tempC)
			return low.minutes * math.Pow(high.minutes/low.minutes, share)
		}
	}
	return thermalDeath[last].minutes
}

// CautiousDecimalReductionMinutes is the longer of DecimalReductionMinutes and
// a second source: 2 minutes at 60 degC, ten times as long every 5.29 K below
// (a public book page on thermal disinfection, a fit over several studies;
// read). No credit below 50, none beyond that of 60 degC.
func CautiousDecimalReductionMinutes(tempC float64) float64 {
	line := 2 * math.Pow(10, (60-math.Min(tempC, 60))/5.29)
	return math.Max(DecimalReductionMinutes(tempC), line)
}

// LogReduction is by how many powers of ten the germs fall in a time at a
// temperature: minutes by the decimal reduction time. Add it up over a heat-up.
// Zero for a time of zero or less and where there is no credit. By the definition of
// the decimal reduction time; the error is that time's own.
func LogReduction(minutes, decimalReductionMinutes float64) float64 {
	if !(minutes > 0) || !(decimalReductionMinutes > 0) {
		return 0
	}
	return minutes / decimalReductionMinutes
}
