package station

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"sunstoker/site"
)

// The times that a board's watchdog may be told to wait, s. Common chips can wait
// for 15 s at most; asked for more some stay unarmed, and some wait for what is
// left of the figure's low bits (field reports of one family of boards, read
// second hand). Less than 8 s resets a board with a slow card in the middle of an
// upgrade (likewise). 10 to 14 s is what is advised.
const (
	leastWatchdogS = 8
	mostWatchdogS  = 20
)

// hangLeavesOn tells of a site whose heater stays on when its board hangs.
func hangLeavesOn(s *site.Site) bool {
	for _, w := range s.Outputs {
		if w.Actuator.Heats() && w.Kind != site.SimulatedOutput && !w.DropsWhenSilent && w.PulseHertz == 0 {
			return true
		}
	}
	return false
}

// watchdogFault reads back whether a hardware watchdog is armed, and says why not,
// in words; empty when one is. The files are those of the kernel's
// Documentation/ABI/testing/sysfs-class-watchdog (from memory): state is active or
// inactive, timeout is in seconds.
func (h *Health) watchdogFault() string {
	folders, err := filepath.Glob(filepath.Join(h.root, "sys/class/watchdog/watchdog*"))
	if err != nil || len(folders) == 0 {
		return "the kernel shows no watchdog (/sys/class/watchdog is empty): load the driver of the board's chip"
	}
	var told []string
	for _, folder := range folders {
		fault := faultOfWatchdog(folder)
		if fault == "" {
			return ""
		}
		told = append(told, filepath.Base(folder)+" "+fault)
	}
	return strings.Join(told, "; ")
}

func faultOfWatchdog(folder string) string {
	text := func(name string) string {
		data, _ := os.ReadFile(filepath.Join(folder, name)) // what can't be read is judged as empty
		return strings.TrimSpace(string(data))
	}
	if state := text("state"); state != "active" {
		return fmt.Sprintf("(%s) is not armed: its state is %q", text("identity"), state)
	}
	waits, err := strconv.Atoi(text("timeout"))
	if err != nil {
		return fmt.Sprintf("(%s) is armed and does not say how long it waits", text("identity"))
	}
	if waits < leastWatchdogS || waits > mostWatchdogS {
		return fmt.Sprintf("(%s) is armed and told to wait for %d s, which some chips make something else of: 10 to 14 s are sure", text("identity"), waits)
	}
	return ""
}
