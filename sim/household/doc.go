// Package household gives the simulator its people: which hot water is drawn
// when, in mixed water at the tap. It knows no tank; the plant works out how
// much hot water a draw needs and how warm it comes.
//
// # Days
//
// TappingProfile: the European profiles S, M, L and XL with every draw, from
// Commission Regulation (EU) 814/2013, Annex III Table 1 (the same figures as
// in EU 812/2013, Annex VII Table 3). The file data/eu_tapping_profiles.csv
// holds the table, data/eu_tapping_totals.csv its day sums and source. A draw is
// given there as heat, least flow and the temperature from which it counts; it
// becomes litres at the peak temperature where there is one, else at the
// temperature from which it counts, over cold water of 10 degC (from memory).
// The litres then stay as they are: with warmer cold water a day asks for less
// heat.
//
// People: seeded days for a number of persons, with holidays and guests. Draws
// fall by chance (Poisson) into the hours of a working or free day. Their mean
// heat is the planning figure per person, somewhat more in winter; kinds, flows
// and hours are invented for demos and tests.
//
// # Time
//
// Times of day are wall time in the household's zone. On the night when the
// clock is put forward a draw in the missing hour comes an hour later; on the
// other one it comes once.
//
// # Not modelled
//
// People who give up when the water stays cold. How long they wait for it is
// the business of the hot-water line (sim/plant); a draw's own time does not
// shift by it.
package household
