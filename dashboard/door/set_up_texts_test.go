package door

import (
	"errors"
	"net/http"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
)

func TestTheSetUpPageSpeaksTheBrowsersLanguage(t *testing.T) {
	h := newHouse(t, "", func(o *Options) { o.House = "<b>{names}</b>" })
	c := h.browser(t, h.open(t, outside, whoAsks), caller)
	for wishes, want := range map[string]string{
		"": "en", "es": "es", "es-MX, en;q=0.8": "es", "en-GB,en;q=0.9,es;q=0.8": "en", "de, es;q=0.5, en;q=0.4": "es",
		"de": "en", "es;q=0, en;q=0.1": "en", "ES-es;q=1.000": "es", ";;,es;q=zzz": "en",
	} {
		answer, page := ask(t, c, "GET", "https://localhost/set-up", "", "", func(r *http.Request) { r.Header.Set("Accept-Language", wishes) })
		if answer.Header.Get("Content-Language") != want || answer.Header.Get("Vary") != "Accept-Language" || !strings.Contains(page, `<html lang="`+want+`">`) {
			t.Errorf("%q: %v\n%s", wishes, answer.Header, page)
		}
		if !strings.Contains(page, "&lt;b&gt;{names}&lt;/b&gt;") || strings.Contains(page, "<b>") || !strings.Contains(page, "(anna)") {
			t.Errorf("%q: names are not written as they are\n%s", wishes, page)
		}
	}
	answer, page := fillIn(t, c, "mallory", codeIn(t, h), annasPassword, annasPassword, func(r *http.Request) { r.Header.Set("Accept-Language", "es") })
	if answer.StatusCode != 422 || !strings.Contains(page, `role="alert">El fichero de la instalación no deja instalar a este nombre. Use uno de estos: anna.<`) {
		t.Errorf("%d\n%s", answer.StatusCode, page)
	}
	answer, page = fillIn(t, c, "anna", codeIn(t, h), "corta", "corta", func(r *http.Request) { r.Header.Set("Accept-Language", "es") })
	if answer.StatusCode != 422 || !strings.Contains(page, "menos de 12 letras") {
		t.Errorf("%d\n%s", answer.StatusCode, page)
	}
}

// TestEverySetUpTextIsTranslated: none is missing or left in English, and figures and
// what is filled in are the same.
func TestEverySetUpTextIsTranslated(t *testing.T) {
	fixed := regexp.MustCompile(`\d+|\{\w+\}`)
	english := textsIn(reflect.ValueOf(setupEnglish))
	for _, other := range setupLanguages[1:] {
		for i, text := range textsIn(reflect.ValueOf(*other)) {
			if text == "" || text == english[i] || !slices.Equal(fixed.FindAllString(text, -1), fixed.FindAllString(english[i], -1)) {
				t.Errorf("%s: %q of %q", other.language, text, english[i])
			}
		}
	}
	if !strings.Contains(setupEnglish.password, "12") || leastPassword != 12 || !strings.Contains(setupHTML, `minlength="12"`) {
		t.Error("the page tells another length than is asked for")
	}
	if got := setupSpanish.words(errors.New("disk")); got != setupSpanish.faults[notKept] {
		t.Error(got)
	}
}

// textsIn are all texts of a value, one after the other.
func textsIn(v reflect.Value) (texts []string) {
	switch v.Kind() {
	case reflect.String:
		return []string{v.String()}
	case reflect.Array:
		for i := range v.Len() {
			texts = append(texts, textsIn(v.Index(i))...)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			texts = append(texts, textsIn(v.Field(i))...)
		}
	}
	return texts
}
