package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"golang.org/x/term"

	"sunstoker/dashboard/door"
)

type passwordCommand struct {
	Name string `arg:"" help:"The name that the site file uses for the person."`
}

// Run asks for a new password and writes the line of it for the web configuration.
func (c *passwordCommand) Run(in *surroundings) error {
	if strings.Trim(c.Name, "abcdefghijklmnopqrstuvwxyz0123456789-") != "" || c.Name == "" {
		return &usageError{fmt.Sprintf("%q is no name of a person here; take small letters, figures and dashes", c.Name)}
	}
	password, err := newPassword(in)
	if err != nil {
		return err
	}
	hash, err := door.Hash(c.Name, password)
	if err != nil {
		return err
	}
	_, err = fmt.Fprint(in.stdout, door.Line(c.Name, hash))
	if err == nil {
		fmt.Fprintln(in.stderr, "Put this line under basic_auth_users in the web configuration, which is web.yml in the state folder; it counts at once. It is made when the first password is set on the page. The site file says what the person may do.")
	}
	return err
}

// newPassword asks for a password twice on a terminal, unseen; from anything else
// it takes one line.
func newPassword(in *surroundings) (string, error) {
	file, is := in.stdin.(*os.File)
	if !is || !term.IsTerminal(int(file.Fd())) {
		line, err := bufio.NewReader(io.LimitReader(in.stdin, 1024)).ReadString('\n')
		if err != nil && !(errors.Is(err, io.EOF) && line != "") {
			return "", fmt.Errorf("no password came on standard input: %w", err)
		}
		return strings.TrimRight(line, "\r\n"), nil
	}
	var typed [2]string
	for i, words := range []string{"New password: ", "The same again: "} {
		fmt.Fprint(in.stderr, words)
		text, err := term.ReadPassword(int(file.Fd()))
		fmt.Fprintln(in.stderr)
		if err != nil {
			return "", fmt.Errorf("the password can't be read: %w", err)
		}
		typed[i] = string(text)
	}
	if typed[0] != typed[1] {
		return "", errors.New("the two passwords differ; try again")
	}
	return typed[0], nil
}
