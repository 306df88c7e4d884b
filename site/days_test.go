package site

import (
	"testing"
	"time"
)

func TestHolidaysAndGuestsAreRead(t *testing.T) {
	days, err := parseHolidays("2 August to 15 August, 23 December to 29 February")
	if err != nil {
		t.Fatal(err)
	}
	summer, winter := Days{YearDay{time.August, 2}, YearDay{time.August, 15}}, Days{YearDay{time.December, 23}, YearDay{time.February, 29}}
	if len(days) != 2 || days[0] != summer || days[1] != winter {
		t.Errorf("holidays %v", days)
	}
	guests, err := parseGuests("2 from 2 August to 15 August,50 from 23 December to 29 February")
	if err != nil {
		t.Fatal(err)
	}
	if len(guests) != 2 || guests[0] != (Guests{summer, 2}) || guests[1] != (Guests{winter, 50}) {
		t.Errorf("guests %v", guests)
	}
	for _, text := range []string{"", "2 August", "2 August to", "30 February to 1 March", "August 2 to August 3", "2 August to 3 August,", "0 August to 3 August"} {
		if _, err := parseHolidays(text); err == nil {
			t.Errorf("%q is taken for holidays", text)
		}
	}
	for _, text := range []string{"2 August to 3 August", "0 from 2 August to 3 August", "51 from 2 August to 3 August", "-1 from 2 August to 3 August", "2 from August", "two from 2 August to 3 August"} {
		if _, err := parseGuests(text); err == nil {
			t.Errorf("%q is taken for guests", text)
		}
	}
}
