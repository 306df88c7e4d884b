package dashboard

import (
	"net/http"
	"runtime"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"
)

//go:generate go test . -run ^TestMetricsPageIsFresh$ -update

// metrics turns the newest tick into metrics whenever it is asked. All figures
// of one scrape are of one tick, and a scrape touches nothing but it.
type metrics struct{ d *Dashboard }

func (d *Dashboard) registry() *prometheus.Registry {
	r := prometheus.NewRegistry()
	r.MustRegister(metrics{d})
	return r
}

func (d *Dashboard) metricsHandler() http.Handler {
	r := d.registry()
	r.MustRegister(
		collectors.NewGoCollector(),
		collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}),
	)
	scrape := promhttp.HandlerFor(r, promhttp.HandlerOpts{MaxRequestsInFlight: 4, DisableCompression: true})
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Cache-Control", "no-store")
		scrape.ServeHTTP(w, r)
	})
}

// Labels: system is the installer's name for it and empty for the house's own
// probes and findings; place, actuator, quality, rank, reason, kind, part and
// urgency come from the fixed sets of package control, kinds of refusal from that of
// package door. Nothing a probe or a
// person says at run time becomes a label.
var (
	ofReading = []string{"system", "place"}
	ofOutput  = []string{"system", "actuator"}
	ofSystem  = []string{"system"}

	buildInfo = desc("build_info", "Version of the program and of the Go it was built with; always 1.", "version", "goversion")
	refused   = desc("requests_refused_total", "Requests, and connections, that were refused at the door since the start of the program, by kind.", "kind")
	viewers   = desc("page_viewers", "Live viewers of the page.")

	ticksTotal   = desc("ticks_total", "Ticks since the start of the program.")
	tickAge      = desc("tick_age_seconds", "Real time since the newest tick arrived. All other figures are of that tick.")
	tickDuration = desc("tick_duration_seconds", "From the begin of the newest tick until every output was driven.")
	tickLateness = desc("tick_lateness_seconds", "How long after its due time the newest tick began.")
	serviceTotal = desc("service_seconds_total", "Time the controller has worked, all runs together.")
	clockTrusted = desc("clock_trusted", "1 while the wall clock is set, else 0.")

	temperature = desc("temperature_celsius", "Temperature at a place; there is no such series while its reading is not good.", ofReading...)
	flow        = desc("flow_cubic_meters_per_second", "Flow at a place; there is no such series while its reading is not good.", ofReading...)
	pressure    = desc("pressure_pascals", "Pressure at a place above the air around it; there is no such series while its reading is not good.", ofReading...)
	current     = desc("current_amperes", "Electric current at a place; there is no such series while its reading is not good.", ofReading...)
	pressed     = desc("button_pressed", "1 while a button is pressed, else 0; there is no such series while its reading is not good.", ofReading...)
	readingAge  = desc("reading_age_seconds", "Age of a place's value; there is no such series while there is no value.", ofReading...)
	quality     = desc("reading_quality", "1 for the quality that a place's reading has, 0 for the others.", "system", "place", "quality")

	hotWater   = desc("hot_water_liters", "Litres that the tank can still give at the tap temperature; there is no such series while that is not known.", ofSystem...)
	sunHeat    = desc("heat_from_sun_joules_total", "Heat that the loop has brought since the site was first started; only where it can be counted.", ofSystem...)
	meterHeat  = desc("heat_from_meter_joules_total", "Electricity of the backup heater since the site was first started, by its rated power.", ofSystem...)
	drawnHeat  = desc("heat_drawn_joules_total", "Heat drawn as hot water since the site was first started; only where it can be counted.", ofSystem...)
	tankLoss   = desc("heat_lost_by_tank_joules_total", "Heat lost by the tank to its room since the site was first started; only where it can be counted.", ofSystem...)
	loopLoss   = desc("heat_lost_by_loop_joules_total", "Heat that the loop has carried out of the tank since the site was first started; only where it can be counted.", ofSystem...)
	pumpEnergy = desc("loop_pump_joules_total", "Electricity of the loop pump since the site was first started, by its rated power.", ofSystem...)

	circulationLoss   = desc("heat_lost_by_circulation_joules_total", "Heat that the hot-water circulation has lost since the site was first started; only where it can be counted, else it is in what was drawn.", ofSystem...)
	circulationEnergy = desc("circulation_pump_joules_total", "Electricity of the pump of the hot-water circulation since the site was first started, by its rated power.", ofSystem...)

	outputLevel      = desc("output_level_ratio", "Level that an output has, 0 off to 1 full.", ofOutput...)
	outputRun        = desc("output_run_seconds_total", "Run time of an output since the site was first started.", ofOutput...)
	outputSwitchings = desc("output_switchings_total", "How often an output was switched on or off since the site was first started.", ofOutput...)
	outputRefused    = desc("output_switchings_refused_total", "How often an output that had just been switched, or had gone off by itself, was not switched again before its minimum time was over, though that was decided; counted since the program was started.", ofOutput...)
	outputFault      = desc("output_fault", "1 while an output could not be driven, else 0.", ofOutput...)
	outputHeld       = desc("output_held", "1 while a minimum time keeps an output from following the winning vote, else 0.", ofOutput...)
	overrideLeft     = desc("override_remaining_seconds", "How long an output is still set by hand; 0 when nobody set it.", ofOutput...)
	decisionLevel    = desc("decision_level_ratio", "Level that was decided for an output, 0 off to 1 full.", ofOutput...)
	decisionRank     = desc("decision_rank", "1 for the rank of the vote that won an output, 0 for the others.", "system", "actuator", "rank")
	decisionReason   = desc("decision_reason", "Why an output is as it is; always 1.", "system", "actuator", "reason")

	findingActive = desc("finding_active", "1 for every finding there is now; part is the place or actuator it is about.", "kind", "system", "part", "urgency")
	findingCount  = desc("findings", "Findings there are now, by urgency.", "urgency")

	allDescs = []*prometheus.Desc{
		buildInfo, viewers, refused,
		ticksTotal, tickAge, tickDuration, tickLateness, serviceTotal, clockTrusted,
		temperature, flow, pressure, current, pressed, readingAge, quality,
		hotWater, sunHeat, meterHeat, drawnHeat, tankLoss, loopLoss, pumpEnergy, circulationLoss, circulationEnergy,
		outputLevel, outputRun, outputSwitchings, outputRefused, outputFault, outputHeld, overrideLeft,
		decisionLevel, decisionRank, decisionReason,
		findingActive, findingCount,
	}
)

func desc(name, help string, labels ...string) *prometheus.Desc {
	return prometheus.NewDesc(prometheus.BuildFQName("sunstoker", "", name), help, labels, nil)
}

// Describe lists every metric there can be.
func (m metrics) Describe(to chan<- *prometheus.Desc) {
	for _, d := range allDescs {
		to <- d
	}
}

// Collect makes the metrics of the newest tick.
func (m metrics) Collect(to chan<- prometheus.Metric) {
	k := m.d.newest.Load()
	s := sample{to}
	s.gauge(viewers, float64(len(m.d.viewers)))
	for kind, times := range m.d.refused.All() {
		s.counter(refused, float64(times), kind)
	}
	if k.tick == nil {
		return
	}
	s.gauge(buildInfo, 1, k.tick.House.Version, runtime.Version())
	s.gauge(tickAge, k.age(m.d.now()).Seconds())
	s.tick(k.tick)
}
