package site

import "fmt"

// checkRegister looks at a probe in the registers of a module.
func (c *probeCheck) checkRegister(taken map[string]position) {
	r := &c.Register
	if c.solid("scale") && r.Scale == 0 {
		c.wrongKey("scale", "with a scale of 0 every reading is the same", "write what one step of the register stands for, such as scale = \"0.1\"")
	}
	if !c.solid("connection") {
		return
	}
	c.checkConnection(r.Connection, c.path, c.name)
	if c.solid("register", "unit_number", "register_table") {
		table := InputRegisters
		if r.Holding {
			table = HoldingRegisters
		}
		c.once(taken, "register", fmt.Sprintf("%s register %d of unit %d on %s", table, r.Number, r.Unit, r.Connection.Place()), "give every probe a register of its own")
	}
}

// checkCoil looks at an output behind a coil of a module.
func (w *walker) checkCoil(taken map[string]position, o *OutputWiring, path, name string) {
	if !w.sound[path+".connection"] {
		return
	}
	w.checkConnection(o.Coil.Connection, path, name)
	if w.sound[path+".coil"] && w.sound[path+".unit_number"] {
		thing := o.Where()
		w.takeOnce(taken, thing, path+".coil", name+".coil", "the "+thing+" is named in line ", "give every output a coil of its own")
	}
}

// checkConnection holds a line against others to the same place: two speeds on
// one wire would make both silent.
func (w *walker) checkConnection(c Connection, path, name string) {
	here := w.at(path + ".connection")
	for _, o := range w.connections {
		if o.Place() == c.Place() && o.Text != c.Text {
			w.wrong(name+".connection", here, c.Place()+` is already used as "`+o.Text+`"`, "write the line's speed and parity alike everywhere")
			return
		}
	}
	w.connections = append(w.connections, c)
}
