package station

import (
	"os"
	"strconv"
	"strings"
	"testing"
)

// The form is that of proc(5), /proc/pid/smaps; the areas are invented.
const someAreas = `00400000-00a11000 r-xp 00000000 fe:00 1027 /opt/my house/sunstoker
Rss:                5572 kB
Anonymous:             0 kB
VmFlags: rd ex mr mw me
00a11000-010ed000 r--p 00611000 fe:00 1027 /opt/my house/sunstoker
Rss:                5552 kB
Anonymous:             4 kB
010ed000-011a4000 rw-p 00ced000 fe:00 1027 /opt/my house/sunstoker
Anonymous:             0 kB
011a4000-031ea000 r--p 00000000 00:00 0
Anonymous:             0 kB
031ea000-041ea000 r--p 00000000 fe:00 1027 /opt/my house/sunstoker
Rss:                   8 kB
05000000-06000000 r--p 00000000 fe:00 1028 /usr/lib/another
Anonymous:             0 kB
7f0000000000-7f0000001000 r--p 00000000 fe:00 1027 /opt/my house/sunstoker
Anonymous:             0 kB
`

// TestCleanAreas: only what is the program's file alone, for reading, and with no
// page that somebody has written to, as relocations and breakpoints do.
func TestCleanAreas(t *testing.T) {
	got, err := cleanAreas(strings.NewReader(someAreas), "/opt/my house/sunstoker")
	want := []area{{0x400000, 0xa11000}}
	if strconv.IntSize == 64 {
		high := uint64(0x7f0000000000)
		want = append(want, area{uintptr(high), uintptr(high + 0x1000)})
	}
	if err != nil || len(got) != len(want) || got[0] != want[0] || got[len(got)-1] != want[len(want)-1] {
		t.Errorf("%x, %v, want %x", got, err, want)
	}
}

// TestTheStartIsLetGo: this program takes less of its file afterwards, and goes on.
func TestTheStartIsLetGo(t *testing.T) {
	before := residentOfOwnFile(t)
	bytes, err := unmapUntouched()
	if err != nil || bytes == 0 {
		t.Fatalf("%d bytes, %v", bytes, err)
	}
	if after := residentOfOwnFile(t); after > before*3/4 {
		t.Errorf("of its file %d kB are in memory, before %d kB", after, before)
	}
}

// residentOfOwnFile is in kB.
func residentOfOwnFile(t *testing.T) (kB int) {
	t.Helper()
	own, err := os.Readlink("/proc/self/exe")
	if err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile("/proc/self/smaps")
	if err != nil {
		t.Fatal(err)
	}
	ours := false
	for line := range strings.Lines(string(text)) {
		words := strings.Fields(line)
		switch {
		case strings.Contains(words[0], "-"):
			ours = strings.HasSuffix(strings.TrimSpace(line), " "+own)
		case ours && words[0] == "Rss:":
			n, err := strconv.Atoi(words[1])
			if err != nil {
				t.Fatal(err)
			}
			kB += n
		}
	}
	return kB
}
