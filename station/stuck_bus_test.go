package station

import (
	"context"
	"io/fs"
	"slices"
	"testing"
	"time"

	"periph.io/x/conn/v3/spi"

	"sunstoker/control"
	"sunstoker/sensors/sensorstest"
)

// TestAStuckBusIsNamedAndTheTickKeepsItsBeat: whichever bus a read does not come
// back from, it is named within 5 s, every second has its tick, and the other
// bus's readings stay young.
func TestAStuckBusIsNamedAndTheTickKeepsItsBeat(t *testing.T) {
	for _, c := range []struct {
		name  string
		stick func(tree *sensorstest.Tree, chip *sensorstest.PlatinumChip, hold <-chan struct{})
		other control.Place
	}{
		{"1-wire", func(tree *sensorstest.Tree, _ *sensorstest.PlatinumChip, _ <-chan struct{}) { tree.Hang(bottomID) }, control.Collector},
		{"SPI 0", func(_ *sensorstest.Tree, chip *sensorstest.PlatinumChip, hold <-chan struct{}) {
			chip.Change(func(c *sensorstest.PlatinumChip) { c.Hold = hold })
		}, control.TankBottom},
	} {
		t.Run(c.name, func(t *testing.T) {
			tree, chip := sensorstest.NewTree(t), &sensorstest.PlatinumChip{Code: 11346}
			tree.PutC(topID, 40)
			tree.PutC(bottomID, 40)
			clock, kept := NewLockstep(), &keeper{}
			clock.patience = 500 * time.Millisecond // of real time, for who does not come back
			o := buildOptions()
			o.Watchers = append(o.Watchers, kept)
			o.hardware, _ = fakeHardware(&events{})
			o.hardware.spi = func(device string) (spi.PortCloser, error) {
				if device != "/dev/spidev0.0" {
					return nil, fs.ErrNotExist
				}
				return chip.Open(device)
			}
			st, err := Build(testSite(t, tree.Root, platinumTable("collector", "/dev/spidev0.0")+`
[system.probe.tank_top]
kind = "one-wire"
identity = "`+topID+`"
[system.probe.tank_bottom]
kind = "one-wire"
identity = "`+bottomID+`"
`+relays), clock, o)
			if err != nil {
				t.Fatal(err)
			}
			ctx, stop := context.WithCancel(context.Background())
			ended := make(chan error, 1)
			go func() { ended <- st.Run(ctx, context.Background()) }()
			now := time.Duration(0)
			pass := func() {
				t.Helper()
				now += time.Second
				if _, err := clock.Advance(ctx, now, control.Wall{Time: noon.Add(now), Trusted: true}); err != nil {
					t.Fatal(err)
				}
			}
			for range 10 {
				pass()
			}
			hold := make(chan struct{})
			c.stick(tree, chip, hold)
			stuckAt, named := now, time.Duration(0)
			for range 20 {
				pass()
				last := kept.last()
				if last.At != now {
					t.Fatalf("at %v the newest tick is of %v", now, last.At)
				}
				told := slices.ContainsFunc(last.Findings, func(f control.Finding) bool {
					return f.Kind == control.FoundBusStuck
				})
				if told && named == 0 {
					named = now
				}
				for i, p := range last.House.Plan.Probes {
					if r := last.Readings[i]; p.Place == c.other && (r.Fault != "" || r.Age > 5*time.Second) {
						t.Errorf("at %v the %s is %v old: %q", now, p.Place.Words(), r.Age, r.Fault)
					}
				}
			}
			// A read begins up to 2 s after the bus hangs: that is when it is stuck.
			if took := named - stuckAt; named == 0 || took > 7*time.Second {
				t.Errorf("named %v after it hung", took)
			}
			stop()
			close(hold)
			tree.PutC(bottomID, 40)
			if err := <-ended; err != nil {
				t.Error(err)
			}
		})
	}
}
