package manual

import (
	"fmt"
	"strings"

	"github.com/spf13/pflag"

	"sunstoker/cmd/line"
)

// page is a manual page as the macros called "man" set it.
func page(app *line.Command, edition Edition) string {
	p := &roff{}
	// The macros read the day, which must stand as it is.
	fmt.Fprintf(&p.out, ".TH %s 1 %s \"%s\"\n", escaped(strings.ToUpper(app.Name())), edition.Day, escaped(app.Name()+" "+edition.Version))
	p.macro("SH", "NAME")
	p.text(app.Name() + " - " + lowerFirst(strings.TrimSuffix(app.Short, ".")))
	p.macro("SH", "SYNOPSIS")
	p.macro("B", app.Name())
	p.text("<command> [flags]")
	p.macro("SH", "DESCRIPTION")
	p.text(app.Short)
	p.macro("SH", "COMMANDS")
	for n := range app.All() {
		if n.Leaf() {
			p.command(n)
		}
	}
	p.macro("SH", "FLAGS OF EVERY COMMAND")
	app.PersistentFlags().VisitAll(func(f *pflag.Flag) { p.item("-"+f.Shorthand+", --"+f.Name, f.Usage) })
	p.macro("SH", "EXIT STATUS")
	p.item("0", "What was asked for is done.")
	p.item("1", "It could not be done, or a site file has mistakes.")
	p.item("2", "The command line was not understood.")
	for _, s := range edition.Sections {
		p.macro("SH", strings.ToUpper(s.Title))
		if s.Text != "" {
			p.text(s.Text)
		}
		for _, i := range s.Items {
			p.item(i.Word, i.Meaning)
		}
	}
	return p.out.String()
}

// roff is a page that grows.
type roff struct{ out strings.Builder }

// macro writes a line that the macros read.
func (p *roff) macro(name string, arguments ...string) {
	p.out.WriteString("." + name)
	for _, a := range arguments {
		p.out.WriteString(` "` + escaped(a) + `"`)
	}
	p.out.WriteString("\n")
}

// textWidth is where lines of the page's source are broken; man breaks them anew.
const textWidth = 78

// text writes running text.
func (p *roff) text(text string) {
	line := ""
	for word := range strings.FieldsSeq(text) {
		word = escaped(word)
		switch {
		case line == "" && strings.HasPrefix(word, "."):
			line = `\&` + word // else it would be read as a macro
		case line == "":
			line = word
		case len(line)+1+len(word) > textWidth:
			p.out.WriteString(line + "\n")
			line = word
		default:
			line += " " + word
		}
	}
	p.out.WriteString(line + "\n")
}

// item writes a word with what it means.
func (p *roff) item(word, meaning string) {
	p.macro("TP")
	p.macro("B", word)
	p.text(meaning)
}

func (p *roff) command(n *line.Command) {
	p.macro("SS", n.Usage())
	p.text(n.Short)
	for _, a := range n.Arguments {
		p.item(a.AsArgument(), a.Help+allowed(a))
	}
	n.OwnFlags().VisitAll(func(f *pflag.Flag) {
		v := f.Value.(*line.Value)
		p.item("--"+f.Name+v.Behind(), f.Usage+allowed(v)+usually(f))
	})
}

// allowed is the sentence on the choices that a value has.
func allowed(v *line.Value) string {
	if len(v.Choices) == 0 {
		return ""
	}
	return " One of: " + strings.Join(v.Choices, ", ") + "."
}

// usually is the sentence on a flag's default.
func usually(f *pflag.Flag) string {
	if f.DefValue == "" {
		return ""
	}
	return " " + f.DefValue + " when not given."
}

// escaped keeps what is written from being read as an order to the typesetter.
func escaped(text string) string {
	var out strings.Builder
	for _, r := range text {
		switch {
		case r == '\\':
			out.WriteString(`\e`)
		case r == '-':
			out.WriteString(`\-`) // a minus sign, that can be copied into a shell
		case r == '"':
			out.WriteString(`\(dq`)
		case r == '\'':
			out.WriteString(`\(aq`)
		case r == '^':
			out.WriteString(`\(ha`)
		case r == '~':
			out.WriteString(`\(ti`)
		case r == '`':
			out.WriteString(`\(ga`)
		case r > '~':
			fmt.Fprintf(&out, `\[u%04X]`, r)
		default:
			out.WriteRune(r)
		}
	}
	return out.String()
}

func lowerFirst(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToLower(text[:1]) + text[1:]
}
