package site

import (
	"strconv"
	"strings"

	"sunstoker/control"
)

var elementOhms = map[string]float64{"Pt100": 100, "Pt1000": 1000}

var coreChoices = []string{"0.14 mm²", "0.22 mm²", "0.25 mm²", "0.34 mm²", "0.5 mm²", "0.75 mm²", "1 mm²", "1.5 mm²", "2.5 mm²"}

var platinumKeys = []key{
	{name: "spi_device", kind: plainText, form: &spiForm, only: kinds{Platinum}, when: "with a platinum probe", example: "/dev/spidev0.#",
		meaning: "The kernel's device of the converter: SPI bus and chip select. Every converter has a chip select of its own.",
		set:     func(t *target, v value) { t.probe.Platinum.Device = v.text }},
	{name: "element", kind: choice, choices: []string{"Pt100", "Pt1000"}, only: kinds{Platinum}, when: "with a platinum probe", example: "Pt1000",
		meaning: "The platinum element in the probe, by its resistance at 0 °C: 100 Ω or 1000 Ω. An ohmmeter tells: some 110 Ω or 1100 Ω at room temperature.",
		set:     func(t *target, v value) { t.probe.Platinum.ElementOhm = elementOhms[v.text] }},
	{name: "reference", kind: quantity, unit: control.Ohm, min: 300, max: 6000, only: kinds{Platinum}, when: "with a platinum probe", example: "4300 Ω",
		meaning: "The reference resistor on the converter's board, some 4 times the element. Read it off the board: 430 Ω for 400 Ω is an error of 20 K.",
		set:     func(t *target, v value) { t.probe.Platinum.ReferenceOhm = v.number }},
	{name: "wires", kind: wholeNumber, min: 2, max: 4, only: kinds{Platinum}, when: "with a platinum probe", example: "2",
		meaning: "How many wires lead from board to element. The board's bridges must be set to the same number.",
		set:     func(t *target, v value) { t.probe.Platinum.Wires = int(v.number) }},
	{name: "cable_length", kind: quantity, unit: control.Metre, min: 0, max: 200, only: kinds{Platinum}, example: "15 m",
		meaning: "The cable from board to element, one way: with two wires its resistance is taken off the reading. Needed with wires = 2.",
		set:     func(t *target, v value) { t.probe.Platinum.CableM = v.number }},
	{name: "cable_core", kind: choice, choices: coreChoices, only: kinds{Platinum}, example: "0.75 mm²",
		meaning: "The cross-section of one copper core of that cable. Needed with wires = 2.",
		set: func(t *target, v value) {
			number, _, _ := strings.Cut(v.text, " ")
			t.probe.Platinum.CoreMM2, _ = strconv.ParseFloat(number, 64) // a choice above
		}},
	{name: "mains_frequency", kind: choice, choices: []string{"50 Hz", "60 Hz"}, only: kinds{Platinum}, def: "50 Hz",
		meaning: "The mains whose hum the converter filters out.",
		set:     func(t *target, v value) { t.probe.Platinum.SixtyHertz = v.text == "60 Hz" }},
}

var spiForm = form{
	allowed: `the kernel's SPI device, such as "/dev/spidev0.1"`,
	wrong: func(text string) string {
		numbers, ok := strings.CutPrefix(text, "/dev/spidev")
		bus, chip, dotted := strings.Cut(numbers, ".")
		if !ok || !dotted || !isDeviceNumber(bus) || !isDeviceNumber(chip) {
			return strconv.Quote(text) + " is no SPI device"
		}
		return ""
	},
}

// isDeviceNumber tells of a number as the kernel writes it in a device's name.
func isDeviceNumber(text string) bool {
	n, err := strconv.Atoi(text)
	return err == nil && n >= 0 && n <= 255 && strconv.Itoa(n) == text
}
