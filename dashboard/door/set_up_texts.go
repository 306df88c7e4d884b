package door

import (
	"net/http"
	"strconv"
	"strings"
)

// setupFault is why the form of the set-up page is refused.
type setupFault uint8

const (
	formUnread setupFault = iota
	notKept
	tooManyCodes
	wrongCode
	oldCode
	noInstaller
	twoPasswords
	setAlready
	numSetupFaults
)

// setupTexts are all texts of the set-up page in one language. In them {house} is the
// site's name, and {names} are those who may install.
type setupTexts struct {
	language                          string // as HTML names it
	title, what, compare              string
	name, code, password, again, send string
	afterwards                        string
	faults                            [numSetupFaults]string
	passwords                         [numPasswordFaults]string
}

var setupLanguages = []*setupTexts{&setupEnglish, &setupSpanish}

var setupEnglish = setupTexts{
	language: "en",
	title:    "First password",
	what: "This is the solar water heater of {house}. Nobody can look at it or change it over the network before one of those who " +
		"may install ({names}) has a password.",
	compare: "The set-up code and the certificate's fingerprint stand in the program's log. Compare the fingerprint with what your " +
		"browser shows of this page's certificate: if they differ, somebody is in between, and the code is not for him.",
	name:       "Name",
	code:       "Set-up code",
	password:   "New password, 12 letters or more",
	again:      "The same again",
	send:       "Set the password",
	afterwards: "Afterwards the browser asks for this name and password.",
	faults: [...]string{
		formUnread:   "The form can't be read. Fill it in anew.",
		notKept:      "The password can't be kept. The log says why; cure it, then fill in the form anew.",
		tooManyCodes: "Too many wrong codes were tried. Wait a while, then try again.",
		wrongCode:    "This is not the set-up code. It stands in the program's log since its last start, once.",
		oldCode:      "This code is older than a day, and counts no longer. Start the program anew, and it shows another one.",
		noInstaller:  "The site file does not let this name install. Use one of: {names}.",
		twoPasswords: "The two passwords differ. Type the same one twice.",
		setAlready:   "The first password has just been set. Open the page anew.",
	},
	passwords: [...]string{
		passwordUntypeable: sentence(passwordUntypeable),
		passwordShort:      sentence(passwordShort),
		passwordLong:       sentence(passwordLong),
		passwordDull:       sentence(passwordDull),
		passwordHasName:    sentence(passwordHasName),
	},
}

var setupSpanish = setupTexts{
	language: "es",
	title:    "Primera contraseña",
	what: "Este es el calentador solar de agua de {house}. Nadie puede verlo ni cambiarlo por la red hasta que tenga contraseña " +
		"una de las personas que pueden instalar ({names}).",
	compare: "El código de puesta en marcha y la huella del certificado están en el registro del programa. Compare la huella con la que " +
		"su navegador muestra del certificado de esta página: si no coinciden, hay alguien en medio, y el código no es para él.",
	name:       "Nombre",
	code:       "Código de puesta en marcha",
	password:   "Contraseña nueva, de 12 letras o más",
	again:      "La misma otra vez",
	send:       "Poner la contraseña",
	afterwards: "Después el navegador pide este nombre y esta contraseña.",
	faults: [...]string{
		formUnread:   "No se puede leer el formulario. Rellénelo de nuevo.",
		notKept:      "No se puede guardar la contraseña. El registro dice por qué; remédielo y rellene de nuevo el formulario.",
		tooManyCodes: "Se han probado demasiados códigos equivocados. Espere un rato y pruebe otra vez.",
		wrongCode:    "Este no es el código de puesta en marcha. Está en el registro del programa desde que arrancó, una sola vez.",
		oldCode:      "Este código tiene más de un día y ya no vale. Arranque el programa de nuevo y mostrará otro.",
		noInstaller:  "El fichero de la instalación no deja instalar a este nombre. Use uno de estos: {names}.",
		twoPasswords: "Las dos contraseñas no son iguales. Escriba dos veces la misma.",
		setAlready:   "La primera contraseña se acaba de poner. Abra la página de nuevo.",
	},
	passwords: [...]string{
		passwordUntypeable: "La contraseña tiene algo que no se puede teclear; use letras, cifras, signos y espacios.",
		passwordShort:      "La contraseña tiene menos de 12 letras; elija una más larga, como cuatro palabras que nadie pondría juntas.",
		passwordLong:       "La contraseña tiene más de 72 bytes; elija una más corta.",
		passwordDull:       "La contraseña tiene menos de 6 letras distintas y se adivina pronto; elija otra.",
		passwordHasName:    "La contraseña contiene el nombre y se adivina pronto; elija otra.",
	},
}

// setupTextsFor are those in the language that the browser asks for (RFC 9110,
// 12.5.4); English where it asks for another.
func setupTextsFor(r *http.Request) *setupTexts {
	best, most := &setupEnglish, 0.0
	for wish := range strings.SplitSeq(r.Header.Get("Accept-Language"), ",") {
		tag, parameter, _ := strings.Cut(strings.TrimSpace(wish), ";")
		weight := 1.0
		if _, value, is := strings.Cut(parameter, "q="); is {
			weight, _ = strconv.ParseFloat(strings.TrimSpace(value), 64) // 0 for what can't be read
		}
		language, _, _ := strings.Cut(tag, "-")
		for _, t := range setupLanguages {
			if weight > most && strings.EqualFold(language, t.language) {
				best, most = t, weight
			}
		}
	}
	return best
}

// words are those of an error that the page tells.
func (t *setupTexts) words(err error) string {
	switch fault := err.(type) {
	case setupFault:
		return t.faults[fault]
	case passwordFault:
		return t.passwords[fault]
	}
	return t.faults[notKept]
}

// Error makes a fault an error; the page writes its words by [setupTexts.words].
func (f setupFault) Error() string { return setupEnglish.faults[f] }

// statusOf is that of the answer to a form.
func statusOf(err error) int {
	fault, is := err.(setupFault)
	if _, weak := err.(passwordFault); weak {
		return http.StatusUnprocessableEntity
	}
	if !is {
		return http.StatusInternalServerError
	}
	return [...]int{
		formUnread: http.StatusBadRequest, notKept: http.StatusInternalServerError, tooManyCodes: http.StatusTooManyRequests,
		wrongCode: http.StatusForbidden, oldCode: http.StatusForbidden, noInstaller: http.StatusUnprocessableEntity,
		twoPasswords: http.StatusUnprocessableEntity, setAlready: http.StatusConflict,
	}[fault]
}
