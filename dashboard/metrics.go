package dashboard

import (
	"net/http"
	"runtime"
	"strconv"
)

// mostScrapes is how many scrapes may be under way at a time.
const mostScrapes = 4

// metricsHandler turns the newest tick into metrics whenever it is asked. All
// figures of one scrape are of one tick, and a scrape touches nothing but it.
func (d *Dashboard) metricsHandler() http.Handler {
	free := make(chan *exposition, mostScrapes)
	for range mostScrapes {
		free <- newExposition()
	}
	return http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		select {
		case e := <-free:
			defer func() { free <- e }()
			e.begin()
			e.dashboard(d)
			e.process()
			text := e.end(allFamilies)
			w.Header().Set("Content-Type", textType)
			w.Header().Set("Content-Length", strconv.Itoa(len(text)))
			_, _ = w.Write(text) // who has gone needs no answer
		default:
			http.Error(w, "too many scrapes at a time; try again", http.StatusServiceUnavailable)
		}
	})
}

// Labels: system is the installer's name for it and empty for the house's own
// probes and findings; place, actuator, quality, rank, reason, kind, part and
// urgency come from the fixed sets of package control. Nothing a probe or a
// person says at run time becomes a label.
var (
	ofReading = []string{"system", "place"}
	ofOutput  = []string{"system", "actuator"}
	ofSystem  = []string{"system"}

	buildInfo = gauge("sunstoker_build_info", "Version of the program and of the Go it was built with; always 1.", "version", "goversion")
	viewers   = gauge("sunstoker_page_viewers", "Live viewers of the page.")

	ticksTotal   = counter("sunstoker_ticks_total", "Ticks since the start of the program.")
	tickAge      = gauge("sunstoker_tick_age_seconds", "Real time since the newest tick arrived. All other figures are of that tick.")
	tickDuration = gauge("sunstoker_tick_duration_seconds", "From the begin of the newest tick until every output was driven.")
	tickLateness = gauge("sunstoker_tick_lateness_seconds", "How long after its due time the newest tick began.")
	serviceTotal = counter("sunstoker_service_seconds_total", "Time the controller has worked, all runs together.")
	clockTrusted = gauge("sunstoker_clock_trusted", "1 while the wall clock is set, else 0.")

	temperature = gauge("sunstoker_temperature_celsius", "Temperature at a place; there is no such series while its reading is not good.", ofReading...)
	flow        = gauge("sunstoker_flow_cubic_meters_per_second", "Flow at a place; there is no such series while its reading is not good.", ofReading...)
	pressure    = gauge("sunstoker_pressure_pascals", "Pressure at a place above the air around it; there is no such series while its reading is not good.", ofReading...)
	current     = gauge("sunstoker_current_amperes", "Electric current at a place; there is no such series while its reading is not good.", ofReading...)
	pressed     = gauge("sunstoker_button_pressed", "1 while a button is pressed, else 0; there is no such series while its reading is not good.", ofReading...)
	readingAge  = gauge("sunstoker_reading_age_seconds", "Age of a place's value; there is no such series while there is no value.", ofReading...)
	quality     = gauge("sunstoker_reading_quality", "1 for the quality that a place's reading has, 0 for the others.", "system", "place", "quality")

	hotWater   = gauge("sunstoker_hot_water_liters", "Litres that the tank can still give at the tap temperature; there is no such series while that is not known.", ofSystem...)
	sunHeat    = counter("sunstoker_heat_from_sun_joules_total", "Heat that the loop has brought since the site was first started; only where it can be counted.", ofSystem...)
	meterHeat  = counter("sunstoker_heat_from_meter_joules_total", "Electricity of the backup heater since the site was first started, by its rated power.", ofSystem...)
	drawnHeat  = counter("sunstoker_heat_drawn_joules_total", "Heat drawn as hot water since the site was first started; only where it can be counted.", ofSystem...)
	tankLoss   = counter("sunstoker_heat_lost_by_tank_joules_total", "Heat lost by the tank to its room since the site was first started; only where it can be counted.", ofSystem...)
	loopLoss   = counter("sunstoker_heat_lost_by_loop_joules_total", "Heat that the loop has carried out of the tank since the site was first started; only where it can be counted.", ofSystem...)
	pumpEnergy = counter("sunstoker_loop_pump_joules_total", "Electricity of the loop pump since the site was first started, by its rated power.", ofSystem...)

	circulationLoss   = counter("sunstoker_heat_lost_by_circulation_joules_total", "Heat that the hot-water circulation has lost since the site was first started; only where it can be counted, else it is in what was drawn.", ofSystem...)
	circulationEnergy = counter("sunstoker_circulation_pump_joules_total", "Electricity of the pump of the hot-water circulation since the site was first started, by its rated power.", ofSystem...)

	outputLevel      = gauge("sunstoker_output_level_ratio", "Level that an output has, 0 off to 1 full.", ofOutput...)
	outputRun        = counter("sunstoker_output_run_seconds_total", "Run time of an output since the site was first started.", ofOutput...)
	outputSwitchings = counter("sunstoker_output_switchings_total", "How often an output was switched on or off since the site was first started.", ofOutput...)
	outputFault      = gauge("sunstoker_output_fault", "1 while an output could not be driven, else 0.", ofOutput...)
	outputHeld       = gauge("sunstoker_output_held", "1 while a minimum time keeps an output from following the winning vote, else 0.", ofOutput...)
	overrideLeft     = gauge("sunstoker_override_remaining_seconds", "How long an output is still set by hand; 0 when nobody set it.", ofOutput...)
	decisionLevel    = gauge("sunstoker_decision_level_ratio", "Level that was decided for an output, 0 off to 1 full.", ofOutput...)
	decisionRank     = gauge("sunstoker_decision_rank", "1 for the rank of the vote that won an output, 0 for the others.", "system", "actuator", "rank")
	decisionReason   = gauge("sunstoker_decision_reason", "Why an output is as it is; always 1.", "system", "actuator", "reason")

	findingActive = gauge("sunstoker_finding_active", "1 for every finding there is now; part is the place or actuator it is about.", "kind", "system", "part", "urgency")
	findingCount  = gauge("sunstoker_findings", "Findings there are now, by urgency.", "urgency")

	// allFamilies are those of a scrape, in its order.
	allFamilies = []*family{
		buildInfo, viewers,
		ticksTotal, tickAge, tickDuration, tickLateness, serviceTotal, clockTrusted,
		temperature, flow, pressure, current, pressed, readingAge, quality,
		hotWater, sunHeat, meterHeat, drawnHeat, tankLoss, loopLoss, pumpEnergy, circulationLoss, circulationEnergy,
		outputLevel, outputRun, outputSwitchings, outputFault, outputHeld, overrideLeft,
		decisionLevel, decisionRank, decisionReason,
		findingActive, findingCount,
		processCPU, processMemory, processFiles, goroutines,
	}
)

// dashboard adds the metrics of the newest tick.
func (e *exposition) dashboard(d *Dashboard) {
	k := d.newest.Load()
	e.put(viewers, float64(len(d.viewers)))
	if k.tick == nil {
		return
	}
	e.put(buildInfo, 1, k.tick.House.Version, runtime.Version())
	e.put(tickAge, k.age(d.now()).Seconds())
	e.tick(k.tick)
}
