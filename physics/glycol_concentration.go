package physics

import "sort"

// glycolPoint is a row of the freezing table of aqueous propylene glycol,
// ASHRAE Handbook Fundamentals, as stored in the public CoolProp repository
// (read second hand).
type glycolPoint struct{ volumePercent, massPercent, freezingC float64 }

var glycolPoints = [...]glycolPoint{
	{0, 0, 0},
	{9.6, 10, -3.3},
	{19.4, 20, -7.1},
	{24.4, 25, -9.6},
	{29.4, 30, -12.7},
	{34.4, 35, -16.4},
	{39.6, 40, -21.1},
	{44.7, 45, -26.7},
	{49.9, 50, -33.5},
	{60, 60, -51.1},
}

func glycolVolume(p glycolPoint) float64   { return p.volumePercent }
func glycolMass(p glycolPoint) float64     { return p.massPercent }
func glycolFreezing(p glycolPoint) float64 { return p.freezingC }

// alongGlycolTable interpolates by straight line between two columns; x must
// lie inside the table. The sign makes a falling column searchable.
func alongGlycolTable(x float64, from, to func(glycolPoint) float64, sign float64) float64 {
	i := sort.Search(len(glycolPoints), func(i int) bool { return sign*from(glycolPoints[i]) >= sign*x })
	if i == 0 {
		return to(glycolPoints[0])
	}
	below, above := glycolPoints[i-1], glycolPoints[i]
	share := (x - from(below)) / (from(above) - from(below))
	return to(below) + share*(to(above)-to(below))
}

// MassFractionFromVolumePercent turns percent glycol by volume (as filled and
// as printed on a refractometer's scale) into the fraction by mass that
// PropyleneGlycol wants.
//
// Source: ASHRAE Handbook Fundamentals, freezing table, straight line between
// rows. Range 0 to 60 %, an error outside.
func MassFractionFromVolumePercent(volumePercent float64) (float64, error) {
	if err := checkRange("glycol concentration", volumePercent, 0, 60, "% by volume"); err != nil {
		return 0, err
	}
	return alongGlycolTable(volumePercent, glycolVolume, glycolMass, 1) / 100, nil
}

// VolumePercentFromMassFraction is the inverse of
// MassFractionFromVolumePercent; range 0 to 0.6.
func VolumePercentFromMassFraction(massFraction float64) (float64, error) {
	if err := checkRange("glycol mass fraction", massFraction, 0, 0.6, "(by mass)"); err != nil {
		return 0, err
	}
	return alongGlycolTable(100*massFraction, glycolMass, glycolVolume, 1), nil
}

// GlycolVolumePercentForFreezing is the percent of propylene glycol by volume
// whose first ice crystals form at the given temperature in degC. Add the
// margin that local practice asks for.
//
// Source and method as MassFractionFromVolumePercent. Range 0 to -51.1 degC, an
// error outside. Between rows the true curve freezes up to 0.2 K sooner than
// the straight line, up to 0.6 K beyond 50 %.
func GlycolVolumePercentForFreezing(freezingC float64) (float64, error) {
	if err := checkRange("wanted freezing point", freezingC, -51.1, 0, "degC"); err != nil {
		return 0, err
	}
	return alongGlycolTable(freezingC, glycolFreezing, glycolVolume, -1), nil
}
