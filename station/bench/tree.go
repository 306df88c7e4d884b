package bench

import (
	"errors"
	"fmt"

	"sunstoker/control"
	"sunstoker/sensors/wiretree"
	"sunstoker/site"
)

// Tree serves the thermometers of a plant as a folder shaped like the kernel's
// 1-wire tree.
type Tree struct {
	plant      *Plant
	tree       wiretree.Tree
	identities map[int]string // by reading
	shown      map[int]Value  // as they are in the folder
	hangs      bool
}

// NewTree makes the folder's parts when it first beats.
func NewTree(plant *Plant, folder string) *Tree {
	return &Tree{plant: plant, tree: wiretree.Tree{Root: folder}, identities: identities(plant.site), shown: map[int]Value{}}
}

// identities gives every thermometer of a site one: its own, or an invented one.
func identities(s *site.Site) map[int]string {
	given := map[int]string{}
	for i := range s.Probes {
		p := &s.Probes[i]
		switch {
		case p.Place.Unit() != control.Celsius:
		case p.Kind == site.OneWire:
			given[i] = p.Identity
		default:
			given[i] = fmt.Sprintf("28-0000be2c%04x", i+1)
		}
	}
	return given
}

// Beat writes what the probes give now. A probe without a value is gone from the
// folder; while the bus hangs, so does whoever reads.
func (t *Tree) Beat() error {
	_, hangs := t.plant.Hangs()
	began := hangs && !t.hangs
	t.hangs = hangs
	if hangs && !began {
		return nil
	}
	var errs []error
	for reading, identity := range t.identities {
		v, _ := t.plant.Value(reading)
		last, known := t.shown[reading]
		switch {
		case began:
			delete(t.shown, reading)
			errs = append(errs, t.tree.Hang(identity))
			continue
		case known && v == last:
			continue
		case v.OK:
			errs = append(errs, t.tree.PutC(identity, v.Value))
		default:
			errs = append(errs, t.tree.Remove(identity))
		}
		t.shown[reading] = v
	}
	return errors.Join(errs...)
}

// Close lets everybody go and takes the parts out of the folder.
func (t *Tree) Close() error {
	var errs []error
	for _, identity := range t.identities {
		errs = append(errs, t.tree.Remove(identity))
	}
	return errors.Join(errs...)
}
