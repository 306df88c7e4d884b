package plant

// Book is the plant's energy book since the start, in joules. With the change
// of what is stored it closes:
//
//	SunJ + HeaterJ = DrawnJ + TankLossJ + CollectorLossJ + PipeLossJ + DumpJ + ReliefJ + CirculationLossJ + StoredJ
//
// and so it does at the tank with its hot-water line alone:
//
//	LoopToTankJ + HeaterJ = DrawnJ + TankLossJ + ReliefJ + CirculationLossJ + TankStoredJ
//
// The collector's loss is negative while the air warms it.
type Book struct {
	SunJ           float64 // absorbed by the collector: eta0 times irradiance after the angle modifier
	LoopToTankJ    float64 // given to the tank by the loop, net of night losses through it
	HeaterJ        float64 // from the electric heater
	DrawnJ         float64 // taken by draws, above the cold water that came in
	TankLossJ      float64 // from tank to room
	CollectorLossJ float64 // from collector to air and sky
	PipeLossJ      float64 // from the loop's pipes
	DumpJ          float64 // from the heat dump to the air
	ReliefJ        float64 // let out by the relief valve or as steam
	StoredJ        float64 // more in tank, hot-water line, collector and pipes than at the start
	PumpJ          float64 // electricity of the pump; it does not enter the heat balance

	CirculationLossJ float64 // from the hot-water line to the room
	RingJ            float64 // by which the ring's water came back colder than it left: what its pump has cost the tank, lost or drawn after all; it does not enter the balance
	CirculationPumpJ float64 // electricity of its pump; it does not enter the heat balance
	TankStoredJ      float64 // the part of StoredJ in tank and hot-water line
}

// ImbalanceJ is what the book fails to explain; zero but for rounding.
func (b Book) ImbalanceJ() float64 {
	return b.SunJ + b.HeaterJ - b.DrawnJ - b.TankLossJ - b.CollectorLossJ - b.PipeLossJ - b.DumpJ - b.ReliefJ - b.CirculationLossJ - b.StoredJ
}

// TankImbalanceJ is the same of the tank with its hot-water line alone.
func (b Book) TankImbalanceJ() float64 {
	return b.LoopToTankJ + b.HeaterJ - b.DrawnJ - b.TankLossJ - b.ReliefJ - b.CirculationLossJ - b.TankStoredJ
}
