package main

import (
	"context"
	"net/http"

	"sunstoker/dashboard"
	"sunstoker/dashboard/door"
	"sunstoker/history"
	"sunstoker/site"
	"sunstoker/station"
	"sunstoker/station/request"
)

// pageOptions are what the page shows of a site beside its ticks, and whom it asks.
func pageOptions(s *site.Site, desk request.Desk, kept *history.History) dashboard.Options {
	o := dashboard.Options{
		Desk: desk, MetricsElsewhere: s.MetricsListen != "",
		Worth: dashboard.Worth{PricePerKWh: s.Electricity.PerKWh, Currency: s.Electricity.Currency, PromisedKWh: map[string][]float64{}},
	}
	for i := range s.Systems {
		o.Worth.PromisedKWh[s.Systems[i].Name] = s.Systems[i].PromisedKWh
	}
	if kept != nil {
		o.Past = kept
	}
	return o
}

// pageServices let people and programs in: to the page on the board itself, to
// the page for other devices, and to the metrics where they have an address of
// their own.
func pageServices(s *site.Site, page *dashboard.Dashboard, in *surroundings) []station.Service {
	d := door.New(door.Options{
		House: s.Name, WebFile: s.Network.WebConfiguration, Roles: rolesOf(s), Local: roleNamed(s.People.Board), HostNames: s.Network.HostNames,
		Log: in.log, Refuse: dashboard.Refuse, Refused: page.Refused(),
	})
	service := func(name string, listen func(string) (*door.Entrance, error), address string, handler http.Handler) station.Service {
		return station.Service{Name: name, Run: func(ctx context.Context) error {
			entrance, err := listen(address)
			if err != nil {
				return err
			}
			in.log.Info(name+" is served", "page", entrance.URL())
			return entrance.Serve(ctx, handler)
		}}
	}
	services := []station.Service{service("the page", d.ListenOnBoard, s.Listen, page)}
	if s.Network.Listen != "" {
		services = append(services, service("the page for other devices", d.Listen, s.Network.Listen, page))
	}
	if s.MetricsListen != "" {
		services = append(services, service("the page of metrics", d.Listen, s.MetricsListen, page.Metrics()))
	}
	return services
}

func rolesOf(s *site.Site) map[string]door.Role {
	roles := map[string]door.Role{}
	for _, name := range s.People.Use {
		roles[name] = door.Use
	}
	for _, name := range s.People.Install {
		roles[name] = door.Install
	}
	return roles
}
