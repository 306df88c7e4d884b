package station

import (
	"bytes"
	"errors"
	"fmt"
	"log/slog"
	"time"

	"sunstoker/site"
)

// The site file that a daemon has accepted is copied into its state folder once its
// outputs are taken: somebody may change the file while it runs, and if it is killed
// then, what it left on has to be found all the same. The copy is a sealed file whose
// first line is a comment of TOML, so that it can be held against the site file.
const (
	acceptedName      = "accepted-site"
	acceptedMagic     = "# The site file that the program runs by, as it was accepted. Version and checksum:"
	acceptedVersion   = 1
	acceptedSizeLimit = 2 << 20 // a site file has half of it at most
)

// graceForAccepted is how long, in real time, a start waits for the storage to take
// the copy. A card that hangs must not keep the plant waiting.
const graceForAccepted = 5 * time.Second

// textToKeep is the text of a site whose outputs could be left on; else empty.
func textToKeep(s *site.Site) []byte {
	if !hasRealOutputs(s) {
		return nil
	}
	return s.Text()
}

// keepAccepted puts the copy in place; one that says the same is left alone. There is
// no copy of before, as the state has one: an older site would be a wrong one.
func keepAccepted(d disk, folder string, text []byte) error {
	newest, before, fresh := placesOf(folder, acceptedName)
	data := seal(acceptedMagic, acceptedVersion, text)
	if is, err := d.read(newest, acceptedSizeLimit); err == nil && bytes.Equal(is, data) {
		return nil
	}
	err := writeSynced(d, fresh, data)
	if err == nil {
		err = d.rename(fresh, newest)
	}
	if err == nil {
		return d.syncFolder(folder)
	}
	if gone := d.rename(newest, before); gone != nil && !isMissing(gone) {
		err = errors.Join(err, gone)
	}
	return err
}

// keepAcceptedInTime keeps the copy, and goes on without where that can't be had.
func keepAcceptedInTime(d disk, folder string, text []byte, grace time.Duration, log *slog.Logger) {
	const without = "the site file could not be copied into the state folder: if it is changed while the program runs, and the program is then killed, the stop hook may not find every output"
	kept := make(chan error, 1)
	go func() {
		kept <- protected("the copy of the site file", func() error { return keepAccepted(d, folder, text) })
	}()
	timer := time.NewTimer(grace)
	defer timer.Stop()
	select {
	case err := <-kept:
		if err != nil {
			log.Error(without, "folder", folder, "error", err)
		}
	case <-timer.C:
		log.Error(without, "folder", folder, "error", "the storage does not answer")
	}
}

// acceptedSite is what the copy in a state folder says of the outputs.
type acceptedSite struct {
	path string
	text []byte     // of the site file
	site *site.Site // the outputs alone
	lost []string   // of them, by a program with other checks than the one that ran
	err  error      // why there is none
}

func loadAccepted(folder string) *acceptedSite {
	a := &acceptedSite{}
	a.path, _, _ = placesOf(folder, acceptedName)
	data, err := realDisk{}.read(a.path, acceptedSizeLimit)
	if err == nil {
		a.text, err = unseal(acceptedMagic, acceptedVersion, "the copy of a site file", data)
	}
	if err != nil {
		a.err = fmt.Errorf("the copy of the site file that the program last ran by, %s, can't be used: %w", a.path, err)
		return a
	}
	a.site, a.lost = site.ParseOutputs(a.path, data)
	return a
}
