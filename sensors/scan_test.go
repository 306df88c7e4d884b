package sensors

import (
	"errors"
	"path/filepath"
	"testing"

	"sunstoker/sensors/sensorstest"
)

func TestScan(t *testing.T) {
	tree := sensorstest.NewTree(t)
	tree.PutC(tankTop, 61.5)
	tree.Put(collector, "")
	tree.Put("10-000802a1b2c3", goodText)
	tree.Put("w1_bus_master1", "")
	want := []Part{
		{Identity: "10-000802a1b2c3"},
		{Identity: tankTop, Readable: true, GenuinePattern: true},
		{Identity: collector, Readable: true},
	}
	got, err := Scan(tree.Root)
	if err != nil || len(got) != len(want) {
		t.Fatalf("%d parts, %v, want %d: %+v", len(got), err, len(want), got)
	}
	for i, w := range want {
		g := got[i]
		if g.Family == "" {
			t.Errorf("%s is of no family", g.Identity)
		}
		if g.Family = ""; g != w {
			t.Errorf("%+v, want %+v", g, w)
		}
	}
}

func TestScanWithoutTree(t *testing.T) {
	if _, err := Scan(filepath.Join(t.TempDir(), "none")); !errors.Is(err, BusAbsent) {
		t.Errorf("%v, want BusAbsent", err)
	}
}
