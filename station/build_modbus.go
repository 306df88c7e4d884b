package station

import (
	"sunstoker/actuators"
	"sunstoker/sensors"
	"sunstoker/site"
	"sunstoker/station/fieldbus"
)

// modbusLine is a connection that probes and outputs share.
type modbusLine interface {
	sensors.RegisterReader
	actuators.CoilLine
}

// modbusLines are the connections of a site, each made once: a serial line can be
// held by one alone, and many modules take one caller. They last as long as the
// program.
type modbusLines struct {
	open func(c site.Connection) modbusLine
	held map[string]modbusLine
}

func newModbusLines(h *hardware) *modbusLines {
	return &modbusLines{open: h.modbus, held: map[string]modbusLine{}}
}

func (m *modbusLines) line(c site.Connection) modbusLine {
	if m.held[c.Place()] == nil {
		m.held[c.Place()] = m.open(c)
	}
	return m.held[c.Place()]
}

var parities = map[string]fieldbus.Parity{"none": fieldbus.NoParity, "even": fieldbus.EvenParity, "odd": fieldbus.OddParity}

func openModbus(c site.Connection) modbusLine {
	return fieldbus.New(fieldbus.Options{TCP: c.TCP, Device: c.Device, Speed: c.Speed, Parity: parities[c.Parity]})
}

func openCoil(w *site.OutputWiring, name string, lines *modbusLines) actuators.Output {
	return actuators.OpenCoil(actuators.CoilOptions{
		Name: name, Place: w.Coil.Connection.Place(), Line: lines.line(w.Coil.Connection),
		Unit: w.Coil.Unit, Coil: w.Coil.Number, Heats: w.Actuator.Heats(),
	})
}

var registerFormats = map[string]sensors.RegisterFormat{
	site.SignedFigure: sensors.Signed16, site.UnsignedFigure: sensors.Unsigned16, site.FloatFigure: sensors.Float32,
}

func registerDriver(w *site.RegisterWiring, lines *modbusLines) (sensors.Driver, error) {
	return driverOrNone(sensors.NewRegister(sensors.RegisterOptions{
		Reader: lines.line(w.Connection), Line: w.Connection.Place(),
		Unit: w.Unit, Holding: w.Holding, Register: w.Number,
		Format: registerFormats[w.Format], Scale: w.Scale, Offset: w.Offset,
	}))
}
