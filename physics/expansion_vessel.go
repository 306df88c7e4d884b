package physics

// ExpansionFraction is by what share of its cold volume the fluid grows from
// coldC to hotC in degC. A temperature outside TemperatureRangeC is an error,
// because a clamp would make the vessel too small.
//
// Source: the densities of Water and PropyleneGlycol, whose errors largely cancel in
// the quotient.
func (f Fluid) ExpansionFraction(coldC, hotC float64) (float64, error) {
	low, high := f.TemperatureRangeC()
	err := firstError(
		checkRange("cold filling", coldC, low, high, "degC for "+f.String()),
		checkRange("hot filling", hotC, coldC, high, "degC for "+f.String()),
	)
	if err != nil {
		return 0, err
	}
	return f.DensityKgM3(coldC)/f.DensityKgM3(hotC) - 1, nil
}

// VesselNeed is what the expansion vessel of a loop must take.
type VesselNeed struct {
	// ContentLitre is the whole filling of the loop.
	ContentLitre float64
	// ExpansionFraction is the growth of the filling by its cold volume.
	ExpansionFraction float64
	// ReserveLitre is fluid kept in the vessel when cold, for venting and seepage.
	ReserveLitre float64
	// SteamLitre is the content of collectors and pipes that steam pushes out
	// in stagnation.
	SteamLitre float64
	// PrechargeBar is the gas pressure before filling, in bar above the air.
	PrechargeBar float64
	// EndBar is the highest pressure allowed, in bar above the air.
	EndBar float64
}

// VesselLitre is the smallest vessel in litres: (growth + reserve + steam)
// (pe + 1)/(pe - p0), pressures in bar above the air. An error for figures
// below zero or an end pressure not at least 0.1 bar above the precharge.
//
// Source: form of EN 12828, by Boyle's law, with the collector's content added
// as the makers of solar loops do (read second hand). The 1 stands for the air
// pressure at sea level; at height the vessel comes out a little too large,
// which is the safe side.
func (n VesselNeed) VesselLitre() (float64, error) {
	err := firstError(
		checkPositive("content of the loop", n.ContentLitre, "litres"),
		checkRange("growth of the filling", n.ExpansionFraction, 0, 0.5, ""),
		checkNotNegative("reserve", n.ReserveLitre, "litres"),
		checkNotNegative("content pushed out by steam", n.SteamLitre, "litres"),
		checkRange("precharge of the vessel", n.PrechargeBar, 0, 20, "bar"),
		checkRange("end pressure of the loop", n.EndBar, n.PrechargeBar+0.1, 25, "bar"),
	)
	if err != nil {
		return 0, err
	}
	taken := n.ContentLitre*n.ExpansionFraction + n.ReserveLitre + n.SteamLitre
	return taken * (n.EndBar + 1) / (n.EndBar - n.PrechargeBar), nil
}

// VesselPrechargeBar is the usual gas pressure in bar above the air: 0.1 per
// metre of height between vessel and collector, and 0.5 more (read second hand
// in a planning guide). Heights below zero count as zero.
func VesselPrechargeBar(staticHeightM float64) float64 {
	return 0.1*notNegative(staticHeightM) + 0.5
}

// VesselEndBar is the usual highest working pressure in bar above the air: 0.9
// of the safety valve's setting (read second hand in a planning guide). A setting
// below zero counts as zero.
func VesselEndBar(safetyValveBar float64) float64 { return 0.9 * notNegative(safetyValveBar) }

// SealedGas is the gas cushion of an expansion vessel.
type SealedGas struct {
	// VolumeLitre is the whole vessel, all gas before filling.
	VolumeLitre float64
	// PrechargePaAbs is the absolute pressure of the gas before filling.
	PrechargePaAbs float64
}

// PressurePaAbs is the absolute pressure in Pa when the vessel has taken
// takenLitre of fluid, at the temperature of the precharge: p0 V0/(V0 -
// taken). Nothing taken, or less, leaves the precharge. A vessel as good as
// full has no gas left: taken is clamped to 99 % of the vessel. Without a vessel
// the pressure is that of the precharge.
//
// Source: Boyle's law. A gas warmed by 30 K adds a tenth.
func (g SealedGas) PressurePaAbs(takenLitre float64) float64 {
	if !(g.VolumeLitre > 0) {
		return g.PrechargePaAbs
	}
	taken := clamp(takenLitre, 0, 0.99*g.VolumeLitre)
	return g.PrechargePaAbs * g.VolumeLitre / (g.VolumeLitre - taken)
}

// TakenLitre is the fluid in litres the vessel holds at an absolute pressure
// in Pa: the inverse of PressurePaAbs, zero below the precharge and without a
// vessel. Source as there.
func (g SealedGas) TakenLitre(pressurePaAbs float64) float64 {
	if !(pressurePaAbs > g.PrechargePaAbs) {
		return 0
	}
	return notNegative(g.VolumeLitre) * (1 - g.PrechargePaAbs/pressurePaAbs)
}
