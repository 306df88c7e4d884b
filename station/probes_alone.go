package station

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"

	"sunstoker/site"
)

// OpenProbes gives the probes of a site with the buses that read them, and no
// output: for who looks at probes while no daemon runs. The buses rest until
// they are run.
func OpenProbes(s *site.Site, clock Clock, o BuildOptions) (*Ports, error) {
	o.open()
	o.lines = newModbusLines(o.hardware)
	ports := &Ports{}
	if err := openProbes(ports, s, clock, o); err != nil {
		return nil, err
	}
	return ports, nil
}

// Running tells whether a daemon has a site in hand now. An error says that it can't
// be found out.
func Running(s *site.Site) (bool, error) {
	folder, err := os.Open(s.StateFolder)
	switch {
	case isMissing(err):
		return false, nil // no daemon has ever run
	case err != nil:
		return false, err
	}
	defer folder.Close() // nothing was written; a lock goes with it
	err = unix.Flock(int(folder.Fd()), unix.LOCK_SH|unix.LOCK_NB)
	if errors.Is(err, unix.EWOULDBLOCK) {
		return true, nil
	}
	return false, err
}
