package sim

// probeFaultKinds are the ways in which probes fail, beside those of the first
// table.
var probeFaultKinds = []FaultKind{
	{Name: "probe wire open", probeNeeds: thermometer, Meaning: "an analog probe reads its end of scale, far above anything",
		Amount: "end of scale in degC", UsualAmount: 850, Least: 200, Most: 1000,
		breakProbe: func(p *probeFault, f plannedFault) { p.shorted, p.shortC = true, f.amount }},
	{Name: "probe wire shorted", probeNeeds: thermometer, Meaning: "an analog probe reads its lower end, far below any air",
		Amount: "end of scale in degC", UsualAmount: -240, Least: -300, Most: -60,
		breakProbe: func(p *probeFault, f plannedFault) { p.shorted, p.shortC = true, f.amount }},
	{Name: "probe gives its power-up value", probeNeeds: thermometer, Meaning: "single readings of 85 degC",
		Amount: "one reading in so many", UsualAmount: 10, Least: 1, Most: 1e6,
		breakProbe: func(p *probeFault, f plannedFault) { p.powerUpEvery = int(f.amount) }},
	{Name: "probe reads all zeros", Meaning: "its record is rejected as empty: no reading",
		breakProbe: func(p *probeFault, _ plannedFault) { p.missing = true }},
	{Name: "probe replaced by a stranger", Meaning: "the one that was configured is gone: no reading",
		breakProbe: func(p *probeFault, _ plannedFault) { p.missing = true }},
	{Name: "probe surges", Meaning: "single wild readings, from a long cable or a switching load",
		Amount: "size in K", UsualAmount: 40, Least: 0, Most: 500,
		breakProbe: func(p *probeFault, f plannedFault) { p.surgeK = max(p.surgeK, f.amount) }},
	{Name: "probe counterfeit", probeNeeds: thermometer, Meaning: "off by some kelvin and unsteady",
		Amount: "error in K", UsualAmount: 2, Least: -20, Most: 20,
		breakProbe: func(p *probeFault, f plannedFault) {
			p.biasK += f.amount
			p.noiseK = max(p.noiseK, 0.5)
		}},
	{Name: "probe in the sun", probeNeeds: outdoors, Meaning: "its shade is gone: it reads warmer by day, and right at night",
		Amount: "error in K at a sun of 1000 W/m² on level ground", UsualAmount: 12, Least: 0, Most: 60,
		breakProbe: func(p *probeFault, f plannedFault) { p.sunK = max(p.sunK, f.amount) }},
	{Name: "probe on a warm wall", probeNeeds: outdoors, Meaning: "it feels the room behind it: too warm in the frost above all",
		Amount: "share of the room in what it reads", UsualAmount: 0.4, Least: 0, Most: 1,
		breakProbe: func(p *probeFault, f plannedFault) { p.wallShare = max(p.wallShare, f.amount) }},
	{Name: "probes swapped", Meaning: "two probes read each other's place", swaps: true,
		breakProbe: func(p *probeFault, f plannedFault) { p.reads = f.other }},
	{Name: "flow meter stuck at zero", probeNeeds: flowMeter, Meaning: "no pulses though fluid flows",
		breakProbe: func(p *probeFault, _ plannedFault) { p.shorted, p.shortC = true, 0 }},
	{Name: "flow meter counts at rest", probeNeeds: flowMeter, Meaning: "noise on its line counts as flow",
		Amount: "flow in l/min", UsualAmount: 1, Least: 0, Most: 1000,
		breakProbe: func(p *probeFault, f plannedFault) { p.biasK += f.amount }},
}
