// Package weather gives the simulator its sky and air. Every Source answers
// for any instant: light on the level by parts, air, wind and how cold the
// sky is. Field turns the light onto a collector plane, Table does so for a
// day at a time so that short steps cost nothing.
//
// # Sources of weather
//
// Hourly: a typical year, from CSV (ReadCSV), from the EPW format of building
// simulation (ReadEPW), or built in (NorthItaly, Greensboro). A typical year
// has 365 days and belongs to no calendar year: an instant is looked up by its
// month, day and time in UTC, and 29 February repeats 28 February. The energy
// of each hour is kept, and a file whose light cannot be is refused: see type Hourly
// and NewHourly.
//
// Generated: a Markov chain of clear, part and overcast days with clouds that
// pass within minutes, for any place and season, by seeds (Generate). Clear sky
// by Ineichen and Perez (package physics), cover by Kasten and Czeplak (1980),
// sky temperature by Swinbank (1963), both from memory. How often the sky is clear
// goes by latitude and season, or by the year's light that is asked for, and the
// air by latitude and height; both are held against reference climates, see
// UsualClimate. The shape of the clouds and the day's wave of temperature are
// inventions.
//
// Scripted: the same day again and again, from a list of times with cloud
// cover and air temperature (NewScripted).
//
// Shaded: any of these behind a horizon and with a part of the beam taken by month
// (NewShaded).
//
// # Built-in data
//
// The two typical years and their origin, sums and licence are in typical/:
// PVGIS (c) European Union, 2001-2025, and data of a United States national
// laboratory, both free to use with the source named.
//
// # Not modelled
//
// Rain, snow on the collector, humidity, the sky's light behind a horizon,
// spectrum, beam that is bent by refraction on the plane; clouds brighter than the
// clear sky at their edges; minutes within the hours of a file (use Generate where
// a pump's short runs matter).
package weather
