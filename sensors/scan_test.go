package sensors

import (
	"context"
	"errors"
	"math"
	"path/filepath"
	"testing"

	"sunstoker/sensors/sensorstest"
)

func TestScan(t *testing.T) {
	tree := sensorstest.NewTree(t)
	tree.PutC(tankTop, 61.5)
	tree.Put(collector, recordOf(23*16, 0x1F, 0x10))
	tree.Put("10-000802a1b2c3", goodText)
	tree.Put("28-000000000001", "")
	tree.Put("28-000000000002", recordOf(at85, 0x7F, 0x0C))
	tree.Put("w1_bus_master1", "")
	want := []struct {
		identity string
		readable bool
		genuine  bool
		valueC   float64
		fault    error
		bits     int
	}{
		{"10-000802a1b2c3", false, false, math.NaN(), Unsupported, 0},
		{"28-000000000001", true, true, math.NaN(), Silent, 0},
		{"28-000000000002", true, true, math.NaN(), PowerOn, 12},
		{tankTop, true, true, 61.5, nil, 12},
		{collector, true, false, 23, nil, 9},
	}
	got, err := Scan(t.Context(), tree.Root)
	if err != nil || len(got) != len(want) {
		t.Fatalf("%d parts, %v, want %d: %+v", len(got), err, len(want), got)
	}
	for i, w := range want {
		g := got[i]
		if g.Identity != w.identity || g.Readable != w.readable || g.GenuinePattern != w.genuine || g.ResolutionBits != w.bits ||
			!errors.Is(g.Fault, w.fault) || g.ValueC != w.valueC && !math.IsNaN(w.valueC) || g.Family == "" {
			t.Errorf("%+v, want %+v", g, w)
		}
		if (g.Raw == "") != (w.bits == 0) {
			t.Errorf("%s: raw %q", g.Identity, g.Raw)
		}
	}
}

func TestScanWithoutTree(t *testing.T) {
	if _, err := Scan(t.Context(), filepath.Join(t.TempDir(), "none")); !errors.Is(err, BusAbsent) {
		t.Errorf("%v, want BusAbsent", err)
	}
}

func TestScanReturnsFromABlockedRead(t *testing.T) {
	tree := sensorstest.NewTree(t)
	holdUp(t, tree, tankTop)
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() {
		_, err := Scan(ctx, tree.Root)
		ended <- err
	}()
	pipe := meet(t, tree, tankTop)
	stop()
	if err := <-ended; !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
	release(t, tree, tankTop, pipe, "")
}
