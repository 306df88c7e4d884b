package station

import (
	"context"
	"time"

	"github.com/coreos/go-systemd/v22/daemon"

	"sunstoker/site"
)

// RunGuard holds the board's own outputs of a site for the daemon, until the
// context ends; see package guard. The outputs are taken, and off, before anybody
// can ask for one. A site without a guard gives it nothing to do.
func RunGuard(ctx context.Context, s *site.Site, o BuildOptions) error {
	if err := o.ready(s); err != nil {
		return err
	}
	clock := NewSystemClock(true, time.Time{}, o.Log) // for the time that goes by; its date is not asked for
	m := newManager(o.Log, clock)
	go m.run()
	defer func() {
		m.close()
		<-m.stopped
	}()
	held := guardedPart(s)
	if s.Guard == "" || len(held.Outputs) == 0 {
		o.Log.Info("the site file names no guard, or no output that it could hold: there is nothing to do", "site", s.Name)
		m.tell(daemon.SdNotifyReady)
		return nil
	}
	g, l, err := openGuard(s.Guard, held, o, func() { m.finished(clock.Now()) })
	if err != nil {
		return err
	}
	o.Log.Info("the guard holds its outputs, all off", "site", s.Name, "outputs", len(held.Outputs), "socket", s.Guard)
	m.tell(daemon.SdNotifyReady)
	within, stop := context.WithCancel(ctx)
	defer stop()
	go func() { _ = thrift(o.Log).Run(within) }() // it never fails
	err = g.Serve(ctx, l)
	m.tell(daemon.SdNotifyStopping)
	return err
}
