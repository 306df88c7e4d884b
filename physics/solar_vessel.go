package physics

import "math"

// SolarVessel is what the expansion vessel of a solar loop must take when its
// collectors stagnate. Pressures are in bar above the air.
type SolarVessel struct {
	// ContentLitre is the whole filling of the loop, cold.
	ContentLitre float64
	// SteamLitre is the content of collectors and pipes that steam pushes out.
	SteamLitre float64
	// PrechargeBar is the pressure of the gas before filling.
	PrechargeBar float64
	// FillBar is the pressure of the cold loop.
	FillBar float64
	// EndBar is the highest pressure allowed.
	EndBar float64
}

// What is reckoned for the filling of a solar loop; read second hand in a maker's
// planning guide. The growth lies above what the densities of the fluid give (see
// ExpansionFraction), which is the safe side.
const (
	SolarVesselGrowth       = 0.13 // of the cold filling
	SolarVesselReserveLitre = 3
)

// GrowthLitre is by how much the filling grows.
func (v SolarVessel) GrowthLitre() float64 { return SolarVesselGrowth * v.ContentLitre }

// Litre is the smallest vessel in litres: the larger of the form of EN 12828, which
// knows a reserve and no filling (VesselNeed), and of Boyle's law from the filling
// on (FilledVesselLitre), without which a vessel whose gas is too low would stand
// half full in a cold loop and be called large enough. Errors as there.
func (v SolarVessel) Litre() (float64, error) {
	byReserve, err := VesselNeed{
		ContentLitre: v.ContentLitre, ExpansionFraction: SolarVesselGrowth, ReserveLitre: SolarVesselReserveLitre,
		SteamLitre: v.SteamLitre, PrechargeBar: v.PrechargeBar, EndBar: v.EndBar,
	}.VesselLitre()
	if err != nil {
		return 0, err
	}
	byFilling, err := FilledVesselLitre(v.GrowthLitre()+v.SteamLitre, v.PrechargeBar, v.FillBar, v.EndBar)
	return math.Max(byReserve, byFilling), err
}
