package dashboard

import (
	"bytes"
	"os"
	"runtime"
	"strconv"

	"golang.org/x/sys/unix"
)

// What the program itself needs, under the names that metrics of programs commonly
// have.
var (
	processCPU    = counter("process_cpu_seconds_total", "Processor time that the program has used, its own and the kernel's for it.")
	processMemory = gauge("process_resident_memory_bytes", "Memory that the program takes, with the pages of its own file; there is no such series where the kernel does not tell.")
	processFiles  = gauge("process_open_fds", "Files and connections that the program holds open; there is no such series where the kernel does not tell.")
	goroutines    = gauge("go_goroutines", "Goroutines that exist.")
)

func (e *exposition) process() {
	e.put(goroutines, float64(runtime.NumGoroutine()))
	var used unix.Rusage
	if unix.Getrusage(unix.RUSAGE_SELF, &used) == nil {
		e.put(processCPU, float64(used.Utime.Nano()+used.Stime.Nano())/1e9)
	}
	if bytes, known := residentBytes(); known {
		e.put(processMemory, bytes)
	}
	if files, err := os.ReadDir("/proc/self/fd"); err == nil {
		e.put(processFiles, float64(len(files)-1)) // but for the one that reads the folder
	}
}

// residentBytes reads the second figure of proc(5), /proc/pid/statm, in pages.
func residentBytes() (n float64, known bool) {
	text, err := os.ReadFile("/proc/self/statm")
	if fields := bytes.Fields(text); err == nil && len(fields) > 1 {
		pages, err := strconv.ParseFloat(string(fields[1]), 64)
		return pages * float64(os.Getpagesize()), err == nil
	}
	return 0, false
}
