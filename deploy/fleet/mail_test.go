//go:build fleet

package fleet_test

import (
	"bufio"
	"encoding/base64"
	"fmt"
	"io"
	"mime/quotedprintable"
	"net"
	"net/mail"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// TestMail hands alerts to the real alert manager with the file that is given, and reads
// the mails that come of it.
func TestMail(t *testing.T) {
	folder, mails := t.TempDir(), make(chan *mail.Message, 9)
	file := filepath.Join(folder, "alertmanager.yml")
	write(t, file, shipped(t, "../prometheus/alertmanager.yml",
		"MAILSERVER:587", takeMails(t, mails)+"\n  smtp_require_tls: false", "SENDER", "sunstoker@house.example",
		"NAME", "anna", "/etc/prometheus/mail.password", filepath.Join(folder, "mail.password"),
		"WHO-IS-ON-CALL", "call@house.example", "WHO-LOOKS-AFTER-IT", "care@house.example",
		"group_wait: 10s", "group_wait: 1s", "group_interval: 1m", "group_interval: 2s"))
	write(t, filepath.Join(folder, "mail.password"), "rain")
	address := freeAddress(t)
	start(t, "alertmanager", nil, "prometheus-alertmanager", "--config.file="+file, "--storage.path="+folder,
		"--web.listen-address="+address, "--cluster.listen-address=")
	manager := &client{base: "http://" + address}
	until(t, "the alert manager is ready", time.Minute, func() (bool, string) {
		var said string
		err := manager.ask("GET", "/-/ready", &said)
		return err == nil, fmt.Sprint(said, err)
	})
	raise := func(name, site, urgency string, more ...string) {
		arguments := []string{"alert", "add", "--alertmanager.url", manager.base, name, "site=" + site, "urgency=" + urgency,
			"--annotation=seen=" + site + ": " + name + " is seen, 47 °C.", "--annotation=likely=A pump.", "--annotation=check=Look there."}
		if out, err := exec.Command("amtool", append(arguments, more...)...).CombinedOutput(); err != nil {
			t.Fatalf("amtool: %v: %s", err, out)
		}
	}
	raise("PumpMovesNoHeat", "hill", "soon")
	raise("TicksHaveStopped", "hill", "at_once")
	raise("HouseIsSilentInFrost", "valley", "at_once")
	raise("HouseIsSilent", "valley", "soon")
	for range 2 {
		m := nextMail(t, mails)
		site, _, _ := strings.Cut(m.Header.Get("Subject"), ":")
		text := textOf(t, m)
		if got, want := m.Header.Get("Subject"), site+": AT ONCE, 1 to look at"; got != want || m.Header.Get("To") != "call@house.example" {
			t.Errorf("a mail to %q about %q, want one about %q", m.Header.Get("To"), got, want)
		}
		name := map[string]string{"hill": "TicksHaveStopped", "valley": "HouseIsSilentInFrost"}[site]
		if want := site + ": " + name + " is seen, 47 °C.\nLikely: A pump.\nWhat to do: Look there.\n\nThe house's page"; !strings.HasPrefix(text, want) {
			t.Errorf("it says\n%s\nwant\n%s", text, want)
		}
	}
	var held []struct {
		Labels struct{ Alertname string }
		Status struct{ InhibitedBy []string }
	}
	if err := manager.ask("GET", "/api/v2/alerts", &held); err != nil {
		t.Fatal(err)
	}
	for _, alert := range held {
		if urgent := alert.Labels.Alertname == "TicksHaveStopped" || alert.Labels.Alertname == "HouseIsSilentInFrost"; urgent == (len(alert.Status.InhibitedBy) > 0) {
			t.Errorf("%s is held back by %q", alert.Labels.Alertname, alert.Status.InhibitedBy)
		}
	}
	raise("TicksHaveStopped", "hill", "at_once", "--end="+time.Now().Add(-time.Second).Format(time.RFC3339))
	m := nextMail(t, mails)
	if text := textOf(t, m); m.Header.Get("Subject") != "hill: over" || !strings.Contains(text, "hill: TicksHaveStopped is seen") || !strings.HasPrefix(text, "Over since ") {
		t.Errorf("at the end comes %q:\n%s", m.Header.Get("Subject"), text)
	}
}

func nextMail(t *testing.T, mails <-chan *mail.Message) *mail.Message {
	t.Helper()
	select {
	case m := <-mails:
		return m
	case <-time.After(time.Minute):
		t.Fatal("no mail comes")
		return nil
	}
}

// textOf is the text of a mail, which must have no other part.
func textOf(t *testing.T, m *mail.Message) string {
	t.Helper()
	body, err := io.ReadAll(m.Body)
	if err != nil {
		t.Fatal(err)
	}
	_, rest, found := strings.Cut(string(body), "Content-Type: text/plain; charset=UTF-8")
	_, rest, begins := strings.Cut(rest, "\r\n\r\n")
	coded, _, ends := strings.Cut(rest, "\r\n--")
	if !found || !begins || !ends || strings.Contains(string(body), "text/html") {
		t.Fatalf("the mail is not one plain text:\n%s", body)
	}
	text, err := io.ReadAll(quotedprintable.NewReader(strings.NewReader(coded)))
	if err != nil {
		t.Fatal(err)
	}
	return strings.ReplaceAll(string(text), "\r\n", "\n")
}

// takeMails plays a mail server, as far as a client needs it that sends (RFC 5321).
func takeMails(t *testing.T, mails chan<- *mail.Message) (address string) {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { l.Close() })
	go func() {
		for {
			conn, err := l.Accept()
			if err != nil {
				return
			}
			go takeFrom(conn, mails)
		}
	}()
	return l.Addr().String()
}

func takeFrom(conn net.Conn, mails chan<- *mail.Message) {
	defer conn.Close()
	in := bufio.NewReader(conn)
	fmt.Fprint(conn, "220 house.example\r\n")
	for {
		line, err := in.ReadString('\n')
		if err != nil {
			return
		}
		switch word, _, _ := strings.Cut(strings.ToUpper(strings.TrimSpace(line)), " "); word {
		case "EHLO":
			fmt.Fprint(conn, "250-house.example\r\n250 AUTH PLAIN\r\n")
		case "AUTH":
			if given, err := base64.StdEncoding.DecodeString(strings.Fields(line)[2]); err != nil || string(given) != "\x00anna\x00rain" {
				fmt.Fprint(conn, "535 no\r\n")
				return
			}
			fmt.Fprint(conn, "235 come in\r\n")
		case "DATA":
			fmt.Fprint(conn, "354 go on\r\n")
			var text strings.Builder
			for line, err = in.ReadString('\n'); err == nil && line != ".\r\n"; line, err = in.ReadString('\n') {
				text.WriteString(strings.TrimPrefix(line, "."))
			}
			if m, err := mail.ReadMessage(strings.NewReader(text.String())); err == nil {
				mails <- m
			}
			fmt.Fprint(conn, "250 taken\r\n")
		case "QUIT":
			fmt.Fprint(conn, "221 good-bye\r\n")
			return
		default:
			fmt.Fprint(conn, "250 yes\r\n")
		}
	}
}
