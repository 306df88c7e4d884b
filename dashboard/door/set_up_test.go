package door

import (
	"io"
	"net/http"
	"net/url"
	"os"
	"regexp"
	"strings"
	"testing"

	"golang.org/x/crypto/bcrypt"
)

// codeIn finds the set-up code in what was said.
func codeIn(t *testing.T, h *house) string {
	t.Helper()
	found := regexp.MustCompile(`code=([0-9A-Z]{5}(?:-[0-9A-Z]{5}){3}) `).FindAllStringSubmatch(h.said.String(), -1)
	if len(found) != 1 {
		t.Fatalf("%d codes were said:\n%s", len(found), h.said)
	}
	return found[0][1]
}

// fillIn sends the form of the set-up page.
func fillIn(t *testing.T, c *http.Client, name, code, password, again string, change func(*http.Request)) (*http.Response, string) {
	t.Helper()
	form := url.Values{"name": {name}, "code": {code}, "password": {password}, "again": {again}}.Encode()
	return ask(t, c, "POST", "https://localhost/set-up", "", "", func(r *http.Request) {
		r.Body, r.ContentLength = io.NopCloser(strings.NewReader(form)), int64(len(form))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("Origin", "https://localhost")
		if change != nil {
			change(r)
		}
	})
}

func TestTheFirstPersonComesWithTheCode(t *testing.T) {
	h := newHouse(t, "", nil)
	h.keeper.compare = bcrypt.CompareHashAndPassword
	s := h.open(t, outside, whoAsks)
	c := h.browser(t, s, caller)
	code := codeIn(t, h)

	for _, path := range []string{"/api/now", "/metrics", "/healthz", "/page.js"} {
		if answer, body := ask(t, c, "GET", "https://localhost"+path, "", "", nil); answer.StatusCode != 503 || strings.Contains(body, "may") {
			t.Errorf("%s before anybody has a password: %d %q", path, answer.StatusCode, body)
		}
	}
	if answer, _ := ask(t, c, "GET", "https://localhost/", "", "", nil); answer.StatusCode != 303 || answer.Header.Get("Location") != "/set-up" {
		t.Errorf("the page leads to %d %q", answer.StatusCode, answer.Header.Get("Location"))
	}
	answer, page := ask(t, c, "GET", "https://localhost/set-up", "", "", nil)
	if answer.StatusCode != 200 || !strings.Contains(page, "House on the hill") || strings.Contains(page, code) || strings.Contains(page, "{") {
		t.Errorf("the set-up page: %d\n%s", answer.StatusCode, page)
	}
	if policy := answer.Header.Get("Content-Security-Policy"); !strings.Contains(policy, "form-action 'self'") || strings.Contains(policy, "script") || strings.Contains(policy, "unsafe") {
		t.Errorf("its policy: %q", policy)
	}
	if answer, _ := ask(t, c, "GET", "https://localhost/set-up.css", "", "", nil); !strings.HasPrefix(answer.Header.Get("Content-Type"), "text/css") {
		t.Errorf("its style: %v", answer.Header)
	}

	for what, try := range map[string]struct {
		name, code, password, again string
		status                      int
		words                       string
	}{
		"a wrong code":      {"anna", "AAAAA-AAAAA-AAAAA-AAAAA", annasPassword, annasPassword, 403, "not the set-up code"},
		"no code":           {"anna", "", annasPassword, annasPassword, 403, "not the set-up code"},
		"a stranger":        {"mallory", code, annasPassword, annasPassword, 422, "Use one of: anna."},
		"who only uses":     {"family", code, annasPassword, annasPassword, 422, "Use one of: anna."},
		"two passwords":     {"anna", code, annasPassword, annasPassword + "s", 422, "differ"},
		"a short password":  {"anna", code, "short", "short", 422, "less than 12 letters"},
		"a dull password":   {"anna", code, "aaaaaaaaaaaaaaa", "aaaaaaaaaaaaaaa", 422, "different letters"},
		"an endless one":    {"anna", code, strings.Repeat("kettle ", 20), strings.Repeat("kettle ", 20), 422, "more than 72 bytes"},
		"one with the name": {"anna", code, "Anna is my name, yes", "Anna is my name, yes", 422, "holds the name"},
	} {
		h.clock = h.clock.Add(triesByAddress.every)
		answer, body := fillIn(t, c, try.name, try.code, try.password, try.again, nil)
		if answer.StatusCode != try.status || !strings.Contains(body, try.words) || !strings.Contains(body, "<form") {
			t.Errorf("%s: %d\n%s", what, answer.StatusCode, body)
		}
	}
	answer, _ = fillIn(t, c, "anna", code, annasPassword, annasPassword, func(r *http.Request) { r.Header.Set("Origin", "https://foreign.example") })
	if answer.StatusCode != 403 {
		t.Errorf("from a foreign page: %d", answer.StatusCode)
	}
	if _, err := os.Stat(h.file); err == nil {
		t.Fatal("a refused form has set a password")
	}

	typed := " " + strings.ToLower(strings.ReplaceAll(code, "-", " "))
	if answer, body := fillIn(t, c, "anna", typed, annasPassword, annasPassword, nil); answer.StatusCode != 303 || answer.Header.Get("Location") != "/" {
		t.Fatalf("the right code: %d\n%s", answer.StatusCode, body)
	}
	if answer, _ := ask(t, c, "GET", "https://localhost/", "", "", nil); answer.StatusCode != 401 {
		t.Errorf("afterwards, without a password: %d", answer.StatusCode)
	}
	if _, body := ask(t, c, "GET", "https://localhost/", "anna", annasPassword, nil); !strings.HasPrefix(body, "anna may install") {
		t.Errorf("afterwards, with the password: %q", body)
	}
	if answer, _ := fillIn(t, c, "anna", code, familyPassword, familyPassword, nil); answer.StatusCode != 401 {
		t.Errorf("the code a second time: %d", answer.StatusCode)
	}
	codeIn(t, h) // still said once alone
	if said := h.said.String(); strings.Contains(said, annasPassword) || strings.Contains(said, "$2a$") {
		t.Errorf("the log holds a secret:\n%s", said)
	}
	info, err := os.Stat(h.file)
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the web configuration: %v %v", info.Mode(), err)
	}
}

func TestTheSetUpGoesOnAfterARestart(t *testing.T) {
	h := newHouse(t, "", nil)
	if _, err := h.EntranceOn(newStreet(outside)); err != nil {
		t.Fatal(err)
	}
	first := codeIn(t, h)
	h.said.Reset()
	again := New(h.o)
	if _, err := again.EntranceOn(newStreet(outside)); err != nil {
		t.Fatal(err)
	}
	if second := codeIn(t, h); second == first {
		t.Error("two starts have the same code")
	}
	if again.setup.certificate == nil || Fingerprint(again.setup.certificate.Certificate[0]) != Fingerprint(h.setup.certificate.Certificate[0]) {
		t.Error("the certificate is another one after a restart")
	}
	if _, err := again.EntranceOn(newStreet(outside)); err != nil {
		t.Fatal(err)
	}
	codeIn(t, h) // a second entrance shows no second code
}

func TestTriesOfTheCodeAreBounded(t *testing.T) {
	h := newHouse(t, "", nil)
	s := h.open(t, outside, whoAsks)
	c := h.browser(t, s, caller)
	for range triesByAddress.atOnce {
		if answer, _ := fillIn(t, c, "anna", "wrong", annasPassword, annasPassword, nil); answer.StatusCode != 403 {
			t.Fatal(answer.StatusCode)
		}
	}
	if answer, _ := fillIn(t, c, "anna", codeIn(t, h), annasPassword, annasPassword, nil); answer.StatusCode != 429 {
		t.Errorf("the right code after too many wrong ones: %d", answer.StatusCode)
	}
}

func TestTheCodeEndsAfterADay(t *testing.T) {
	h := newHouse(t, "", nil)
	s := h.open(t, outside, whoAsks)
	h.clock = h.clock.Add(codeLasts)
	answer, body := fillIn(t, h.browser(t, s, caller), "anna", codeIn(t, h), annasPassword, annasPassword, nil)
	if answer.StatusCode != 403 || !strings.Contains(body, "older than a day") {
		t.Errorf("%d\n%s", answer.StatusCode, body)
	}
}

func TestAWebConfigurationPutInByHandEndsTheSetUp(t *testing.T) {
	h := newHouse(t, "", nil)
	s := h.open(t, outside, whoAsks)
	c := h.browser(t, s, caller)
	code := codeIn(t, h)
	h.encrypted(t, users("family"))
	h.clock = h.clock.Add(lookAgain)
	if answer, _ := ask(t, c, "GET", "https://localhost/set-up", "", "", nil); answer.StatusCode != 401 {
		t.Errorf("the set-up page is served still: %d", answer.StatusCode)
	}
	if answer, _ := fillIn(t, c, "anna", code, annasPassword, annasPassword, nil); answer.StatusCode != 401 {
		t.Errorf("the code counts still: %d", answer.StatusCode)
	}
}

func TestTheSetUpNeedsSomebodyWhoMayInstallAndAFolder(t *testing.T) {
	h := newHouse(t, "", func(o *Options) { o.Roles = map[string]Role{"family": Use} })
	if _, err := h.EntranceOn(newStreet(outside)); err == nil || !strings.Contains(err.Error(), `install = "anna"`) {
		t.Errorf("nobody may install: %v", err)
	}
	h = newHouse(t, "", func(o *Options) { o.WebFile += "/no/such/folder/web.yml" })
	if _, err := h.EntranceOn(newStreet(outside)); err == nil || !strings.Contains(err.Error(), "can't be kept") {
		t.Errorf("no folder: %v", err)
	}
}

func TestCodesAreLongAndReadable(t *testing.T) {
	seen, letters := map[string]bool{}, map[rune]bool{}
	for range 500 {
		code := newCode()
		if len(code) != 23 || seen[code] {
			t.Fatalf("code %q", code)
		}
		seen[code] = true
		for _, r := range bareCode(code) {
			letters[r] = true
		}
	}
	if len(letters) != 32 {
		t.Errorf("codes use %d letters", len(letters))
	}
	if got := bareCode("oil0-l abc"); got != "0110"+"1ABC" {
		t.Errorf("mistaken letters: %q", got)
	}
}
