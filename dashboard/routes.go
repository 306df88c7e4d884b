package dashboard

import (
	_ "embed"
	"net/http"
	"strings"

	"sunstoker/dashboard/door"
)

const apiPrefix = "/api/"

// openAPI describes the JSON interface; the tests hold every answer against it.
//
//go:embed openapi.json
var openAPI string

// route is one way in: a method and a path, who may take it, and who answers.
type route struct {
	method, path string
	role         door.Role
	serve        http.HandlerFunc
}

// apiRoutes is the table of the JSON interface.
func (d *Dashboard) apiRoutes() []route {
	return []route{
		{"GET", "/api/now", door.See, d.serveNow},
		{"GET", "/api/events", door.See, d.serveEvents},
		{"GET", "/api/openapi.json", door.See, serveOpenAPI},
		{"GET", "/api/settings", door.See, d.serveSettings},
		{"GET", "/api/changes", door.See, d.serveChanges},
		{"GET", "/api/site-file", door.Install, d.serveSiteFile},

		{"GET", "/api/history", door.See, d.serveHistory},
		{"GET", "/api/history/chart", door.See, d.fromPast(readChart)},
		{"GET", "/api/history/energy", door.See, d.fromPast(readEnergy)},
		{"GET", "/api/history/events", door.See, d.fromPast(readEvents)},
		{"GET", "/api/history/findings", door.See, d.fromPast(readSpells)},
		{"GET", "/api/history/moment", door.See, d.fromPast(readMoment)},

		{"PUT", "/api/holiday", door.Use, d.putHoliday},
		{"DELETE", "/api/holiday", door.Use, d.endHoliday},
		{"PUT", "/api/systems/{system}/boost", door.Use, d.putBoost},
		{"DELETE", "/api/systems/{system}/boost", door.Use, d.endBoost},

		{"PUT", "/api/systems/{system}/outputs/{actuator}/override", door.Install, d.putOverride},
		{"DELETE", "/api/systems/{system}/outputs/{actuator}/override", door.Install, d.endOverride},
		{"PUT", "/api/servicing", door.Install, d.putServicing},
		{"PATCH", "/api/settings", door.Install, d.patchSettings},
		{"PATCH", "/api/systems/{system}/settings", door.Install, d.patchSettings},
		{"DELETE", "/api/changes/{number}", door.Install, d.undoChange},
	}
}

// routes are all ways in.
func (d *Dashboard) routes(p page, metrics bool) http.Handler {
	api, rest := http.NewServeMux(), http.NewServeMux()
	for _, r := range d.apiRoutes() {
		api.Handle(r.method+" "+r.path, door.Needs(r.role, Refuse, r.serve))
	}
	api.Handle(apiPrefix, door.Needs(door.See, Refuse, noRoute(api)))
	if metrics {
		rest.Handle("GET /metrics", d.metricsHandler())
	} else {
		rest.HandleFunc("GET /metrics", metricsElsewhere)
	}
	rest.HandleFunc("GET /healthz", d.serveHealth)
	rest.HandleFunc("GET /", p.serve)
	seen := door.Needs(door.See, Refuse, rest)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if strings.HasPrefix(r.URL.Path, apiPrefix) {
			api.ServeHTTP(w, r)
			return
		}
		seen.ServeHTTP(w, r)
	})
}

// noRoute answers what the interface has no way in for: the path is another
// one, or the method.
func noRoute(mux *http.ServeMux) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		allowed := allowedAt(mux, r)
		if len(allowed) == 0 {
			Refuse(w, r, http.StatusNotFound, "There is nothing at this path. /api/openapi.json lists what there is.")
			return
		}
		w.Header().Set("Allow", strings.Join(allowed, ", "))
		Refuse(w, r, http.StatusMethodNotAllowed, "This path takes "+strings.Join(allowed, ", ")+" alone.")
	}
}

// allowedAt gives the methods that a path takes.
func allowedAt(mux *http.ServeMux, r *http.Request) (methods []string) {
	for _, method := range []string{"GET", "HEAD", "PUT", "PATCH", "DELETE"} {
		other := r.Clone(r.Context())
		other.Method = method
		if _, pattern := mux.Handler(other); pattern != apiPrefix && pattern != "" {
			methods = append(methods, method)
		}
	}
	return methods
}

// metricsElsewhere answers who follows the page's link to them.
func metricsElsewhere(w http.ResponseWriter, r *http.Request) {
	Refuse(w, r, http.StatusNotFound, "The metrics have an address of their own here: the site file gives it as metrics_listen.")
}

func serveOpenAPI(w http.ResponseWriter, _ *http.Request) {
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-cache")
	w.Write([]byte(openAPI))
}
