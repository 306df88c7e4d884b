package main

import (
	"context"

	"sunstoker/dashboard"
	"sunstoker/station"
)

// pageService serves the page at an address.
func pageService(listen string, page *dashboard.Dashboard, in *surroundings) station.Service {
	return station.Service{Name: "the page", Run: func(ctx context.Context) error {
		listener, err := dashboard.Listen(listen)
		if err != nil {
			return err
		}
		in.log.Info("the page is served", "page", "http://"+listener.Addr().String()+"/", "metrics", "http://"+listener.Addr().String()+"/metrics")
		return dashboard.Serve(ctx, listener, page)
	}}
}
