package door

import (
	"maps"
	"testing"
	"testing/synctest"
)

// TestRefusalsAreCounted: each by its kind, and nothing else.
func TestRefusalsAreCounted(t *testing.T) {
	h := newHouse(t, users("anna", "guest"), nil)
	ask := func(method, host, header, value, password string) {
		r := as(request(method, host, caller), "anna", password)
		r.Header.Set(header, value)
		h.at(outside, whoAsks, r)
	}
	want := map[string]uint64{"wrong_host": 1, "foreign_page": 1, "bad_body": 1, "wrong_password": uint64(triesByAddress.atOnce), "too_many_tries": 2, "no_place": 0, "not_allowed": 1}
	ask("GET", "192.0.2.1", "Accept", "*/*", annasPassword)
	ask("GET", "foreign.example", "Accept", "*/*", annasPassword)
	ask("PUT", "192.0.2.1", "Origin", "https://foreign.example", annasPassword)
	h.at(outside, Needs(See, h.o.Refuse, whoAsks), as(request("GET", "192.0.2.1", caller), "anna", annasPassword))
	h.at(outside, Needs(Use, h.o.Refuse, whoAsks), as(request("PUT", "192.0.2.1", caller), "guest", guestsPassword))
	body := as(request("DELETE", "192.0.2.1", caller), "anna", annasPassword)
	body.ContentLength = 1
	h.at(outside, whoAsks, body)
	for range triesByAddress.atOnce + 2 {
		ask("GET", "192.0.2.1", "Accept", "*/*", "wrong wrong wrong")
	}
	if got := maps.Collect(h.o.Refused.All()); !maps.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}

func TestConnectionsWithoutAPlaceAreCounted(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStreet(outside)
		defer s.Close()
		refused := new(Refused)
		c := newCrowd(s, 1, 99, refused)
		go func() {
			for {
				if _, err := c.Accept(); err != nil {
					return
				}
			}
		}()
		for range 3 {
			s.dial("192.0.2.1:1")
		}
		synctest.Wait()
		if got := maps.Collect(refused.All())["no_place"]; got != 2 {
			t.Errorf("%d of 2", got)
		}
	})
}
