//go:build fleet

package fleet_test

import (
	"flag"
	"fmt"
	"io"
	"io/fs"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"
)

var (
	houses  = flag.Int("houses", 1000, "how many houses are scraped")
	every   = flag.Duration("every", 5*time.Second, "how often each is scraped; the houses live faster, so that a scrape a minute is what is measured")
	scrapes = flag.Int("scrapes", 120, "how often each house is scraped before it is measured; 120 fill the pieces in which Prometheus keeps a series")
)

// TestLoad measures what a house costs an installer's Prometheus: memory, disk and
// processor time. It scrapes one demo house under as many names as asked for. The house
// lives faster than time, so that a minute passes for it between two scrapes. All rules are
// evaluated as often as they would be; what they read of days that are past is not there.
func TestLoad(t *testing.T) {
	text := scrapedHouse(t)
	site := serve(t, text)
	folder := t.TempDir()
	var list strings.Builder
	for i := range *houses {
		fmt.Fprintf(&list, "- targets: [%q]\n  labels: {site: house-%04d, area: area-%02d}\n", site, i, i/20)
	}
	secured := shipped(t, "server.yml")
	secured = secured[strings.Index(secured, "    scheme: https"):strings.Index(secured, "    file_sd_configs:")]
	file := layServer(t, folder, *every, list.String(), secured, "")
	spell := func(minutes int) string { return "interval: " + (time.Duration(minutes) * *every).String() }
	copyRules(t, filepath.Join(folder, "rules"), "interval: 1m", spell(1), "interval: 2m", spell(2), "interval: 4m", spell(4))
	address := freeAddress(t)
	data := filepath.Join(folder, "data")
	c := start(t, "server", nil, "prometheus", "--config.file="+file, "--storage.tsdb.path="+data,
		"--web.listen-address="+address, "--web.enable-admin-api", "--log.level=warn")
	server := &client{base: "http://" + address}

	var at own
	until(t, fmt.Sprintf("%d scrapes of %d houses", *scrapes, *houses), 3*time.Duration(*scrapes)**every+time.Minute, func() (bool, string) {
		var err error
		at, err = ownMetrics(server)
		return at.series > 50*float64(*houses) && at.samples >= at.series*float64(*scrapes), fmt.Sprintf("%.0f samples of %.0f series, %v", at.samples, at.series, err)
	})
	var snapshot struct{ Data struct{ Name string } }
	if err := server.ask("POST", "/api/v1/admin/tsdb/snapshot", &snapshot); err != nil {
		t.Fatal(err)
	}
	chunks := size(t, filepath.Join(data, "snapshots", snapshot.Data.Name), func(name string) bool { return strings.Contains(name, "chunks") })
	index := size(t, filepath.Join(data, "snapshots", snapshot.Data.Name), func(name string) bool { return strings.HasSuffix(name, "index") })
	n := float64(*houses)
	perHouse := at.series / n
	perSample := chunks / at.samples
	rounds := at.samples / at.series
	fmt.Printf("%d houses, scraped %.0f times, Prometheus %s (process %d):\n", *houses, rounds, version(t, server), c.Process.Pid)
	fmt.Printf("  series of a house, those of the rules included      %8.0f\n", perHouse)
	fmt.Printf("  memory of a house                                   %8.2f MB (%.0f MB in all)\n", at.residentB/n/1e6, at.residentB/1e6)
	fmt.Printf("  disk of a house and day, a scrape a minute          %8.2f MB (%.2f bytes a sample), and %.2f MB of index a block\n", perHouse*1440*perSample/1e6, perSample, index/n/1e6)
	fmt.Printf("  processor time of a house and scrape, its rules too %8.2f ms: %.2f %% of a core for %d houses, a scrape a minute\n",
		at.processorS/n/rounds*1e3, at.processorS/rounds/60*100, *houses)
}

// scrapedHouse keeps the newest metrics of a demo house.
func scrapedHouse(t *testing.T) *atomic.Pointer[string] {
	t.Helper()
	address := freeAddress(t)
	start(t, "house", nil, ours, "demo", "--listen", address, "--speed", fmt.Sprint(min(time.Minute.Seconds()/every.Seconds(), 1000)))
	house, newest := &client{base: "http://" + address}, new(atomic.Pointer[string])
	until(t, "the house answers", 20*time.Second, func() (bool, string) {
		err := renew(house, newest)
		return err == nil && strings.Contains(*newest.Load(), "sunstoker_ticks_total"), fmt.Sprint(err)
	})
	done := make(chan struct{})
	t.Cleanup(func() { close(done) })
	go func() {
		for tick := time.NewTicker(500 * time.Millisecond); ; {
			select {
			case <-done:
				return
			case <-tick.C:
				renew(house, newest) // else the last one stays
			}
		}
	}()
	return newest
}

func renew(house *client, newest *atomic.Pointer[string]) error {
	var text string
	if err := house.ask("GET", "/metrics", &text); err != nil {
		return err
	}
	newest.Store(&text)
	return nil
}

// serve hands the metrics to as many as ask.
func serve(t *testing.T, newest *atomic.Pointer[string]) (address string) {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	s := &http.Server{Handler: http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/plain; version=0.0.4")
		io.WriteString(w, *newest.Load())
	})}
	go s.Serve(l)
	t.Cleanup(func() { s.Close() })
	return l.Addr().String()
}

// own are a Prometheus' figures of itself.
type own struct{ samples, series, residentB, processorS float64 }

func ownMetrics(c *client) (o own, err error) {
	var text string
	if err := c.ask("GET", "/metrics", &text); err != nil {
		return own{}, err
	}
	for line := range strings.Lines(text) {
		name, value, _ := strings.Cut(strings.TrimSpace(line), " ")
		into := map[string]*float64{"prometheus_tsdb_head_samples_appended_total": &o.samples, "prometheus_tsdb_head_series": &o.series,
			"process_resident_memory_bytes": &o.residentB, "process_cpu_seconds_total": &o.processorS}[name]
		if into == nil && strings.HasPrefix(name, "prometheus_tsdb_head_samples_appended_total{") && strings.Contains(name, "float") {
			into = &o.samples
		}
		if into != nil {
			if _, err := fmt.Sscan(value, into); err != nil {
				return own{}, err
			}
		}
	}
	return o, nil
}

func version(t *testing.T, c *client) string {
	t.Helper()
	var answer struct{ Data struct{ Version string } }
	if err := c.ask("GET", "/api/v1/status/buildinfo", &answer); err != nil {
		t.Fatal(err)
	}
	return answer.Data.Version
}

// size is that of all files of a folder whose paths are meant, in bytes.
func size(t *testing.T, folder string, meant func(name string) bool) (bytes float64) {
	t.Helper()
	err := filepath.WalkDir(folder, func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() || !meant(strings.TrimPrefix(name, folder)) {
			return err
		}
		info, err := os.Stat(name)
		if err == nil {
			bytes += float64(info.Size())
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return bytes
}
