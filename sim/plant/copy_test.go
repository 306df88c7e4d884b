package plant

import (
	"reflect"
	"testing"
)

// TestBecome: a plant of any kind goes on from another one's state in the same
// way, and neither feels what happens to the other.
func TestBecome(t *testing.T) {
	summer := Surroundings{AbsorbableWM2: 900, AirC: 25, RoomC: 20, ColdC: 12}
	winter := Surroundings{AbsorbableWM2: 100, AirC: -5, SkyDropK: 10, RoomC: 18, ColdC: 6}
	live := func(p *Plant, s *Surroundings) {
		p.SetPump(1)
		p.SetHeater(true)
		p.SetCirculation(true)
		for range 200 {
			p.Tap(Draw{Litres: 0.7, TapC: 40, UsefulC: 40, FlowLMin: 4}, s.ColdC)
			p.Step(s, 30)
		}
	}
	for name, c := range kinds() {
		t.Run(name, func(t *testing.T) {
			original, err := New(c)
			if err != nil {
				t.Fatal(err)
			}
			live(original, &summer)
			var same, other Plant
			same.Become(original)
			other.Become(original)
			live(&other, &winter)
			if shares(reflect.ValueOf(original).Elem(), reflect.ValueOf(&other).Elem()) {
				t.Fatal("a list of the plant and of its copy lie in the same memory")
			}
			live(original, &summer)
			live(&same, &summer)
			if original.Book() != same.Book() || original.Book() == other.Book() {
				t.Errorf("the book says %+v, of the copy that had the same weather %+v, of the other %+v", original.Book(), same.Book(), other.Book())
			}
			other.Become(original) // in memory that is there
			live(&other, &winter)
			live(original, &winter)
			if original.Book() != other.Book() {
				t.Errorf("the book says %+v, of a copy in old memory %+v", original.Book(), other.Book())
			}
			if n := testing.AllocsPerRun(5, func() { other.Become(original) }); n != 0 {
				t.Errorf("%g allocations", n)
			}
		})
	}
}

// shares tells whether two values have a list in the same memory.
func shares(a, b reflect.Value) bool {
	switch a.Kind() {
	case reflect.Struct:
		for i := range a.NumField() {
			if shares(a.Field(i), b.Field(i)) {
				return true
			}
		}
	case reflect.Slice:
		return a.Len() > 0 && b.Len() > 0 && a.Pointer() == b.Pointer()
	}
	return false
}
