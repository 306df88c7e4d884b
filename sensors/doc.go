// Package sensors turns what hangs on a bus into samples with a value or, in
// words, the reason why there is none.
//
// A [Probe] hands out its newest [Sample] at once and never touches the bus
// itself. A [Bus] owns the one goroutine that does: it asks each of its probes
// in turn and may be held up for as long as the kernel pleases. Between the two
// lies one atomic pointer per probe, so a hung bus makes samples old but never
// delays whoever asks. The consumer judges the age by Sample.Taken and asks
// [Bus].Stuck for the file that holds the reader up.
//
// [OneWire] reads temperature probes through the kernel's 1-wire tree. A [Line]
// reads what is asked point by point, each by a [Driver]: [Platinum] behind a
// resistance converter on SPI; [Thermistor], [Pressure] and [Clamp] at an analog
// converter on I2C; [PulseMeter] and [Button] at an input line; [Register] in a
// Modbus module. [NewSimulated] wraps a function, and [Scan] lists what hangs on a
// 1-wire tree.
//
// # What a sample promises
//
// A value is only given out after every check that can be made on the record
// alone has passed: form, checksum (computed here and by the kernel), range of
// the part, agreement of the register with the kernel's own figure. What needs
// knowledge of the plant, such as how fast a tank can change, whether a probe
// sits frozen or has left its pocket, is left to the controller;
// Sample.Repeats is there to help it. One such test is made here, because it
// needs the bytes: the power-on record of exactly 85 °C, see [PowerOn].
//
// # What this package does not do
//
// It never writes to a 1-wire probe: resolution and alarm limits stay as they are,
// since counterfeit parts wear out after a handful of such writes. It needs no
// more than read permission; see [OneWireOptions] for the one exception.
package sensors
