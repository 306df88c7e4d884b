package station

import (
	"bufio"
	"context"
	"errors"
	"io"
	"log/slog"
	"os"
	"runtime/debug"
	"strconv"
	"strings"
	"time"

	"golang.org/x/sys/unix"
)

// Boards have little memory, and a program that runs for years holds what its
// start has touched unless somebody lets go of it.
const (
	// thriftyGarbage is how much may pile up before it is collected, in percent of
	// what lives. Half of the usual: a second of control makes some ten kilobytes,
	// and a collection takes a millisecond, so that memory is dearer here than time.
	thriftyGarbage = 50
	// startIsOver is when the parts of the program that only a start needs are let
	// go: reading the site file, the tables of the libraries, the first collections.
	startIsOver = 45 * time.Second
)

// thrift keeps a program that runs for years small. Who sets the environment's GOGC
// knows better.
func thrift(log *slog.Logger) Service {
	return Service{Name: "thrift", Run: func(ctx context.Context) error {
		if os.Getenv("GOGC") == "" {
			debug.SetGCPercent(thriftyGarbage)
		}
		timer := time.NewTimer(startIsOver)
		defer timer.Stop()
		select {
		case <-ctx.Done():
			return nil
		case <-timer.C:
		}
		letGoOfStart(log)
		<-ctx.Done()
		return nil
	}}
}

// letGoOfStart gives back memory that the start has taken: what was allocated, and
// the pages of the program's own file that it has touched. The kernel keeps those as
// long as it has room, and maps them again when they are needed; but it no longer
// takes the parts that only a start needs for parts in use, and gives them up first
// when memory runs short. Where it can't be done all works as well.
func letGoOfStart(log *slog.Logger) {
	debug.FreeOSMemory()
	given, err := unmapUntouched()
	log.Debug("memory of the start is given back", "bytes", given, "error", err)
}

// unmapUntouched lets go of the pages of the program's file that nobody has written
// to, and tells how many bytes of address space they had.
func unmapUntouched() (bytes uint64, err error) {
	own, err := os.Readlink("/proc/self/exe")
	if err != nil {
		return 0, err
	}
	maps, err := os.Open("/proc/self/smaps")
	if err != nil {
		return 0, err
	}
	defer maps.Close() // nothing was written
	areas, err := cleanAreas(maps, own)
	for _, a := range areas {
		_, _, errno := unix.Syscall(unix.SYS_MADVISE, a.from, a.to-a.from, unix.MADV_DONTNEED)
		if errno != 0 {
			err = errors.Join(err, errno)
			continue
		}
		bytes += uint64(a.to - a.from)
	}
	return bytes, err
}

// area is a part of the address space.
type area struct{ from, to uintptr }

// cleanAreas finds where a file is mapped, for reading alone and with no page that
// would be lost: its page frames are all those of the file. The form is that of
// proc(5), /proc/pid/smaps.
func cleanAreas(smaps io.Reader, file string) (areas []area, err error) {
	var here area
	found := false
	lines := bufio.NewScanner(smaps)
	for lines.Scan() {
		words := strings.Fields(lines.Text())
		switch {
		case len(words) >= 5 && here.parse(words[0]): // the head of an area; its file comes last, if it has one
			found = strings.Join(words[5:], " ") == file && !strings.Contains(words[1], "w")
		case found && len(words) == 3 && words[0] == "Anonymous:":
			if words[1] == "0" {
				areas = append(areas, here)
			}
			found = false
		}
	}
	return areas, lines.Err()
}

// parse reads such as 00400000-00a11000; what is none leaves the area as it is.
func (a *area) parse(text string) bool {
	first, last, _ := strings.Cut(text, "-")
	from, wrong := strconv.ParseUint(first, 16, strconv.IntSize)
	to, alsoWrong := strconv.ParseUint(last, 16, strconv.IntSize)
	if errors.Join(wrong, alsoWrong) != nil || from >= to {
		return false
	}
	*a = area{uintptr(from), uintptr(to)}
	return true
}
