package physics

// ConvertLitres turns litres of water at fromC into the litres at toC that
// carry the same heat above the cold inlet: V (from - cold)/(to - cold), all
// in degC. An error when the wanted temperature is not above the cold one.
//
// Source: the conversion of SIA 385/2 between reference temperatures (read
// second hand); the change of density is left out, below 2 %.
func ConvertLitres(litres, fromC, toC, coldC float64) (float64, error) {
	err := firstError(
		checkNotNegative("volume", litres, "litres"),
		checkRange("temperature of the water", fromC, 0, 180, "degC"),
		checkRange("cold inlet", coldC, 0, 60, "degC"),
		checkPositive("wanted temperature above the cold inlet", toC-coldC, "K"),
	)
	if err != nil {
		return 0, err
	}
	return litres * max(fromC-coldC, 0) / (toC - coldC), nil
}

// HotLitres is how many litres at the tap temperature a tank can still give
// without heating, mixed with cold water at the tap: layers bottom first with
// their temperatures in degC and volumes in litres (the shorter length
// counts). Layers count from the top down to the first that is colder than the
// tap temperature. Zero when the tap temperature is not above the cold inlet.
//
// Source: the balance of heat at the tap. It takes the water to leave in order,
// without mixing: the real tank gives somewhat less.
func HotLitres(layerTempsC, layerLitres []float64, tapC, coldC float64) float64 {
	if !(tapC > coldC) {
		return 0
	}
	litres := 0.0
	for i := min(len(layerTempsC), len(layerLitres)) - 1; i >= 0; i-- {
		if !(layerTempsC[i] >= tapC) {
			break
		}
		litres += layerLitres[i] * (layerTempsC[i] - coldC) / (tapC - coldC)
	}
	return litres
}

// HotLitresThroughCoil is [HotLitres] of a store of loop fluid, whose water takes
// its heat through a coil: it comes to the share effectiveness, over 0 to 1, of what
// the store is hotter than the cold inlet, so that a layer serves down to
//
//	cold + (tap - cold)/effectiveness
//
// The store's fluid is taken for water. Zero when nothing can come of it.
//
// Source: the balance of heat at the tap, with the effectiveness of an exchanger
// one side of which is at one temperature, [CoilEffectiveness].
func HotLitresThroughCoil(layerTempsC, layerLitres []float64, tapC, coldC, effectiveness float64) float64 {
	if !(tapC > coldC && effectiveness > 0) {
		return 0
	}
	leastC := coldC + (tapC-coldC)/effectiveness
	litres := 0.0
	for i := min(len(layerTempsC), len(layerLitres)) - 1; i >= 0 && layerTempsC[i] > leastC; i-- {
		litres += layerLitres[i] * (layerTempsC[i] - leastC) / (tapC - coldC)
	}
	return litres
}
