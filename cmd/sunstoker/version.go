package main

import (
	"fmt"
	"runtime/debug"
	"time"
)

type versionCommand struct{}

// Run tells the version.
func (versionCommand) Run(in *surroundings) error {
	_, err := fmt.Fprintln(in.stdout, "sunstoker", version())
	return err
}

// version is what the toolchain wrote into the program: the release, or the
// commit it was built from.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok || info.Main.Version == "" {
		return "of unknown version"
	}
	return info.Main.Version + " " + info.GoVersion
}

// firstDay is before the program was first built.
var firstDay = time.Date(2026, time.January, 1, 0, 0, 0, 0, time.UTC)

// builtAt is an instant before which this program can't run: that of its
// commit, where the toolchain wrote it down.
func builtAt() time.Time {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return firstDay
	}
	for _, s := range info.Settings {
		if at, err := time.Parse(time.RFC3339, s.Value); s.Key == "vcs.time" && err == nil && at.After(firstDay) {
			return at
		}
	}
	return firstDay
}
