// Package dashboard shows the newest tick to people and programs: a live page,
// a JSON interface, live events, metrics and a health answer.
//
// A [Dashboard] is a watcher of ticks and an HTTP handler at once:
//
//	/            the page (TypeScript under page/, built into page/dist)
//	/api/...     JSON for programs and the page, as openapi.json describes it
//	/api/events  the newest tick, live, as server-sent events
//	/metrics     Prometheus' text format, made from the newest tick
//	/healthz     200 while ticks arrive, 503 when they do not
//
// It decides nothing. What a person asks for is handed to the daemon's desk (see
// package request), whose next tick grants or refuses it; nothing that a viewer
// does reaches a bus or delays a tick. Only the newest tick is kept; whoever is
// slow misses some and gets the newest next.
//
// What was is read from the history while it is written (past.go): by a connection
// of its own, one question at a time, for some seconds at most. An answer has no
// more points than were asked for.
//
// All ways into the JSON stand in one table with the role that they take
// (routes.go). Bodies are read strictly (body.go); a quantity in one is a text
// with its unit, so that a wrong unit is an error and never a wrong number.
//
// The page is built by "npm ci" and "npm run build" in the folder page, which
// make does; a program built without it serves everything else. Its sources
// stand under page/src: api.ts reads the JSON, texts.ts holds every sentence,
// feed.ts keeps the line, and each folder beside them is one view.
//
// Nobody reaches it but through a door, which says who asks: see package door. A
// handler that is asked past it lets nobody see anything.
package dashboard
