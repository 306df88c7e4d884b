package terminal

import (
	"bytes"
	"fmt"
	"os"
	"os/signal"
	"syscall"

	"golang.org/x/sys/unix"
)

// stopHere stops this program, with all of its pipeline, as Ctrl-Z does one that does
// not listen for it, and returns when the shell lets it go on. Where no shell could
// do that it returns at once.
func stopHere() {
	if !hasShell() {
		return
	}
	goesOn := make(chan os.Signal, 1)
	signal.Notify(goesOn, syscall.SIGCONT)
	defer signal.Stop(goesOn)
	// Not SIGTSTP: Go's runtime keeps its own handler once it was listened for.
	if syscall.Kill(0, syscall.SIGSTOP) == nil {
		<-goesOn
	}
}

// hasShell tells whether a program outside of this one's process group, and in its
// session, has begun the group: what POSIX calls a group that is not orphaned.
func hasShell() bool {
	session, err := unix.Getsid(0)
	if err != nil {
		return false
	}
	for pid := unix.Getppid(); pid > 1; pid = parentOf(pid) {
		switch group, err := unix.Getpgid(pid); {
		case err != nil:
			return false
		case group != unix.Getpgrp():
			its, err := unix.Getsid(pid)
			return err == nil && its == session
		}
	}
	return false
}

// parentOf is the parent of a process by the kernel's files; 0 when it is gone.
func parentOf(pid int) (parent int) {
	stat, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	if err != nil {
		return 0
	}
	// Behind the name, which may hold anything, come state and parent: proc(5).
	var state string
	if _, err := fmt.Sscan(string(stat[bytes.LastIndexByte(stat, ')')+1:]), &state, &parent); err != nil {
		return 0
	}
	return parent
}
