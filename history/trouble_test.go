package history

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"golang.org/x/sys/unix"
	"pgregory.net/rapid"

	"sunstoker/station/tick"
)

// written is a folder with a history of some hours.
func written(t *testing.T, span time.Duration) *house {
	t.Helper()
	h := newHouse(t, t.TempDir())
	h.pass(span)
	h.stop()
	h.sound()
	return h
}

func minutesIn(t *testing.T, folder string) int {
	t.Helper()
	r := openFolder(t, folder)
	n := 0
	if err := r.rows(context.Background(), minuteTier, -1<<60, 1<<60, func(*row) error { n++; return nil }); err != nil {
		t.Fatal(err)
	}
	return n
}

// TestADamagedFileIsSetAside: whatever lies there in the place of a history, the
// next run writes one, and keeps what was there.
func TestADamagedFileIsSetAside(t *testing.T) {
	for name, damage := range map[string]func(data []byte) []byte{
		"text":                func([]byte) []byte { return []byte("this is no history\n") },
		"zeros":               func(d []byte) []byte { clear(d); return d },
		"torn in the head":    func(d []byte) []byte { return d[:60] },
		"torn in the middle":  func(d []byte) []byte { return d[:len(d)/2/4096*4096] },
		"a page of zeros":     func(d []byte) []byte { clear(d[4096:8192]); return d },
		"the first page gone": func(d []byte) []byte { copy(d, d[4096:8192]); return d },
	} {
		t.Run(name, func(t *testing.T) {
			h := written(t, 3*time.Hour)
			data, err := os.ReadFile(h.h.path)
			if err != nil {
				t.Fatal(err)
			}
			spoilt := damage(data)
			if err := os.WriteFile(h.h.path, spoilt, 0o640); err != nil {
				t.Fatal(err)
			}
			if _, err := check(t, h.h.o.Folder, noon); err == nil || !strings.Contains(err.Error(), "move") {
				t.Errorf("the command says %v, and not what to do", err)
			}
			// As a power cut leaves it; else damage inside is met when it is met.
			if err := os.WriteFile(h.h.path+"-wal", make([]byte, 100), 0o640); err != nil {
				t.Fatal(err)
			}
			h = h.again(time.Minute)
			h.write()
			h.pass(12 * time.Minute)
			h.write()
			h.sound()
			h.stop()
			if n := minutesIn(t, h.h.o.Folder); n != 12 {
				t.Errorf("the new history has %d minutes, want 12", n)
			}
			asides, err := setAsides(h.h.path)
			if err != nil || len(asides) != 1 {
				t.Fatalf("set aside: %v, %v", asides, err)
			}
			// SQLite counts its openings in the head of a file that it takes for its own.
			kept, err := os.ReadFile(asides[0])
			if head := min(100, len(spoilt)); err != nil || len(kept) != len(spoilt) || string(kept[head:]) != string(spoilt[head:]) {
				t.Errorf("what was set aside is not what lay there (%d bytes of %d), %v", len(kept), len(spoilt), err)
			}
			if !strings.Contains(h.log.String(), "it was set aside, and a new one is begun") {
				t.Errorf("the log says nothing: %s", h.log)
			}
		})
	}
}

// TestAnEmptyFileIsANewHistory: a card that lost its power may leave a file of
// length zero.
func TestAnEmptyFileIsANewHistory(t *testing.T) {
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, FileName), nil, 0o640); err != nil {
		t.Fatal(err)
	}
	h := newHouse(t, folder)
	h.pass(12 * time.Minute)
	h.stop()
	h.sound()
	if n := minutesIn(t, folder); n != 12 {
		t.Errorf("%d minutes, want 12", n)
	}
}

func TestOnlySomeDamagedFilesAreKept(t *testing.T) {
	path := filepath.Join(t.TempDir(), FileName)
	for i := range mostAside + 4 {
		for _, name := range []string{path, path + "-wal", path + "-shm"} {
			if err := os.WriteFile(name, []byte(fmt.Sprint(i)), 0o640); err != nil {
				t.Fatal(err)
			}
		}
		old := noon.Add(time.Duration(i) * time.Hour)
		if err := os.Chtimes(path, old, old); err != nil {
			t.Fatal(err)
		}
		if _, err := setAside(path, noon); err != nil {
			t.Fatal(err)
		}
	}
	all, err := setAsides(path)
	if err != nil || len(all) != mostAside {
		t.Fatalf("%v, %v", all, err)
	}
	for i, name := range all {
		for _, ending := range []string{"", "-wal"} {
			if text, err := os.ReadFile(name + ending); err != nil || string(text) != fmt.Sprint(i+4) {
				t.Errorf("%s%s holds %q, %v", name, ending, text, err)
			}
		}
	}
	if left, err := filepath.Glob(path + "*"); err != nil || len(left) != 2*mostAside {
		t.Errorf("left: %v", left)
	}
}

// TestTheLogOfAPowerCutIsTakenUp: the program is gone without closing its file.
func TestTheLogOfAPowerCutIsTakenUp(t *testing.T) {
	h := newHouse(t, t.TempDir())
	h.pass(12 * time.Minute)
	h.write()
	cut := t.TempDir() // the card, as the power cut leaves it
	for _, ending := range []string{"", "-wal"} {
		data, err := os.ReadFile(h.h.path + ending)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(cut, FileName+ending), data, 0o640); err != nil {
			t.Fatal(err)
		}
	}
	h.stop()
	next := newHouse(t, cut)
	next.tick.Wall.Time = noon.Add(time.Hour)
	next.pass(12 * time.Minute)
	next.stop()
	next.sound()
	if n := minutesIn(t, cut); n != 11+13 {
		t.Errorf("%d minutes, want those of both runs", n)
	}
}

// TestProofTheLogIsTornAnywhere: the power goes at any byte of the log, and
// what was written last may be torn or stale.
func TestProofTheLogIsTornAnywhere(t *testing.T) {
	if testing.Short() {
		t.Skip("a long one")
	}
	h := newHouse(t, t.TempDir())
	for range 4 {
		h.pass(12 * time.Minute)
		h.write()
	}
	file, err := os.ReadFile(h.h.path)
	if err != nil {
		t.Fatal(err)
	}
	log, err := os.ReadFile(h.h.path + "-wal")
	if err != nil {
		t.Fatal(err)
	}
	h.stop()
	checks := 0
	rapid.Check(t, func(rt *rapid.T) {
		checks++
		folder, err := os.MkdirTemp(t.TempDir(), "")
		if err != nil {
			rt.Fatal(err)
		}
		torn := append([]byte(nil), log[:rapid.IntRange(0, len(log)).Draw(rt, "length")]...)
		if zeros := rapid.IntRange(0, 5000).Draw(rt, "zeros at its end"); zeros < len(torn) {
			clear(torn[len(torn)-zeros:])
		}
		if err := errors.Join(os.WriteFile(filepath.Join(folder, FileName), file, 0o640), os.WriteFile(filepath.Join(folder, FileName+"-wal"), torn, 0o640)); err != nil {
			rt.Fatal(err)
		}
		next := newHouse(t, folder)
		next.tick.Wall.Time = noon.Add(3 * time.Hour)
		next.pass(11 * time.Minute)
		next.stop()
		if why := next.h.Trouble(); why != "" {
			rt.Fatal(why)
		}
		n := minutesIn(t, folder)
		if aside, _ := setAsides(next.h.path); len(aside) > 0 || n < 11 || n > 11+47+1 {
			rt.Fatalf("%d minutes, set aside %v", n, aside)
		}
	})
	t.Logf("proof: history: logs torn by a power cut = %d logs", checks)
}

// TestAFullCardStopsTheHistoryAndSaysSo, and what waits is written once there is
// room again.
func TestAFullCardStopsTheHistoryAndSaysSo(t *testing.T) {
	h := newHouse(t, t.TempDir())
	h.pass(12 * time.Minute)
	h.write()
	limit := func(pages int) {
		if _, err := h.h.store.exec(fmt.Sprintf("PRAGMA max_page_count = %d", pages)); err != nil {
			t.Fatal(err)
		}
	}
	pages, err := h.h.store.number("PRAGMA page_count")
	if err != nil {
		t.Fatal(err)
	}
	limit(int(pages))
	h.pass(5 * time.Hour)
	h.write()
	if why := h.h.Trouble(); !strings.Contains(why, "the storage is full") || !strings.Contains(why, FileName) {
		t.Fatalf("trouble: %q", why)
	}
	if !strings.Contains(h.log.String(), "pump and heater are looked after all the same") {
		t.Errorf("log: %s", h.log)
	}
	h.pass(20 * time.Minute) // the file is opened anew, and there is room now
	h.write()
	h.sound()
	h.stop()
	if n := minutesIn(t, h.h.o.Folder); n != 12+300+20 {
		t.Errorf("%d minutes, want all", n)
	}
	if !strings.Contains(h.log.String(), "the history is written again") {
		t.Errorf("log: %s", h.log)
	}
}

// TestSomeRoomIsLeftToTheController on a card that fills up.
func TestSomeRoomIsLeftToTheController(t *testing.T) {
	h := newHouse(t, t.TempDir())
	free := uint64(leastFreeBytes - 1)
	h.h.o.free = func(string) (uint64, error) { return free, nil }
	h.pass(12 * time.Minute)
	h.write()
	if why := h.h.Trouble(); !strings.Contains(why, "only 31 MB are free") {
		t.Fatalf("trouble: %q", why)
	}
	if exists(h.h.path) {
		t.Error("the file was made")
	}
	free = leastFreeBytes
	h.write()
	h.sound()
	h.stop()
	if n := minutesIn(t, h.h.o.Folder); n != 12 {
		t.Errorf("%d minutes", n)
	}
}

// TestACardThatIsReadOnly is told of; the minutes wait for a day, then the oldest
// are lost, which is told too.
func TestACardThatIsReadOnly(t *testing.T) {
	h := written(t, 5*time.Minute).again(0)
	h.h.o.query = "mode=ro"
	h.pass((mostWaiting + 31) * time.Minute)
	h.write()
	if why := h.h.Trouble(); !strings.Contains(why, "read-only") || !strings.Contains(why, "lost so far: 30 min") {
		t.Fatalf("trouble: %q", why)
	}
	h.h.o.query = ""
	h.write()
	h.sound()
	h.stop()
	r := openFolder(t, h.h.o.Folder)
	if missed := eventsOf(t, r, Missed); len(missed) != 1 || missed[0].Values[0] != 30 || missed[0].whatText() != "30 minutes" {
		t.Errorf("missed: %+v", missed)
	}
}

// TestAStorageThatFails: the kernel refuses to write, as it does for a card that is
// dying; here because no file may grow.
func TestAStorageThatFails(t *testing.T) {
	h := newHouse(t, t.TempDir())
	h.pass(12 * time.Minute)
	h.write()
	h.sound()
	var before unix.Rlimit
	if err := unix.Getrlimit(unix.RLIMIT_FSIZE, &before); err != nil {
		t.Fatal(err)
	}
	signal.Ignore(unix.SIGXFSZ) // which would end the test
	defer signal.Reset(unix.SIGXFSZ)
	if err := unix.Setrlimit(unix.RLIMIT_FSIZE, &unix.Rlimit{Cur: 64 << 10, Max: before.Max}); err != nil {
		t.Fatal(err)
	}
	h.pass(5 * time.Hour)
	h.write()
	why := h.h.Trouble()
	h.pass(20 * time.Minute)
	if err := unix.Setrlimit(unix.RLIMIT_FSIZE, &before); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(why, "the storage fails: the card is full, worn or dying") {
		t.Errorf("trouble: %q", why)
	}
	h.write()
	h.sound()
	h.stop()
	if n := minutesIn(t, h.h.o.Folder); n != 12+300+20 {
		t.Errorf("%d minutes, want all", n)
	}
	if text, err := check(t, h.h.o.Folder, noon.AddDate(0, 0, 1)); err != nil {
		t.Error(err, text)
	}
}

// TestAFolderThatCantBeMade, such as below a file.
func TestAFolderThatCantBeMade(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o640); err != nil {
		t.Fatal(err)
	}
	h := newHouse(t, filepath.Join(file, "folder"))
	h.pass(12 * time.Minute)
	h.write()
	if h.h.Trouble() == "" {
		t.Error("no trouble is told")
	}
	if _, err := Open(h.h.o.Folder); err == nil {
		t.Error("it can be read")
	}
}

// TestFilesOfOthersAreLeftAlone: of a newer program, and of another one.
func TestFilesOfOthersAreLeftAlone(t *testing.T) {
	for statement, want := range map[string]string{
		fmt.Sprintf("PRAGMA user_version = %d", form+1):                "newer version of the program",
		"PRAGMA application_id = 7":                                    "another program",
		"PRAGMA application_id = 0; PRAGMA user_version = 0":           "another program",
		fmt.Sprintf("PRAGMA user_version = %d; SELECT 1", -form):       "another program",
		"PRAGMA application_id = 0; PRAGMA user_version = 3; SELECT 1": "another program",
	} {
		h := written(t, 5*time.Minute)
		db, err := sql.Open("sqlite", dsn(h.h.path, ""))
		if err != nil {
			t.Fatal(err)
		}
		if _, err := db.Exec(statement); err != nil {
			t.Fatal(err)
		}
		if err := db.Close(); err != nil {
			t.Fatal(err)
		}
		before, err := os.ReadFile(h.h.path)
		if err != nil {
			t.Fatal(err)
		}
		h = h.again(0)
		h.pass(12 * time.Minute)
		h.write()
		if why := h.h.Trouble(); !strings.Contains(why, want) {
			t.Errorf("%s: trouble %q", statement, why)
		}
		h.stop()
		if after, err := os.ReadFile(h.h.path); err != nil || string(after) != string(before) {
			t.Errorf("%s: the file was changed, %v", statement, err)
		}
		if _, err := Open(h.h.o.Folder); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: reading gives %v", statement, err)
		}
	}
}

// TestAWriteThatDoesNotComeBack is told, and neither watching nor asking waits
// for it.
func TestAWriteThatDoesNotComeBack(t *testing.T) {
	h := newHouse(t, t.TempDir())
	hang, came := make(chan struct{}), make(chan struct{})
	h.h.o.free = func(string) (uint64, error) {
		close(came)
		<-hang
		return leastFreeBytes, nil
	}
	h.pass(12 * time.Minute)
	written := make(chan struct{})
	go func() {
		defer close(written)
		h.write()
	}()
	<-came
	h.pass(patience)
	h.sound()
	h.pass(time.Minute)
	if why := h.h.Trouble(); !strings.Contains(why, "does not come back") {
		t.Errorf("trouble: %q", why)
	}
	close(hang)
	<-written
	h.h.o.free = freeBytes
	h.sound()
	h.stop()
	if n := minutesIn(t, h.h.o.Folder); n != 12+16 {
		t.Errorf("%d minutes", n)
	}
}

// TestTicksThatAreMissedAreCounted: a watcher that is slow gets the newest ones.
func TestTicksThatAreMissedAreCounted(t *testing.T) {
	h := newHouse(t, t.TempDir())
	h.pass(90 * time.Second)
	h.tick.Number += 40
	h.tick.At += 40 * time.Second
	h.tick.Wall.Time = h.tick.Wall.Time.Add(40 * time.Second)
	h.pass(2 * time.Minute)
	h.stop()
	r := openFolder(t, h.h.o.Folder)
	if missed := eventsOf(t, r, Missed); len(missed) != 1 || missed[0].Values[0] != 40 || missed[0].What.Key != "ticks" {
		t.Errorf("missed: %+v", missed)
	}
	seconds := map[int64]int64{}
	if err := r.rows(context.Background(), minuteTier, 0, 1<<60, func(r *row) error { seconds[r.start-noon.Unix()] = r.seconds; return nil }); err != nil {
		t.Fatal(err)
	}
	// The first tick behind the gap stands for 5 s at most.
	if seconds[0] != 60 || seconds[60] != 30 || seconds[120] != 54 {
		t.Errorf("seconds watched: %v", seconds)
	}
}

// TestReadingWhileItIsWritten: charts and events come whole at any time.
func TestReadingWhileItIsWritten(t *testing.T) {
	h := newHouse(t, t.TempDir())
	h.pass(12 * time.Minute)
	h.write()
	stop, stopped := make(chan struct{}), make(chan error, 2)
	for range 2 {
		go func() {
			for {
				select {
				case <-stop:
					stopped <- nil
					return
				default:
				}
				if err := readAll(h.h); err != nil {
					stopped <- err
					return
				}
			}
		}()
	}
	for range 60 {
		h.pass(10 * time.Minute)
		h.write()
	}
	close(stop)
	for range 2 {
		if err := <-stopped; err != nil {
			t.Error(err)
		}
	}
	h.sound()
	h.stop()
}

func readAll(h *History) error {
	r, err := h.Open()
	if err != nil {
		return err
	}
	c, err := r.Chart(context.Background(), Wanted{From: noon, To: noon.Add(24 * time.Hour), Points: mostPoints})
	if err == nil {
		for i := range c.Starts {
			if c.Starts[i] != noon.Unix()+60*int64(i) {
				err = fmt.Errorf("point %d is at %d s", i, c.Starts[i]-noon.Unix())
				break
			}
		}
	}
	if err == nil {
		err = r.Events(context.Background(), WantedEvents{From: noon, To: noon.Add(24 * time.Hour)}, func(*Event) error { return nil })
	}
	return errors.Join(err, r.Close())
}

// TestRunWritesUntilItsEnd is the goroutine as the daemon runs it.
func TestRunWritesUntilItsEnd(t *testing.T) {
	h := newHouse(t, t.TempDir())
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- h.h.Run(ctx) }()
	h.pass(25*time.Minute, func(*tick.Tick) {})
	cancel()
	if err := <-ended; err != nil {
		t.Fatal(err)
	}
	h.sound()
	if _, err := os.Stat(h.h.path + "-wal"); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("the log is left behind: %v", err)
	}
	if n := minutesIn(t, h.h.o.Folder); n != 25 {
		t.Errorf("%d minutes, want 25", n)
	}
}

func TestOpenWhereThereIsNone(t *testing.T) {
	if _, err := Open(t.TempDir()); !errors.Is(err, ErrNone) {
		t.Error(err)
	}
	if _, _, err := Shrink(context.Background(), t.TempDir(), Shrunk{}); !errors.Is(err, ErrNone) {
		t.Error(err)
	}
}
