package site

import (
	"net"
	"net/netip"
)

// checkMQTT sees that name and password come together, that nothing is said of a
// broker that is not there, and that no password and no command goes in clear text
// where others can read or write it.
func (w *walker) checkMQTT() {
	m := &w.site.MQTT
	for _, key := range []string{"authority_file", "user", "password_file", "topic", "every", "commands"} {
		if path := "mqtt." + key; w.written(path) && !w.written("mqtt.broker") {
			w.wrong(path, w.at(path), "no broker is named", `name one, as broker = "mqtts://broker.example:8883", or take this key out`)
			return
		}
	}
	if user, file := w.written("mqtt.user"), w.written("mqtt.password_file"); user != file {
		there, missing := "mqtt.user", "password_file"
		if file {
			there, missing = "mqtt.password_file", "user"
		}
		w.wrong(there, w.at(there), "a name and a password belong together", "write "+missing+" too")
	}
	if !w.sound["mqtt.broker"] || m.Broker == "" || m.Encrypted {
		return
	}
	if w.written("mqtt.authority_file") {
		w.wrong("mqtt.authority_file", w.at("mqtt.authority_file"), "a connection by mqtt:// is not encrypted, so that nobody vouches for the broker", "write mqtts:// and the port for encrypted connections, often 8883")
	}
	if onBoard(m.Broker) {
		return
	}
	if w.written("mqtt.user") {
		w.wrong("mqtt.broker", w.at("mqtt.broker"), "everybody on the way to the broker could read the password", "write mqtts:// and the port for encrypted connections, often 8883")
	}
	if m.Commands != "none" {
		w.wrong("mqtt.commands", w.at("mqtt.commands"), "everybody on the way to the broker could ask in others' names", "write mqtts:// and the port for encrypted connections, often 8883, or leave commands out")
	}
}

// onBoard tells whether an address with a port is the board's own.
func onBoard(address string) bool {
	host, _, err := net.SplitHostPort(address)
	ip, ipErr := netip.ParseAddr(host)
	return err == nil && (host == "localhost" || ipErr == nil && ip.Unmap().IsLoopback())
}
