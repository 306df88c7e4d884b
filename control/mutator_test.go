//go:build mutants

package control

import (
	"fmt"
	"go/ast"
	"go/constant"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// Environment variables of the program that holds the mutants: which one is
// alive, and the file into which it writes which ones its tests came by.
const (
	mutantVariable  = "SUNSTOKER_MUTANT"
	reachedVariable = "SUNSTOKER_MUTANTS_REACHED"
)

// mutant is one thing broken in one place.
type mutant struct {
	ID   int
	Pair int // number that the program knows its place by: its own, or the one before
	File string
	At   int    // line
	Line string // its text
	What string // what was done to it
}

func (m mutant) String() string { return fmt.Sprintf("%s:%d: %s: %s", m.File, m.At, m.What, m.Line) }

// mutator rewrites source text: every place that can be broken becomes a call
// that knows whether its mutant is alive.
type mutator struct {
	set     *token.FileSet
	info    *types.Info
	files   []*sourceFile
	mutants []mutant
}

type sourceFile struct {
	path string
	text string
	tree *ast.File
}

func newMutator() *mutator {
	return &mutator{set: token.NewFileSet(), info: &types.Info{
		Types: map[ast.Expr]types.TypeAndValue{}, Uses: map[*ast.Ident]types.Object{}, Defs: map[*ast.Ident]types.Object{},
	}}
}

// load reads and types a package's files.
func (m *mutator) load(folder string) error {
	names, err := filepath.Glob(filepath.Join(folder, "*.go"))
	if err != nil {
		return err
	}
	slices.Sort(names)
	var trees []*ast.File
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		path, err := filepath.Abs(name)
		if err != nil {
			return err
		}
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		tree, err := parser.ParseFile(m.set, path, text, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		m.files = append(m.files, &sourceFile{path, string(text), tree})
		trees = append(trees, tree)
	}
	config := types.Config{Importer: importer.ForCompiler(m.set, "source", nil)}
	_, err = config.Check("sunstoker/control", m.set, trees, m.info)
	return err
}

// mutated gives the text of a file with its mutants built in.
func (m *mutator) mutated(f *sourceFile) []byte {
	w := &rewriter{m: m, f: f}
	w.node(f.tree)
	w.copyTo(token.Pos(m.set.File(f.tree.Pos()).Base() + len(f.text)))
	return []byte(w.out.String())
}

// rewriter walks one file and copies its text, with changes.
type rewriter struct {
	m    *mutator
	f    *sourceFile
	out  strings.Builder
	done int // offset up to which the text is copied
}

func (w *rewriter) offset(p token.Pos) int { return w.m.set.Position(p).Offset }

func (w *rewriter) copyTo(p token.Pos) {
	to := int(p) - w.m.set.File(w.f.tree.Pos()).Base()
	w.out.WriteString(w.f.text[w.done:to])
	w.done = to
}

// add makes a mutant of the place and gives its number.
func (w *rewriter) add(n ast.Node, what string) int {
	at := w.m.set.Position(n.Pos())
	id := len(w.m.mutants) + 1
	line := strings.TrimSpace(strings.Split(w.f.text, "\n")[at.Line-1])
	w.m.mutants = append(w.m.mutants, mutant{id, id, filepath.Base(w.f.path), at.Line, line, what})
	return id
}

// node copies a node, with its mutants.
func (w *rewriter) node(n ast.Node) {
	ast.Inspect(n, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.GenDecl:
			return n.Tok != token.CONST && n.Tok != token.IMPORT && n.Tok != token.TYPE
		case *ast.ArrayType, *ast.FuncType, *ast.Field, *ast.BasicLit:
			return n == nil
		case *ast.CompositeLit:
			w.composite(n)
			return false
		case *ast.IndexExpr:
			w.node(n.X)
			return false // a wrong index is no mutant, it is a crash
		case *ast.CallExpr:
			return !w.conversionToCode(n)
		case *ast.BinaryExpr:
			return !w.binary(n)
		case ast.Expr:
			return !w.figure(n)
		}
		return true
	})
}

// composite keeps types and keys as they are.
func (w *rewriter) composite(n *ast.CompositeLit) {
	for _, e := range n.Elts {
		if pair, ok := e.(*ast.KeyValueExpr); ok {
			e = pair.Value
		}
		if !w.expression(e) {
			w.node(e)
		}
	}
}

// expression mutates a node that is itself a figure or comparison.
func (w *rewriter) expression(e ast.Expr) bool {
	if b, ok := e.(*ast.BinaryExpr); ok && w.binary(b) {
		return true
	}
	return w.figure(e)
}

// conversionToCode passes over calls whose figures mean no quantity: sentences
// carry only their words.
func (w *rewriter) conversionToCode(n *ast.CallExpr) bool {
	name, ok := n.Fun.(*ast.Ident)
	return ok && (name.Name == "because" || name.Name == "panic")
}

// borders are what a comparison is shifted and turned round to.
var borders = map[token.Token][2]string{
	token.LSS: {"<=", ">="}, token.LEQ: {"<", ">"}, token.GTR: {">=", "<="}, token.GEQ: {">", "<"},
	token.EQL: {"", "!="}, token.NEQ: {"", "=="},
}

func (w *rewriter) binary(n *ast.BinaryExpr) bool {
	if w.m.info.Types[n].Value != nil {
		return false // constant as a whole
	}
	switch n.Op {
	case token.LAND, token.LOR:
		w.connective(n)
		return true
	case token.LSS, token.LEQ, token.GTR, token.GEQ, token.EQL, token.NEQ:
		if isNil(n.X) || isNil(n.Y) || w.text(n.X) || w.text(n.Y) {
			return false
		}
		w.comparison(n)
		return true
	}
	return false
}

func isNil(e ast.Expr) bool {
	name, ok := e.(*ast.Ident)
	return ok && name.Name == "nil"
}

// text tells whether an expression is a string.
func (w *rewriter) text(e ast.Expr) bool {
	basic, ok := w.m.info.Types[e].Type.Underlying().(*types.Basic)
	return ok && basic.Info()&types.IsString != 0
}

// comparison writes mutantLSS(id, x, y) for x < y; the mutants id and id+1 are
// its shifted and its turned forms.
func (w *rewriter) comparison(n *ast.BinaryExpr) {
	forms := borders[n.Op]
	id := 0
	for _, form := range forms {
		if form != "" {
			at := w.add(n, n.Op.String()+" to "+form)
			if id == 0 {
				id = at
			}
			w.m.mutants[at-1].Pair = id
		}
	}
	w.copyTo(n.Pos())
	fmt.Fprintf(&w.out, "mutant%s(%d, ", operatorNames[n.Op], id)
	w.whole(n.X)
	w.out.WriteString(", ")
	w.done = w.offset(n.Y.Pos())
	w.whole(n.Y)
	w.out.WriteString(")")
}

var operatorNames = map[token.Token]string{
	token.LSS: "Less", token.LEQ: "AtMost", token.GTR: "More", token.GEQ: "AtLeast", token.EQL: "Same", token.NEQ: "Other",
}

// connective writes both forms of an and or an or, one for each life.
func (w *rewriter) connective(n *ast.BinaryExpr) {
	other := "&&"
	if n.Op == token.LAND {
		other = "||"
	}
	id := w.add(n, n.Op.String()+" to "+other)
	w.copyTo(n.Pos())
	before := w.out.String()
	w.out.Reset()
	w.whole(n.X)
	x := w.out.String()
	w.out.Reset()
	w.done = w.offset(n.Y.Pos())
	w.whole(n.Y)
	y := w.out.String()
	w.out.Reset()
	w.out.WriteString(before)
	fmt.Fprintf(&w.out, "(!mutantIs(%d) && ((%s) %s (%s)) || mutantAlive == %d && ((%s) %s (%s)))", id, x, n.Op, y, id, x, other, y)
}

// whole copies an expression with its mutants, to its end.
func (w *rewriter) whole(e ast.Expr) {
	if !w.expression(e) {
		w.node(e)
	}
	w.copyTo(e.End())
}

// figure writes mutantFigure(id, T(x)) for a constant quantity x of type T.
func (w *rewriter) figure(e ast.Expr) bool {
	tv, ok := w.m.info.Types[e]
	if !ok || tv.Value == nil || !tv.IsValue() {
		return false
	}
	kind := w.quantity(tv)
	if kind == "" {
		return tv.Value != nil && tv.Value.Kind() != constant.Unknown && isOperation(e)
	}
	if constant.Sign(tv.Value) == 0 {
		id := w.add(e, "1 instead of 0")
		w.copyTo(e.Pos())
		fmt.Fprintf(&w.out, "mutantZero[%s](%d)", kind, id)
		w.done = w.offset(e.End())
		return true
	}
	id := w.add(e, "half of "+w.f.text[w.offset(e.Pos()):w.offset(e.End())])
	second := w.add(e, "half as much again as "+w.f.text[w.offset(e.Pos()):w.offset(e.End())])
	w.m.mutants[second-1].Pair = id
	w.copyTo(e.Pos())
	fmt.Fprintf(&w.out, "mutantFigure(%d, %s(", id, kind)
	w.copyTo(e.End())
	w.out.WriteString("))")
	return true
}

func isOperation(e ast.Expr) bool { _, ok := e.(*ast.BinaryExpr); return ok }

// quantity gives the type of a constant that measures something; numbers that
// name something, such as places and words, do not.
func (w *rewriter) quantity(tv types.TypeAndValue) string {
	if named, ok := tv.Type.(*types.Named); ok {
		if named.Obj().Name() == "Duration" {
			return "mutantDuration"
		}
		return ""
	}
	basic, ok := tv.Type.(*types.Basic)
	if !ok || basic.Info()&types.IsNumeric == 0 || basic.Info()&types.IsUntyped != 0 {
		return ""
	}
	return basic.Name()
}

// mutantSwitch is the source that knows which mutant is alive, and which ones
// were come by.
const mutantSwitch = `package control

import (
	"cmp"
	"os"
	"strconv"
	"time"
)

type mutantDuration = time.Duration

var mutantAlive = func() int { id, _ := strconv.Atoi(os.Getenv("` + mutantVariable + `")); return id }()

var mutantReached = func() []bool {
	if os.Getenv("` + reachedVariable + `") == "" {
		return nil
	}
	return make([]bool, 100_000)
}()

func mutantPassed(id int) {
	if mutantReached != nil {
		mutantReached[id] = true
	}
}

func mutantIs(id int) bool {
	mutantPassed(id)
	return mutantAlive == id
}

func mutantLess[T cmp.Ordered](id int, a, b T) bool {
	mutantPassed(id)
	switch mutantAlive {
	case id:
		return a <= b
	case id + 1:
		return a >= b
	}
	return a < b
}

func mutantAtMost[T cmp.Ordered](id int, a, b T) bool {
	mutantPassed(id)
	switch mutantAlive {
	case id:
		return a < b
	case id + 1:
		return a > b
	}
	return a <= b
}

func mutantMore[T cmp.Ordered](id int, a, b T) bool {
	mutantPassed(id)
	switch mutantAlive {
	case id:
		return a >= b
	case id + 1:
		return a <= b
	}
	return a > b
}

func mutantAtLeast[T cmp.Ordered](id int, a, b T) bool {
	mutantPassed(id)
	switch mutantAlive {
	case id:
		return a > b
	case id + 1:
		return a < b
	}
	return a >= b
}

func mutantSame[T comparable](id int, a, b T) bool  { return (a == b) != mutantIs(id) }
func mutantOther[T comparable](id int, a, b T) bool { return (a != b) != mutantIs(id) }

// mutantZero is 0, or 1 in its unit: a nanosecond would change nothing.
func mutantZero[T mutantNumber](id int) (x T) {
	if !mutantIs(id) {
		return x
	}
	if _, is := any(x).(time.Duration); is {
		seconds := int64(time.Second)
		return T(seconds)
	}
	return x + 1
}

type mutantNumber interface {
	~int | ~int8 | ~int16 | ~int32 | ~int64 | ~uint | ~uint8 | ~uint16 | ~uint32 | ~uint64 | ~float32 | ~float64
}

func mutantFigure[T mutantNumber](id int, x T) T {
	mutantPassed(id)
	switch {
	case mutantAlive == id:
		return x / 2
	case mutantAlive == id+1 && x+x/2 == x:
		return x + 1
	case mutantAlive == id+1:
		return x + x/2
	}
	return x
}
`

// mutantMain runs the tests and writes down which mutants they came by; a
// mutant's second form is reached with its first.
const mutantMain = `package control

import (
	"os"
	"strconv"
	"strings"
	"syscall"
	"testing"
)

func TestMain(m *testing.M) {
	// A mutant that does not end counts by the work it does, not by the clock of a
	// machine that may be busy.
	limit := syscall.Rlimit{Cur: 20, Max: 20}
	if err := syscall.Setrlimit(syscall.RLIMIT_CPU, &limit); err != nil {
		panic(err)
	}
	code := m.Run()
	if path := os.Getenv("` + reachedVariable + `"); path != "" {
		var ids []string
		for id, reached := range mutantReached {
			if reached {
				ids = append(ids, strconv.Itoa(id))
			}
		}
		if err := os.WriteFile(path, []byte(strings.Join(ids, " ")), 0o644); err != nil {
			panic(err)
		}
	}
	os.Exit(code)
}
`
