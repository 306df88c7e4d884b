package station

import (
	"context"
	"errors"
	"time"

	"github.com/coreos/go-systemd/v22/daemon"
)

// How long the way out waits, in real time, for what does not come back.
const (
	graceForOutputs = 5 * time.Second
	graceForRest    = 10 * time.Second
	serviceRetry    = 30 * time.Second
)

// Run keeps the tick until ctx ends, and returns nil then. On the way out,
// whatever the reason, it drives all outputs off first, then saves the state,
// then stops the services. When hurry ends it waits for nothing any more. It
// can be called once. An error means that the program should end and be
// started again.
func (s *Station) Run(ctx, hurry context.Context) error {
	within, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	serving, stopServing := context.WithCancel(context.WithoutCancel(ctx))
	defer stopServing()

	helper := func(name string, run func()) {
		s.spawn(name, cancel, func() error { run(); return nil })
	}
	helper("what is told to the service manager", s.manager.run)
	helper("the saving of the state", s.saver.run)
	for _, box := range s.boxes {
		helper("a watcher's mailbox", box.run)
	}
	s.markStart()
	var served []<-chan struct{}
	for _, service := range s.services {
		served = append(served, s.spawn(service.Name, cancel, func() error { s.serve(serving, service); return nil }))
	}
	for i, bus := range s.ports.Buses {
		s.spawn("bus "+bus.Name(), cancel, func() error { return s.readBus(within, i) })
	}
	s.log.Info("the station runs", "site", s.house.Name, "version", s.house.Version)
	ticking := s.spawn("the tick", cancel, func() error { s.keepTick(within); return nil })

	<-within.Done()
	fault := context.Cause(within)
	if ctx.Err() != nil && errors.Is(fault, context.Cause(ctx)) {
		fault = nil
	}
	fault = errors.Join(fault, s.leave(hurry, ticking, fault))
	stopServing()
	s.await(hurry, "a server does not stop", served...)
	return errors.Join(fault, s.release(hurry, ticking))
}

// spawn runs do on a goroutine. An error or a panic of it drives all outputs
// off at once and ends the station.
func (s *Station) spawn(name string, end context.CancelCauseFunc, do func() error) <-chan struct{} {
	done := make(chan struct{})
	go func() {
		defer close(done)
		err := protected(name, do)
		if err == nil {
			return
		}
		grace, cancel := context.WithTimeout(context.Background(), graceForOutputs)
		defer cancel()
		off := s.drive.close(grace)
		stack := ""
		if p, ok := errors.AsType[*panicError](err); ok {
			stack = p.stack
		}
		s.log.Error("all outputs are driven off, the station stops", "because", err, "outputs", off, "stack", stack)
		end(err)
	}()
	return done
}

// leave drives all outputs off, then saves the state if it is sound, which it
// is when there was no fault.
func (s *Station) leave(hurry context.Context, ticking <-chan struct{}, fault error) error {
	grace, cancel := context.WithTimeout(hurry, graceForOutputs)
	defer cancel()
	off := s.drive.close(grace)
	if off != nil {
		s.log.Error("not every output is known to be off: switch pump and heater off at their isolators", "error", off)
	} else {
		s.log.Info("all outputs are off")
	}
	s.manager.tell(daemon.SdNotifyStopping)
	if !s.await(grace, "the tick does not end", ticking) {
		return off // the controller's memory is not ours to look at
	}
	switch {
	case s.deciding:
		s.blame()
	case fault == nil:
		s.offerState()
	}
	rest, cancelRest := context.WithTimeout(hurry, graceForRest)
	defer cancelRest()
	if err := s.saver.finish(rest); err != nil {
		s.log.Error("the state could not be saved in time", "error", err)
	} else if why, _ := s.saver.trouble(); why != "" {
		s.log.Error("the controller's memory since the last save is lost", "error", why)
	}
	return off
}

// release gives everything back.
func (s *Station) release(hurry context.Context, ticking <-chan struct{}) error {
	select {
	case <-ticking:
		for _, box := range s.boxes {
			box.close()
		}
		s.manager.close()
		s.await(hurry, "the service manager does not listen", s.manager.stopped)
	default:
	}
	return s.lock.Close()
}

// await waits for goroutines to end, for as long as the context lives and no
// longer than the grace.
func (s *Station) await(ctx context.Context, otherwise string, done ...<-chan struct{}) bool {
	grace, cancel := context.WithTimeout(ctx, graceForRest)
	defer cancel()
	for _, d := range done {
		select {
		case <-d:
		case <-grace.Done():
			s.log.Warn("left behind: " + otherwise)
			return false
		}
	}
	return true
}

// readBus runs one bus until the context ends.
func (s *Station) readBus(ctx context.Context, i int) error {
	if member := s.ports.Buses[i].Member; member != nil {
		defer member.Leave()
	}
	err := s.ports.Buses[i].Run(ctx)
	if ctx.Err() != nil {
		return nil
	}
	return err
}

// serve keeps a service running until the context ends. Its faults are its
// own: the tick goes on without it.
func (s *Station) serve(ctx context.Context, service Service) {
	for ctx.Err() == nil {
		err := protected(service.Name, func() error { return service.Run(ctx) })
		if ctx.Err() != nil {
			return
		}
		s.log.Error("a service ended; it is tried again, the tick goes on", "service", service.Name, "error", err, "after", serviceRetry)
		timer := time.NewTimer(serviceRetry)
		select {
		case <-timer.C:
		case <-ctx.Done():
			timer.Stop()
		}
	}
}
