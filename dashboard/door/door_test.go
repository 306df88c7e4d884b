package door

import (
	"bytes"
	"fmt"
	"net/http"
	"os"
	"strings"
	"testing"
	"time"
)

func TestWhoeverAsksOnLoopbackMaySeeAndNoMore(t *testing.T) {
	h := newHouse(t, "", nil)
	if w := h.at(within, whoAsks, request("GET", "localhost", itself)); w.Body.String() != "somebody at the board may see, sent 0, <nil>" {
		t.Errorf("%d %q", w.Code, w.Body)
	}
	w := h.at(within, Needs(Use, plainly, whoAsks), request("PUT", "localhost", itself))
	if w.Code != http.StatusForbidden || w.Header().Get("WWW-Authenticate") != "" {
		t.Errorf("writing without rights: %d %q", w.Code, w.Body)
	}
	// A web server in between may send its own users' names along.
	if w := h.at(within, whoAsks, as(request("GET", "localhost", itself), "anna", annasPassword)); !strings.HasPrefix(w.Body.String(), "somebody at the board may see") {
		t.Errorf("with a password that nobody knows here: %d %q", w.Code, w.Body)
	}
}

func TestTheSiteFileMayOpenMoreOnLoopback(t *testing.T) {
	h := newHouse(t, "", func(o *Options) { o.Local = Use })
	if w := h.at(within, Needs(Use, plainly, whoAsks), request("PUT", "127.0.0.1:8017", itself)); w.Code != 200 {
		t.Errorf("%d %q", w.Code, w.Body)
	}
	if w := h.at(within, Needs(Install, plainly, whoAsks), request("PUT", "127.0.0.1:8017", itself)); w.Code != 403 {
		t.Errorf("%d %q", w.Code, w.Body)
	}
}

func TestWhoHasANameHasItsRoleOnLoopbackToo(t *testing.T) {
	h := newHouse(t, users("anna"), nil)
	needs := Needs(Install, plainly, whoAsks)
	w := h.at(within, needs, request("PUT", "localhost", itself))
	if w.Code != http.StatusUnauthorized || w.Header().Get("WWW-Authenticate") != challenge {
		t.Errorf("without a name: %d %q; the browser is not asked for one", w.Code, w.Body)
	}
	if w := h.at(within, needs, as(request("PUT", "localhost", itself), "anna", annasPassword)); !strings.HasPrefix(w.Body.String(), "anna may install") {
		t.Errorf("with a name: %d %q", w.Code, w.Body)
	}
	if w := h.at(within, whoAsks, as(request("GET", "localhost", itself), "anna", "not her password")); w.Code != 401 {
		t.Errorf("with a wrong password: %d %q", w.Code, w.Body)
	}
}

func TestNobodyComesInFromTheNetworkWithoutAPassword(t *testing.T) {
	h := newHouse(t, users("anna", "family", "guest"), nil)
	for name, c := range map[string]struct {
		name, password string
		code           int
		words          string
	}{
		"no name":        {"", "", 401, "Who are you"},
		"wrong password": {"anna", familyPassword, 401, "don't belong together"},
		"nobody's name":  {"mallory", annasPassword, 401, "don't belong together"},
		"no password":    {"anna", "", 401, "don't belong together"},
		"who installs":   {"anna", annasPassword, 200, "anna may install"},
		"who uses":       {"family", familyPassword, 200, "family may use"},
		"who is unnamed": {"guest", guestsPassword, 200, "guest may see"},
	} {
		h.clock = h.clock.Add(time.Hour)
		r := request("GET", "192.0.2.1:8443", caller)
		if c.name != "" {
			r.SetBasicAuth(c.name, c.password)
		}
		w := h.at(outside, whoAsks, r)
		if w.Code != c.code || !strings.Contains(w.Body.String(), c.words) {
			t.Errorf("%s: %d %q", name, w.Code, w.Body)
		}
		if asked := w.Header().Get("WWW-Authenticate") == challenge; asked != (c.code == 401) {
			t.Errorf("%s: is asked for a name: %v", name, asked)
		}
	}
	r := request("GET", "192.0.2.1", caller)
	r.Header.Set("Authorization", "Bearer something")
	if w := h.at(outside, whoAsks, r); w.Code != 401 {
		t.Errorf("another kind of credentials: %d", w.Code)
	}
}

func TestWrongPasswordsAreBoundedByAddress(t *testing.T) {
	h := newHouse(t, users("anna"), nil)
	wrong := func(from string) int {
		return h.at(outside, whoAsks, as(request("GET", "192.0.2.1", from), "anna", "wrong wrong wrong")).Code
	}
	right := func(from string) int {
		return h.at(outside, whoAsks, as(request("GET", "192.0.2.1", from), "anna", annasPassword)).Code
	}
	for i := range triesByAddress.atOnce {
		if code := wrong(caller); code != 401 {
			t.Fatalf("try %d: %d", i+1, code)
		}
	}
	w := h.at(outside, whoAsks, as(request("GET", "192.0.2.1", caller), "anna", "wrong wrong wrong"))
	if w.Code != 429 || w.Header().Get("Retry-After") != "301" {
		t.Errorf("one try more: %d, after %q", w.Code, w.Header().Get("Retry-After"))
	}
	if code := right(caller); code != 429 {
		t.Errorf("the right password among many wrong ones: %d; whoever guesses would learn of it", code)
	}
	if code := right("192.0.2.78:1"); code != 200 {
		t.Errorf("another address has to wait too: %d", code)
	}
	h.clock = h.clock.Add(triesByAddress.every)
	if code := right(caller); code != 200 {
		t.Errorf("after the wait: %d", code)
	}
	for range 50 {
		if code := right(caller); code != 200 {
			t.Fatalf("a right password uses up tries: %d", code)
		}
	}
}

func TestWrongPasswordsAreBoundedInAll(t *testing.T) {
	h := newHouse(t, users("anna"), nil)
	if w := h.at(outside, whoAsks, as(request("GET", "192.0.2.1", "198.51.100.9:1"), "anna", annasPassword)); w.Code != 200 {
		t.Fatal(w.Code)
	}
	codes := map[int]int{}
	for i := range 60 {
		from := fmt.Sprintf("203.0.113.%d:1", i)
		codes[h.at(outside, whoAsks, as(request("GET", "192.0.2.1", from), "anna", "wrong wrong wrong")).Code]++
	}
	if codes[401] != triesInAll.atOnce || codes[429] != 60-triesInAll.atOnce {
		t.Errorf("%v of 60 addresses with a wrong password each, want %d computed", codes, triesInAll.atOnce)
	}
	// Who was right before is not locked out by it.
	if w := h.at(outside, whoAsks, as(request("GET", "192.0.2.1", "198.51.100.9:2"), "anna", annasPassword)); w.Code != 200 {
		t.Errorf("whoever has come in before: %d", w.Code)
	}
	if w := h.at(outside, whoAsks, as(request("GET", "192.0.2.1", "198.51.100.10:2"), "anna", annasPassword)); w.Code != 429 {
		t.Errorf("the right password from elsewhere: %d; many addresses could guess what is remembered", w.Code)
	}
}

func TestTheLogTellsOfWrongPasswordsWithoutThem(t *testing.T) {
	h := newHouse(t, users("anna"), nil)
	h.at(outside, whoAsks, as(request("GET", "192.0.2.1", caller), "hunter secret as a name", "hunter secret"))
	for range 3 {
		h.at(outside, whoAsks, as(request("GET", "192.0.2.1", caller), "anna", "hunter secret"))
	}
	h.clock = h.clock.Add(triesByAddress.every)
	h.at(outside, whoAsks, as(request("GET", "192.0.2.1", caller), "anna", "hunter secret"))
	h.at(outside, whoAsks, as(request("GET", "192.0.2.1", caller), "anna", annasPassword))
	said := h.said.String()
	if strings.Count(said, "wrong passwords were tried") != 2 || !strings.Contains(said, "tries=4") || !strings.Contains(said, "192.0.2.77/32") {
		t.Errorf("said:\n%s", said)
	}
	for _, secret := range []string{"hunter", annasPassword, hashes()["anna"], "kettle"} {
		if strings.Contains(said, secret) {
			t.Errorf("the log holds %q", secret)
		}
	}
}

func TestAListenerOnTheNetworkNeedsEncryptionAndUsers(t *testing.T) {
	h := newHouse(t, users("anna"), nil)
	if _, err := h.EntranceOn(newStreet(outside)); err == nil || !strings.Contains(err.Error(), "no certificate") {
		t.Errorf("without a certificate: %v", err)
	}
	h = newHouse(t, "", nil)
	h.encrypted(t, "")
	if _, err := h.EntranceOn(newStreet(outside)); err == nil || !strings.Contains(err.Error(), "no users") {
		t.Errorf("without users: %v", err)
	}
	h = newHouse(t, "basic_auth_users: [", nil)
	if _, err := h.EntranceOn(newStreet(outside)); err == nil || !strings.Contains(err.Error(), "can't be read") {
		t.Errorf("without sense: %v", err)
	}
	if w := h.at(within, whoAsks, request("GET", "localhost", itself)); w.Code != 200 {
		t.Errorf("a web configuration without sense shuts loopback too: %d", w.Code)
	}
	if w := h.at(within, whoAsks, as(request("GET", "localhost", itself), "anna", annasPassword)); w.Code != 503 {
		t.Errorf("a name while no passwords are known: %d", w.Code)
	}
	h = newHouse(t, "", nil)
	h.encrypted(t, users("anna"))
	if _, err := h.EntranceOn(newStreet(outside)); err != nil || !strings.Contains(h.said.String(), "name=family") {
		t.Errorf("with both: %v; said %q, which should tell who has no password", err, h.said)
	}
}

func TestListenTellsWhatToDo(t *testing.T) {
	h := newHouse(t, "", nil)
	for _, wrong := range []string{"8017", "127.0.0.1", ":8017", ""} {
		if e, err := h.Listen(wrong); err == nil {
			e.Close()
			t.Errorf("%q: listens", wrong)
		} else if !strings.Contains(err.Error(), "write for example 127.0.0.1:8017") {
			t.Errorf("%q: %v", wrong, err)
		}
	}
	e, err := h.Listen("127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer e.Close()
	if e.network || !strings.HasPrefix(e.URL(), "http://127.0.0.1:") {
		t.Errorf("%+v %s", e, e.URL())
	}
	if _, err := h.Listen(e.Addr().String()); err == nil || !strings.Contains(err.Error(), "another program") {
		t.Errorf("an address that is taken: %v", err)
	}
}

func TestTheBoardsOwnEntranceIsOnLoopbackAlone(t *testing.T) {
	h := newHouse(t, "", nil)
	for _, address := range []string{"0.0.0.0:0", "[::]:0", "192.0.2.1:0", "example.com:0", "8017", "127.0.0.1", ":0"} {
		if e, err := h.ListenOnBoard(address); err == nil {
			e.Close()
			t.Errorf("%q: listens", address)
		} else if !strings.Contains(err.Error(), "127.0.0.1:8017") {
			t.Errorf("%q: the error does not say what to write: %v", address, err)
		}
	}
	for _, address := range []string{"127.0.0.1:0", "localhost:0"} {
		e, err := h.ListenOnBoard(address)
		if err != nil {
			t.Errorf("%q: %v", address, err)
			continue
		}
		e.Close()
	}
}

func TestTheWebConfigurationIsReadAnewWithoutARestart(t *testing.T) {
	h := newHouse(t, users("anna"), nil)
	code := func(name, password string) int {
		h.clock = h.clock.Add(time.Hour)
		return h.at(outside, whoAsks, as(request("GET", "192.0.2.1", caller), name, password)).Code
	}
	if code("anna", annasPassword) != 200 || code("family", familyPassword) != 401 {
		t.Fatal("at the start")
	}
	h.write(t, users("anna", "family"))
	if code("family", familyPassword) != 200 {
		t.Error("a new user is not let in")
	}
	h.write(t, users("anna", "family")+"nonsense: true\n")
	if code("family", familyPassword) != 200 || code("anna", annasPassword) != 200 {
		t.Error("a file without sense shuts everybody out")
	}
	code("anna", annasPassword)
	if strings.Count(h.said.String(), "can't be read anew") != 1 {
		t.Errorf("said:\n%s", h.said)
	}
	h.write(t, "# nobody\n")
	if code("anna", annasPassword) != 200 || !strings.Contains(h.said.String(), "no users any more") {
		t.Errorf("a file without users: said\n%s", h.said)
	}
	h.write(t, users("anna"))
	if code("family", familyPassword) != 401 || code("anna", annasPassword) != 200 {
		t.Error("a user who was taken away, and was let in before, is let in still")
	}
	if err := os.Chmod(h.file, 0o644); err != nil {
		t.Fatal(err)
	}
	if code("anna", annasPassword); !strings.Contains(h.said.String(), "chmod 0640") {
		t.Errorf("a file that others can read by now: said\n%s", h.said)
	}
}

func TestARememberedPasswordIsComputedOnce(t *testing.T) {
	h := newHouse(t, users("anna"), nil)
	n, err := h.keeper.known()
	if err != nil {
		t.Fatal(err)
	}
	if err := h.keeper.check(n, "anna", annasPassword, neighbour(caller)); err != nil {
		t.Fatal(err)
	}
	h.keeper.compare = func(_, _ []byte) error { t.Error("computed again"); return nil }
	if err := h.keeper.check(n, "anna", annasPassword, neighbour(caller)); err != nil {
		t.Error(err)
	}
	for d := range n.right {
		if bytes.Contains(d[:], []byte("kettle")) {
			t.Error("a password is kept in clear")
		}
	}
	for i := range 3 * mostRemembered {
		n.remember(n.digest("anna", strings.Repeat("x", i), neighbour(caller)))
	}
	if len(n.right) > mostRemembered {
		t.Errorf("%d are remembered", len(n.right))
	}
}

func TestDigestsTellNamesAndPasswordsApart(t *testing.T) {
	n, m := &known{}, &known{}
	m.key[0] = 1
	seen := map[[32]byte]bool{}
	here, there := neighbour(caller), neighbour("192.0.2.78:1")
	for _, d := range [][32]byte{n.digest("ab", "c", here), n.digest("a", "bc", here), n.digest("abc", "", here), m.digest("ab", "c", here), n.digest("ab", "c", there)} {
		if seen[d] {
			t.Error("two digests are the same")
		}
		seen[d] = true
	}
}
