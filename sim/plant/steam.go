package plant

// steam is the part of the collector's content that has boiled. Each cell keeps
// the latent heat of its steam: at the boiling point it takes up all heat until
// the cell is empty, and the cell stays at the boiling point while the steam
// condenses again (the enthalpy method). Steam fills its cell's volume and
// pushes the liquid into the vessel.
type steam struct {
	cellJ  []float64 // latent heat held by each cell
	emptyJ float64   // latent heat of a cell that has boiled empty
	share  float64   // of the collector's content that is steam
	// steepK is by how much the boiling point would rise if the whole field
	// boiled empty at the slope of now.
	steepK float64
}

const (
	// steamJKg is the latent heat at about 3 bar (IAPWS-IF97, 134 degC, from
	// memory).
	steamJKg = 2.16e6
	// boilsShare is the part of the content that really boils; the rest is
	// pushed out as liquid. It depends on how the field drains (common
	// practice, no source).
	boilsShare = 0.15
	waterKgL   = 0.95 // of hot fluid, for the latent heat
)

func newSteam(cells int, collectorL float64) steam {
	return steam{
		cellJ:  make([]float64, cells),
		emptyJ: collectorL / float64(cells) * waterKgL * boilsShare * steamJKg,
	}
}

// move boils and condenses in each cell and tells whether anything did. wet is
// the part of the collector that holds any fluid.
//
// The boiling point rises with the steam itself; the share that this takes of a
// cell's excess is reckoned in, so that no step overshoots.
func (s *steam) move(f *collector, boilingC, wet float64) (moved bool) {
	cellEmptyJ := s.emptyJ * wet
	stiff := s.emptyJ + f.cellJK*s.steepK
	sum := 0.0
	for i, heldJ := range s.cellJ {
		excessK := f.cellC[i] - boilingC
		if excessK > 0 && heldJ < cellEmptyJ || excessK < 0 && heldJ > 0 {
			takesJ := excessK * f.cellJK * s.emptyJ / stiff
			newJ := clamp(heldJ+takesJ, 0, max(cellEmptyJ, heldJ))
			f.cellC[i] -= (newJ - heldJ) / f.cellJK
			s.cellJ[i] = newJ
			moved = true
		}
		sum += s.cellJ[i]
	}
	s.share = 0
	if sum > 0 {
		s.share = min(sum/(s.emptyJ*float64(len(s.cellJ))), 1)
	}
	return moved
}

// steep works out steepK for the pressure as it is now.
func (s *steam) steep(c *Config, f *filling, boilingC float64, cushionLost bool) {
	s.steepK = 0
	if f.collectorL == 0 {
		return
	}
	gas := f.gas(cushionLost)
	paPerL := f.vesselPa * f.vesselPa / (gas.PrechargePaAbs * gas.VolumeLitre)
	const littlePa = 1000
	s.steepK = (c.Fluid.BoilingPointC(f.topPa+littlePa) - boilingC) / littlePa * paPerL * f.collectorL
}

func (s *steam) storedJ() float64 {
	sum := 0.0
	for _, j := range s.cellJ {
		sum += j
	}
	return sum
}
