package dashboard

import (
	"encoding/json"
	"net/http"
	"strings"
)

// Problem is what the JSON interface answers when it does not do what was asked,
// as RFC 9457 describes it. Its detail says what is wrong and what to do.
type Problem struct {
	Type   string `json:"type"`  // "about:blank": the status says all that a program need know
	Title  string `json:"title"` // of the status
	Status int    `json:"status"`
	Detail string `json:"detail"`
}

// Refuse answers with a problem: as JSON to programs, as plain text to people
// who have asked for anything else.
func Refuse(w http.ResponseWriter, r *http.Request, status int, words string) {
	if !strings.HasPrefix(r.URL.Path, apiPrefix) {
		http.Error(w, words, status)
		return
	}
	body, err := json.Marshal(Problem{Type: "about:blank", Title: http.StatusText(status), Status: status, Detail: words})
	if err != nil { // texts can be written
		panic("dashboard: " + err.Error())
	}
	h := w.Header()
	h.Set("Content-Type", "application/problem+json")
	h.Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	w.Write(append(body, '\n'))
}

// answer writes what was asked for.
func answer(w http.ResponseWriter, r *http.Request, what any) {
	body, err := json.Marshal(what)
	if err != nil {
		Refuse(w, r, http.StatusInternalServerError, "The answer can't be written as JSON: "+err.Error())
		return
	}
	writeJSON(w, body)
}

func writeJSON(w http.ResponseWriter, body []byte) {
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-store")
	w.Write(append(body, '\n'))
}
