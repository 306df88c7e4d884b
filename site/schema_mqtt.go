package site

import "sunstoker/control"

var mqttTable = table{
	name:    "mqtt",
	meaning: "A message broker (MQTT 3.1.1) that is told readings, decisions with their reasons, findings and counts, each under a topic of its own; deploy/messages.md lists them, and what can be asked.",
	keys: []key{
		{name: "broker", kind: plainText, form: &brokerForm, example: "mqtts://broker.example:8883",
			meaning: "The broker: mqtts:// and an encrypted connection, or mqtt:// and one that everybody on the way can read and change; then its name or address, and its port. Left out, no broker is told anything. The service must be allowed to reach it (IPAddressAllow= in a drop-in).",
			set:     func(t *target, v value) { t.site.MQTT.Broker, t.site.MQTT.Encrypted = brokerParts(v.text) }},
		{name: "authority_file", kind: plainText, form: &certificateForm, example: "/etc/sunstoker/broker-authority.pem",
			meaning: "File with the certificate of the authority that vouches for the broker, or of the broker itself where it has made its own, in PEM form. Left out, the authorities that the board's system trusts vouch for it.",
			set:     func(t *target, v value) { t.site.MQTT.AuthorityFile = v.text }},
		{name: "user", kind: plainText, form: &brokerUserForm, example: "sunstoker",
			meaning: "Name that the broker knows this program by. Left out, neither name nor password are sent.",
			set:     func(t *target, v value) { t.site.MQTT.User = v.text }},
		{name: "password_file", kind: plainText, form: &passwordForm, example: "/etc/sunstoker/broker-password",
			meaning: "File that holds the password of this name in one line. No other account may be able to read it. It is read at every connection and stands in no log.",
			set:     func(t *target, v value) { t.site.MQTT.PasswordFile = v.text }},
		{name: "topic", kind: plainText, form: &topicForm, def: "sunstoker",
			meaning: "What all topics begin with. Every house at a broker needs one of its own, such as houses/hill.",
			set:     func(t *target, v value) { t.site.MQTT.Topic = v.text }},
		{name: "every", unit: control.Second, min: 1, max: 3600, def: "10 s",
			meaning: "How long what changes steadily, such as a temperature, waits until it is told again. Outputs, findings and probes that fail are told at once.",
			set:     func(t *target, v value) { t.site.MQTT.Every = seconds(v.number) }},
		{name: "commands", kind: choice, choices: []string{"none", "use", "install"}, def: "none",
			meaning: "What whoever may write to the broker may ask for by messages: nothing; what those who use may (hot water now, a holiday); or outputs set by hand too. The broker's own rules must say who may write under the topic.",
			set:     func(t *target, v value) { t.site.MQTT.Commands = v.text }},
	},
}
