package door

import (
	"bufio"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// FuzzRequests: whatever is sent from the network, nothing is served to who has
// not shown who he is, and nothing falls over.
func FuzzRequests(f *testing.F) {
	f.Add("GET / HTTP/1.1\r\nHost: 192.0.2.1\r\n\r\n")
	f.Add("GET / HTTP/1.1\r\nHost: 192.0.2.1\r\nAuthorization: Basic YW5uYTo=\r\n\r\n")
	f.Add("PUT /api/holiday HTTP/1.1\r\nHost: localhost\r\nAuthorization: basic\r\nContent-Length: 2\r\n\r\n{}")
	f.Add("POST /set-up HTTP/1.1\r\nHost: boiler.example\r\nOrigin: null\r\nTransfer-Encoding: chunked\r\n\r\n1\r\nx\r\n0\r\n\r\n")
	f.Add("GET / HTTP/1.1\r\nHost: localhost\r\nAuthorization: Basic \xff\r\nAuthorization: Basic YW5uYTp4\r\nX-Forwarded-For: 127.0.0.1\r\n\r\n")
	h := &house{Door: New(Options{WebFile: "/nowhere/web.yml", HostNames: []string{"boiler.example"}, Refuse: plainly})}
	h.keeper.take(&web{users: map[string][]byte{"anna": []byte(nobodysHash)}})
	h.keeper.looked = h.o.Now().AddDate(100, 0, 0) // there is no file to be looked at
	h.keeper.compare = func(_, _ []byte) error { return errWrong }
	f.Fuzz(func(t *testing.T, sent string) {
		r, err := http.ReadRequest(bufio.NewReader(strings.NewReader(sent)))
		if err != nil {
			return
		}
		r.RemoteAddr = caller
		served := http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
			t.Errorf("%q is served to %+v", sent, PersonOf(r))
		})
		e := &Entrance{door: h.Door, network: true, hosts: hosts{network: true, names: h.o.HostNames}}
		w := httptest.NewRecorder()
		e.handler(served).ServeHTTP(w, r)
		if w.Code < 400 || w.Code == http.StatusInternalServerError || w.Header().Get("Content-Security-Policy") == "" {
			t.Errorf("%q: %d", sent, w.Code)
		}
	})
}
