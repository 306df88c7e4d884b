// Package fleet_test tries what an installer with many houses is given, with the real
// Prometheus of Debian: that it works (TestThreeHouses), that messages come (TestMail), and
// what a house costs (TestLoad). They need the program to be built, or take real time, so they
// stand behind the build tag "fleet": see make fleet and make fleet-load.
package fleet_test
