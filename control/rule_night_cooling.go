package control

// nightCoolingBandK is how much a tank is cooled below where night cooling
// begins, and nightCoolingGapK how much colder than the tank the collector must
// be for it to be worth the pump's electricity. Common practice, no source.
const (
	nightCoolingBandK = 10
	nightCoolingGapK  = 8
)

// nightCoolingRule lets a tank that a hot day or a holiday has left too hot
// give heat back through the cold collector, where that is set. It never cools
// below its floor, and a loop of water is not led into frost for it.
func (c *Controller) nightCoolingRule(s *system) {
	m, set := s.mem, s.set
	if set.NightCoolingC == 0 || !s.tankKnown || !s.collector.OK() {
		m.NightCooling = false
		return
	}
	coil, _ := s.coil() // good, since the tank is known
	hottest := s.hottestC
	from := set.NightCoolingC
	if c.onHoliday() {
		from -= nightCoolingBandK
	}
	gap := coil.Value - s.collector.Value
	frosty := s.plan.WaterFilled && s.collector.Value < set.FrostStartC
	if m.NightCooling {
		m.NightCooling = hottest > from-nightCoolingBandK && gap > nightCoolingGapK/2 && !frosty
	} else {
		m.NightCooling = hottest >= from && gap >= nightCoolingGapK && !frosty
	}
	if m.NightCooling {
		c.ballots[s.pump].cast(1, Economy, because(SaysNightCooling, hottest, from-nightCoolingBandK, s.collector.Value))
	}
}
