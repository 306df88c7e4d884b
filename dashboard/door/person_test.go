package door

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// plainly refuses in plain text.
func plainly(w http.ResponseWriter, _ *http.Request, status int, words string) {
	http.Error(w, words, status)
}

func TestRolesAreOrdered(t *testing.T) {
	roles := []Role{Nobody, See, Use, Install}
	for i, has := range roles {
		for j, need := range roles {
			if got := has.May(need); got != (i >= j) {
				t.Errorf("%v may do what takes %v: %v", has, need, got)
			}
		}
	}
	if beyond := Install + 1; Install.May(beyond) || beyond.May(beyond) {
		t.Error("a role that is none is granted")
	}
}

func TestNeedsLetsOnlyThosePassWhoMay(t *testing.T) {
	for _, has := range []Role{Nobody, See, Use, Install} {
		for _, need := range []Role{See, Use, Install} {
			served := false
			h := Needs(need, plainly, http.HandlerFunc(func(http.ResponseWriter, *http.Request) { served = true }))
			w := httptest.NewRecorder()
			h.ServeHTTP(w, As(httptest.NewRequest("GET", "/", nil), Person{Name: "anna", Role: has}))
			if served != (has >= need) {
				t.Errorf("%v at a way in for %v: served %v", has, need, served)
			}
			if !served && (w.Code != http.StatusForbidden || !strings.Contains(w.Body.String(), "anna may "+has.String())) {
				t.Errorf("%v at a way in for %v: %d %q", has, need, w.Code, w.Body)
			}
		}
	}
}

func TestARequestThroughNoDoorIsNobodys(t *testing.T) {
	r := httptest.NewRequest("GET", "/", nil)
	if p := PersonOf(r); p != (Person{}) {
		t.Errorf("%+v", p)
	}
	w := httptest.NewRecorder()
	Needs(See, plainly, http.NotFoundHandler()).ServeHTTP(w, r)
	if w.Code != http.StatusForbidden {
		t.Errorf("%d", w.Code)
	}
}
