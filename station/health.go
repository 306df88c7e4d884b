package station

import (
	"context"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync/atomic"
	"time"

	"golang.org/x/sys/unix"

	"sunstoker/control"
	"sunstoker/site"
)

// healthPeriod is how often the kernel is asked how the board is.
const healthPeriod = 30 * time.Second

// Health reads from the kernel's files how the board itself is: the supply alarm
// and the temperatures of /sys/class, the state folder's file system, and whether
// a hardware watchdog is armed. A board that has none of these files is taken for
// well, but for the watchdog's. It reads on a goroutine of its
// own, since a dying card can hold up whoever asks it.
type Health struct {
	root   string // where sys is found; "/" but in tests
	folder string // whose file system is looked at
	hangs  bool   // a board that hangs can leave a heater on, so its watchdog is looked at
	low    bool   // the supply was too low at the last look
	sags   int
	newest atomic.Pointer[control.Board]
}

// NewHealth looks after the board of a site.
func NewHealth(s *site.Site) *Health {
	return &Health{root: "/", folder: s.StateFolder, hangs: hangLeavesOn(s)}
}

// Service is the health as a service of the station.
func (h *Health) Service() Service { return Service{Name: "board health", Run: h.run} }

func (h *Health) run(ctx context.Context) error {
	ticker := time.NewTicker(healthPeriod)
	defer ticker.Stop()
	for {
		h.look()
		select {
		case <-ctx.Done():
			return nil
		case <-ticker.C:
		}
	}
}

// look reads all there is once.
func (h *Health) look() {
	var b control.Board
	low := h.supplyLow()
	if low && !h.low {
		h.sags++
	}
	h.low = low
	b.SupplyLow, b.SupplySags, b.TempC = low, h.sags, h.hottestC()
	var fs unix.Statfs_t
	if unix.Statfs(h.folder, &fs) == nil {
		b.StorageKnown = true
		b.StorageReadOnly = fs.Flags&unix.ST_RDONLY != 0
		b.StorageFreeMB = float64(fs.Bavail) * float64(fs.Bsize) / 1e6
	}
	if h.hangs {
		b.Watchdog = h.watchdogFault()
	}
	h.newest.Store(&b)
}

// addTo adds the newest look to what is known of the board.
func (h *Health) addTo(b *control.Board) {
	if h == nil {
		return
	}
	if n := h.newest.Load(); n != nil {
		b.SupplyLow, b.SupplySags, b.TempC = n.SupplyLow, n.SupplySags, n.TempC
		b.StorageKnown, b.StorageReadOnly, b.StorageFreeMB = n.StorageKnown, n.StorageReadOnly, n.StorageFreeMB
		b.Watchdog = n.Watchdog
	}
}

// supplyLow tells whether a voltage alarm of the kernel's hardware monitor stands
// (Documentation/hwmon/sysfs-interface of the Linux kernel: in0_lcrit_alarm is 1
// then; from memory).
func (h *Health) supplyLow() bool {
	for _, v := range h.figures("sys/class/hwmon/hwmon*/in0_lcrit_alarm") {
		if v == 1 {
			return true
		}
	}
	return false
}

// hottestC is the hottest of the kernel's thermal zones, °C; 0 without any. They
// give thousandths of a degree (Documentation/driver-api/thermal/sysfs-api of the
// Linux kernel, from memory).
func (h *Health) hottestC() float64 {
	hottest := 0.0
	for _, v := range h.figures("sys/class/thermal/thermal_zone*/temp") {
		if c := v / 1000; c < 200 {
			hottest = max(hottest, c)
		}
	}
	return hottest
}

// figures reads the numbers in all files of a pattern; what can't be read or is
// no number is left out.
func (h *Health) figures(pattern string) (out []float64) {
	paths, err := filepath.Glob(filepath.Join(h.root, pattern))
	if err != nil {
		return nil
	}
	for _, path := range paths {
		data, err := os.ReadFile(path)
		if err != nil {
			continue
		}
		if v, err := strconv.ParseFloat(strings.TrimSpace(string(data)), 64); err == nil {
			out = append(out, v)
		}
	}
	return out
}

// identityNotes tells of probes whose identity is not of the form that the maker
// of the DS18B20 gives its chips: family 28 and a serial number that begins with
// two empty bytes, as a public collection of counterfeits found (cpetrich,
// counterfeit_DS18B20, read second hand). It is a hint, no proof.
func identityNotes(s *site.Site) []string {
	notes := make([]string, len(s.Probes))
	for i := range s.Probes {
		id := strings.ToLower(s.Probes[i].Identity)
		if strings.HasPrefix(id, "28-") && !strings.HasPrefix(id, "28-0000") {
			notes[i] = "the identity " + s.Probes[i].Identity + " does not begin with 28-0000"
		}
	}
	return notes
}
