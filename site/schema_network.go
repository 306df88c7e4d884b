package site

var networkTable = table{
	name:    "network",
	meaning: "The page for other devices: encrypted, and with a password for everybody.",
	keys: []key{
		{name: "listen", kind: plainText, form: &outsideForm, example: "0.0.0.0:8443",
			meaning: "Address and port of the page for other devices; 0.0.0.0 stands for all addresses of the board, [::] for those of IPv6 too. Left out, the board alone reaches the page. Where there is no web configuration yet, the program makes a key and a certificate, and shows a set-up code in its log, once; with it one of those who may install sets the first password. The service must be allowed to be reached (IPAddressAllow= in a drop-in). Not meant for the open internet.",
			set:     func(t *target, v value) { t.site.Network.Listen = v.text }},
		{name: "web_configuration", kind: plainText, form: &webFileForm, example: "/var/lib/sunstoker/web.yml",
			meaning: "File with certificate and passwords, as the exporters of Prometheus have them: cert_file and key_file under tls_server_config, and under basic_auth_users a line for each name, which the command \"password\" makes. Changes count without a restart. It must not be readable by other accounts. Left out, it is web.yml in the state folder.",
			set:     func(t *target, v value) { t.site.Network.WebConfiguration = v.text }},
		{name: "host_names", kind: plainText, form: &hostNamesForm, example: "heater.example",
			meaning: "Names by which the page is called, with commas between, beside the board's own and its addresses. A request by another name is refused, so that no foreign page can pass itself off for this one.",
			set:     func(t *target, v value) { t.site.Network.HostNames = commaList(v.text) }},
	},
}

var peopleTable = table{
	name:    "people",
	meaning: "Who may do what, by the names of the web configuration. Who has a password and stands in neither list may see.",
	keys: []key{
		{name: "install", kind: plainText, form: &personsForm, example: "anna",
			meaning: "Who may install, with commas between: set outputs by hand, hold the service state, change settings, and all that the others may.",
			set:     func(t *target, v value) { t.site.People.Install = commaList(v.text) }},
		{name: "use", kind: plainText, form: &personsForm, example: "family",
			meaning: "Who may use, with commas between: ask for hot water now, and for a holiday.",
			set:     func(t *target, v value) { t.site.People.Use = commaList(v.text) }},
		{name: "board", kind: choice, choices: []string{"see", "use", "install"}, def: "see",
			meaning: "What whoever asks from the board itself may, without a password: any program on it, whoever runs it, and whoever a web server on the board or a tunnel to it lets through.",
			set:     func(t *target, v value) { t.site.People.Board = v.text }},
	},
}
