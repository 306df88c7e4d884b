package main

import (
	"sunstoker/dashboard"
	"sunstoker/dashboard/door"
	"sunstoker/dashboard/messages"
	"sunstoker/site"
	"sunstoker/station"
)

// tellBroker lets a message broker be told what the page shows, where the site has one.
func tellBroker(s *site.Site, page *dashboard.Dashboard, o *station.BuildOptions) {
	m := &s.MQTT
	if m.Broker == "" {
		return
	}
	told := messages.New(messages.Options{
		Broker: m.Broker, Encrypted: m.Encrypted, AuthorityFile: m.AuthorityFile, User: m.User, PasswordFile: m.PasswordFile,
		Topic: m.Topic, Every: m.Every, May: roleNamed(m.Commands), API: page, Log: o.Log,
	})
	o.Watchers = append(o.Watchers, told)
	o.Services = append(o.Services, station.Service{Name: "the messages to a broker", Run: told.Run})
}

// roleNamed is the role that a word of the site file means, or only to look on.
func roleNamed(word string) door.Role {
	for _, role := range []door.Role{door.Use, door.Install} {
		if word == role.String() {
			return role
		}
	}
	return door.See
}
