//go:build fleet

package fleet_test

import (
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

const (
	ours      = "../../build/sunstoker"
	houseFile = "../trials/sites/valley-house.toml"
)

// house is a daemon that looks after a simulated plant on the bench.
type house struct {
	site, address string
	network       string    // its door for other devices
	certificate   string    // of that
	orders        io.Writer // to the bench
}

func newHouse(t *testing.T, site string) *house {
	t.Helper()
	folder := t.TempDir()
	tree, file, modbus := filepath.Join(folder, "w1"), filepath.Join(folder, "site.toml"), freeAddress(t)
	if err := os.Mkdir(tree, 0o755); err != nil {
		t.Fatal(err)
	}
	bench := []string{"bench", houseFile, "--modbus", modbus, "--tree", tree}
	if out, err := exec.Command(ours, append(bench, "--site-file", file)...).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	h := &house{site: site, address: freeAddress(t), network: freeAddress(t)}
	_, port, _ := strings.Cut(h.network, ":")
	web := filepath.Join(folder, "web.yml")
	write(t, file, shipped(t, file, "[daemon]\n", fmt.Sprintf("[people]\ninstall = \"anna\"\n[network]\nlisten = \"0.0.0.0:%s\"\nweb_configuration = %q\n[daemon]\nlisten = %q\n", port, web, h.address)))
	var key string
	h.certificate, key, _ = certificate(t)
	write(t, filepath.Join(folder, "certificate.pem"), h.certificate)
	write(t, filepath.Join(folder, "key.pem"), key)
	write(t, web, "tls_server_config:\n  cert_file: certificate.pem\n  key_file: key.pem\nbasic_auth_users:\n"+passwordLine(t, "fleet", fleetWord))
	read, orders, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { read.Close(); orders.Close() })
	start(t, site+"-bench", read, ours, bench...)
	h.orders = orders
	until(t, "the bench serves its thermometers", 20*time.Second, func() (bool, string) {
		there, _ := filepath.Glob(filepath.Join(tree, "28-*"))
		return len(there) == 4, fmt.Sprint(there)
	})
	start(t, site, nil, ours, "run", "--allow-root", file)
	return h
}

// TestThreeHouses: two houses are scraped and one comes by an agent, with the files that
// are shipped, through the doors of houses and server with their TLS and passwords. A probe is unplugged in one
// of them: its finding must come as an alert of that house, and nothing else may come.
func TestThreeHouses(t *testing.T) {
	hill, shore, mill := newHouse(t, "hill"), newHouse(t, "shore"), newHouse(t, "mill")
	server := newServer(t, "lake", hill, shore)
	server.agent(t, mill)

	if err := (&client{base: server.base, Client: server.Client}).ask("GET", "/api/v1/query?query=up", new(any)); err == nil {
		t.Error("the server answers somebody without a password")
	}
	until(t, "all three houses have come, each under its name", 40*time.Second, func() (bool, string) {
		found, err := server.query(`group by (site, area) (sunstoker_ticks_total > 3)`)
		var sites []string
		for _, s := range found {
			sites = append(sites, s.Metric["site"]+" at "+s.Metric["area"])
		}
		slices.Sort(sites)
		return slices.Equal(sites, []string{"hill at lake", "mill at lake", "shore at lake"}), fmt.Sprint(sites, err)
	})
	if now := server.alerts(t); len(now) > 0 {
		t.Fatalf("alerts of sound houses: %q", now)
	}
	fmt.Fprintln(mill.orders, "probe missing probe collector")
	until(t, "the alert comes", 110*time.Second, func() (bool, string) {
		now := server.alerts(t)
		return len(now) > 0, fmt.Sprint(now)
	})
	time.Sleep(5 * time.Second) // and whatever else would come with it
	if now := server.alerts(t); !slices.Equal(now, []string{"ProbeSilent of mill, urgency soon: mill, roof, collector: A probe gives no value."}) {
		t.Errorf("a probe was unplugged at the mill, and these alerts came: %q", now)
	}
	server.understandsTheBoard(t)
	cleanMetrics(t, mill)
}

// cleanMetrics asks Prometheus' own tool what it thinks of a live house's metrics.
func cleanMetrics(t *testing.T, h *house) {
	t.Helper()
	var text string
	if err := (&client{base: "http://" + h.address}).ask("GET", "/metrics", &text); err != nil {
		t.Fatal(err)
	}
	c := exec.Command("promtool", "check", "metrics")
	c.Stdin = strings.NewReader(text)
	if out, err := c.CombinedOutput(); err != nil || len(out) > 0 {
		t.Errorf("promtool check metrics: %v: %s", err, out)
	}
}

// server is the installer's Prometheus.
type server struct {
	client
	area, certificate string
}

const (
	installer, installerWord = "installer", "lantern on a long ladder"
	fleetWord                = "seven roofs in the rain"
	agentName, agentWord     = "mill", "river under the old wheel"
)

// newServer starts it on the shipped files, for houses that it scrapes every two seconds.
func newServer(t *testing.T, area string, houses ...*house) *server {
	t.Helper()
	folder, address := t.TempDir(), freeAddress(t)
	certificate, key, trusted := certificate(t)
	var list, believed strings.Builder
	for _, h := range houses {
		fmt.Fprintf(&list, "- targets: [%q]\n  labels: {site: %s, area: %s}\n", h.network, h.site, area)
		believed.WriteString(h.certificate)
	}
	write(t, filepath.Join(folder, "houses.pem"), believed.String())
	write(t, filepath.Join(folder, "houses.password"), fleetWord)
	file := layServer(t, folder, 2*time.Second, list.String())
	write(t, filepath.Join(folder, "server-certificate.pem"), certificate)
	write(t, filepath.Join(folder, "server-key.pem"), key)
	write(t, filepath.Join(folder, "server-web.yml"), shipped(t, "server-web.yml",
		"  # installer: \"$2y$...\"\n", passwordLine(t, installer, installerWord), "  # house-on-the-hill: \"$2y$...\"\n", passwordLine(t, agentName, agentWord)))
	start(t, "server", nil, "prometheus", "--config.file="+file, "--web.config.file="+filepath.Join(folder, "server-web.yml"),
		"--web.enable-remote-write-receiver", "--storage.tsdb.path="+filepath.Join(folder, "data"), "--web.listen-address="+address, "--log.level=warn")
	return &server{area: area, certificate: certificate, client: client{base: "https://" + address, name: installer, password: installerWord,
		Client: http.Client{Transport: &http.Transport{TLSClientConfig: trusted}}}}
}

// passwordLine is what the program writes for somebody with this password.
func passwordLine(t *testing.T, name, word string) string {
	t.Helper()
	c := exec.Command(ours, "password", name)
	c.Stdin = strings.NewReader(word + "\n")
	line, err := c.Output()
	if err != nil {
		t.Fatal(err)
	}
	return "  " + strings.TrimSpace(string(line)) + "\n"
}

// agent lets a house come by itself.
func (s *server) agent(t *testing.T, h *house) {
	t.Helper()
	folder := t.TempDir()
	write(t, filepath.Join(folder, "server.password"), agentWord)
	write(t, filepath.Join(folder, "server.pem"), s.certificate)
	write(t, filepath.Join(folder, "agent.yml"), shipped(t, "agent.yml", "scrape_interval: 1m", "scrape_interval: 2s",
		"127.0.0.1:8017", h.address, "https://SERVER:9090", s.base, "HOUSE", h.site, "WEATHER", s.area))
	start(t, h.site+"-agent", nil, "prometheus", "--enable-feature=agent", "--config.file="+filepath.Join(folder, "agent.yml"),
		"--storage.agent.path="+filepath.Join(folder, "data"), "--web.listen-address="+freeAddress(t), "--log.level=warn")
}

// alerts are those that are told now, in one line each; who still waits, such as for a tank
// to be cold for half a day, is not among them.
func (s *server) alerts(t *testing.T) (lines []string) {
	t.Helper()
	var answer struct {
		Data struct {
			Alerts []struct {
				Labels, Annotations map[string]string
				State               string
			}
		}
	}
	if err := s.ask("GET", "/api/v1/alerts", &answer); err != nil {
		t.Fatal(err)
	}
	for _, a := range answer.Data.Alerts {
		if a.State == "firing" {
			lines = append(lines, fmt.Sprintf("%s of %s, urgency %s: %s", a.Labels["alertname"], a.Labels["site"], a.Labels["urgency"], a.Annotations["seen"]))
		}
	}
	slices.Sort(lines)
	return lines
}

// understandsTheBoard asks every question of the board for Grafana.
func (s *server) understandsTheBoard(t *testing.T) {
	t.Helper()
	text, err := os.ReadFile("../grafana/houses.json")
	if err != nil {
		t.Fatal(err)
	}
	var board struct {
		Panels []struct {
			Title   string
			Targets []struct{ Expr string }
		}
	}
	if err := json.Unmarshal(text, &board); err != nil {
		t.Fatal(err)
	}
	asked, answered := 0, 0
	for _, p := range board.Panels {
		for _, question := range p.Targets {
			asked++
			found, err := s.query(strings.ReplaceAll(question.Expr, "$site", ".*"))
			if err != nil {
				t.Errorf("panel %q: %v", p.Title, err)
			}
			if len(found) > 0 {
				answered++
			}
		}
	}
	t.Logf("of %d questions of the board, houses of two minutes answer %d", asked, answered)
	if asked < 15 || answered < asked/2 {
		t.Errorf("of %d questions only %d are answered", asked, answered)
	}
}
