package site

import "fmt"

// checkPWM looks at the speed signal of a pump.
func (w *walker) checkPWM(taken map[string]position, o *OutputWiring, path, name string) {
	p := &o.PWM
	sound := func(keys ...string) bool {
		for _, key := range keys {
			if !w.sound[join(path, key)] {
				return false
			}
		}
		return true
	}
	if sound("pwm_chip", "pwm_channel") {
		w.takeOnce(taken, o.Where(), path+".pwm_chip", name+".pwm_chip",
			fmt.Sprintf("channel %d of %s is used in line ", p.Channel, p.Folder), "give every pump a channel of its own")
	}
	if !w.written(path + ".least") {
		w.wrong(name+".least", w.where(path), "this key is missing, and a pump with a speed signal has a lowest speed that it turns at", `read it off the pump's papers and write it under [`+name+`], such as least = "30 %"`)
	}
	if !sound("signal_stop", "signal_slowest", "signal_full") {
		return
	}
	rising := p.Stop < p.Slowest && p.Slowest < p.Full
	falling := p.Stop > p.Slowest && p.Slowest > p.Full
	switch {
	case !rising && !falling:
		w.wrong(name+".signal_slowest", w.at(path+".signal_slowest"),
			fmt.Sprintf("a signal that goes from %.4g %% (stop) over %.4g %% (slowest) to %.4g %% (full) neither rises nor falls", p.Stop*100, p.Slowest*100, p.Full*100),
			"read the three off the pump's papers, all as the on-time at the pump's input")
	case falling:
		w.advise(name+".signal_stop", w.at(path+".signal_stop"), "with this falling signal the pump runs at full, day and night, when its wire breaks or the board is without power",
			"where the pump can be set to a rising signal (often called solar), use that; else switch its supply off with that of the board")
	}
}
