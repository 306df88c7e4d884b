package bench

import (
	"fmt"
	"strconv"

	"sunstoker/control"
	"sunstoker/site"
)

// SiteFileOptions say how a daemon reaches the bench.
type SiteFileOptions struct {
	Modbus      string // address and port of the module
	Tree        string // absolute folder of the 1-wire tree; empty: thermometers are registers too
	StateFolder string // absolute, for the daemon beside the real house's
}

// SiteFile gives the site file for a daemon that is to look after the bench: the
// house's own text with other wires. What the kinds of wire can't carry is left
// out: a hot-water button, and a pump's speed, which is only on or off.
func SiteFile(s *site.Site, text []byte, o SiteFileOptions) ([]byte, error) {
	edits := []site.Edit{site.SetKey("daemon", "state_folder", strconv.Quote(o.StateFolder))}
	if s.History.Folder != s.StateFolder { // the real house's own is left alone
		edits = append(edits, site.SetKey("history", "folder", strconv.Quote(o.StateFolder)))
	}
	// What is switched is simulated: nobody has to test it first.
	edits = append(edits, site.SetKey("daemon", "outputs_tested_by", strconv.Quote("the bench, which is simulated")))
	// The broker of the real house is not told of a simulated one.
	edits = append(edits, site.RemoveTable("mqtt"))
	if o.Tree != "" {
		edits = append(edits, site.SetKey("one_wire", "folder", strconv.Quote(o.Tree)))
	}
	wires := identities(s)
	connection := "connection = " + strconv.Quote(o.Modbus)
	unit := fmt.Sprintf("unit_number = %d", Unit)
	for i, p := range s.Plan.Probes {
		identity, thermometer := wires[i]
		switch {
		case p.Place.Unit() == control.Plain:
			edits = append(edits, site.RemoveProbe(p))
		case thermometer && o.Tree != "":
			edits = append(edits, site.RewireProbe(p, `kind = "one-wire"`, "identity = "+strconv.Quote(identity)))
		default:
			edits = append(edits, site.RewireProbe(p, `kind = "modbus"`, connection, unit, fmt.Sprintf("register = %d", registerOf(i)), `register_format = "float"`))
		}
	}
	for i, output := range s.Plan.Outputs {
		edits = append(edits, site.RewireOutput(output, `kind = "modbus"`, connection, unit, fmt.Sprintf("coil = %d", i), "drops_when_silent = true"))
	}
	changed, err := site.Edited(text, edits...)
	if err != nil {
		return nil, err
	}
	_, err = site.Parse("the bench's site file", changed)
	return changed, err
}
