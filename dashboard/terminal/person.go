package terminal

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"golang.org/x/sys/unix"
	"golang.org/x/term"
)

// The environment may hold who asks. Flags may not: everybody on the machine can
// read the command lines of others.
const (
	nameKey     = "SUNSTOKER_NAME"
	passwordKey = "SUNSTOKER_PASSWORD"
)

const tries = 3

// letIn sees that the daemon lets the caller in, and asks the person for a name and
// a password where that helps and can be done. A daemon that does not answer yet is
// no error here.
func (c *caller) letIn(ctx context.Context, o *Options) error {
	c.name, c.password = o.environment(nameKey), o.environment(passwordKey)
	for try := 0; ; try++ {
		_, err := c.now(ctx)
		t, is := errors.AsType[*trouble](err)
		switch {
		case !is || !t.final:
			return nil
		case !t.who || try == tries:
			return t
		}
		in, typed := o.In.(*os.File)
		if !typed || !term.IsTerminal(int(in.Fd())) {
			return t
		}
		fmt.Fprintf(o.Prompt, "%s\n", t.words)
		if c.name, c.password, err = askPerson(ctx, in, o.Prompt); err != nil {
			return err
		}
	}
}

// askPerson asks on a terminal, the password unseen.
func askPerson(ctx context.Context, in *os.File, prompt io.Writer) (name, password string, err error) {
	before, err := term.GetState(int(in.Fd()))
	if err != nil {
		return "", "", err
	}
	done := make(chan error, 1)
	go func() { // a read that blocks is left behind when the program ends
		fmt.Fprint(prompt, "Name: ")
		line, err := bufio.NewReader(in).ReadString('\n')
		if err != nil {
			done <- fmt.Errorf("the name can't be read: %w", err)
			return
		}
		name = strings.TrimSpace(line)
		if err := hideTyping(int(in.Fd())); err != nil {
			done <- err
			return
		}
		fmt.Fprint(prompt, "Password: ")
		text, err := term.ReadPassword(int(in.Fd()))
		fmt.Fprintln(prompt)
		password = string(text)
		done <- errors.Join(err, term.Restore(int(in.Fd()), before))
	}()
	select {
	case err := <-done:
		return name, password, err
	case <-ctx.Done():
		return "", "", errors.Join(context.Cause(ctx), term.Restore(int(in.Fd()), before))
	}
}

// hideTyping lets a terminal not show what is typed. It comes before the prompt, so
// that whoever is quick is not seen either.
func hideTyping(fd int) error {
	t, err := unix.IoctlGetTermios(fd, unix.TCGETS)
	if err != nil {
		return err
	}
	t.Lflag &^= unix.ECHO
	return unix.IoctlSetTermios(fd, unix.TCSETS, t)
}
