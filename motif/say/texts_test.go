package say

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// sentence is a text of the source tree with the values it is given.
type sentence struct {
	at     token.Position
	forms  []string // one, or the two of Many
	values []ast.Expr
	open   bool // the last value is a list of values
}

// key is what a language's table has a text for.
func (s sentence) key() string { return strings.Join(s.forms, formsApart) }

// Every text in the source has a verb for each value it is given, and both
// forms of a number agree. With -v it lists all texts: what another language
// has to have.
func TestTextsTakeTheirValues(t *testing.T) {
	all := textsUnder(t, "../..")
	keys := map[string]bool{}
	for _, s := range all {
		for _, fault := range s.faults() {
			t.Errorf("%s: %q: %s", s.at, s.key(), fault)
		}
		keys[s.key()] = true
	}
	if len(keys) < 50 {
		t.Errorf("%d texts found: the calls are looked for under other names than they have", len(keys))
	}
	list := make([]string, 0, len(keys))
	for k := range keys {
		list = append(list, k)
	}
	slices.Sort(list)
	t.Logf("%d texts:\n%s", len(list), strings.Join(list, "\n"))
}

// The check itself finds what it is there for.
func TestTextFaultsAreFound(t *testing.T) {
	const head = "package p\nfunc f() {\n"
	for call, sound := range map[string]bool{
		`say.New("%s and %d", a, 1)`:                         true,
		`say.New("100 %")`:                                   true,
		`say.New("%s and %s", a)`:                            false,
		`say.New("%s", a, b)`:                                false,
		`say.New("%d", geom.Length(3))`:                      false,
		`say.Errorf("%s: %w", a, err)`:                       false,
		`say.New("%s", list...)`:                             true,
		`say.Many(n, "%d sheet", "%d sheets")`:               true,
		`say.Many(n, "one sheet", "%d sheets")`:              true,
		`say.Many(n, "one of %[2]s", "%d of %s", a)`:         true,
		`say.Many(n, "one of %s", "%d of %s", a)`:            false,
		`say.Many(n, "%d sheet", "%d sheets of %s", a)`:      false,
		`say.Many(n, "%d sheet", "sheets")`:                  false,
		`say.Many(n, "%d|sheet", "%d sheets")`:               false,
		`p.Say("%s", a)`:                                     true,
		`p.Say("%s")`:                                        true, // no value: no format
		`p.Many(n, "%d sheet", "%d sheets of %s", a, b)`:     false,
		`say.New("a" + "b %s", a)`:                           true,
		`say.New("%s at %s", geom.Length(3), say.Fine(0.1))`: true,
	} {
		files := token.NewFileSet()
		file, err := parser.ParseFile(files, "p.go", head+call+"\n}", 0)
		if err != nil {
			t.Fatal(err)
		}
		var faults []string
		found := textsIn(files, file)
		for _, s := range found {
			faults = append(faults, s.faults()...)
		}
		if len(found) != 1 || (len(faults) == 0) != sound {
			t.Errorf("%s: %d texts, faults %q", call, len(found), faults)
		}
	}
}

// faults says what is wrong with a text and its values.
func (s sentence) faults() (out []string) {
	if s.open || len(s.values) == 0 {
		return nil // values not known here, or no format
	}
	more := s.forms[len(s.forms)-1]
	want, ok := verbs(more, len(s.values))
	if !ok || len(want) != len(s.values) {
		out = append(out, fmt.Sprintf("%q does not take %d values", more, len(s.values)))
	}
	if len(s.forms) == 2 {
		one := s.forms[0]
		bare := len(s.values) == 1 && !strings.Contains(one, "%")
		if !bare && !takes(one, more, len(s.values), true) {
			out = append(out, "the form of one does not take the same values")
		}
		if strings.Contains(s.forms[0]+s.forms[1], formsApart) {
			out = append(out, "a form holds a bar")
		}
	}
	for i, v := range s.values {
		call, ok := v.(*ast.CallExpr)
		if !ok {
			continue
		}
		of, ok := call.Fun.(*ast.SelectorExpr)
		if !ok {
			continue
		}
		name := of.Sel.Name
		if verb := want[i+1]; slices.Contains([]string{"Length", "Fine", "New", "Many", "Words", "Errorf"}, name) && verb != 's' {
			out = append(out, fmt.Sprintf("%s takes %%s, not %%%c", name, verb))
		}
	}
	return out
}

// textsUnder returns the texts of all Go files under root but its tests.
func textsUnder(t *testing.T, root string) (all []sentence) {
	files := token.NewFileSet()
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && strings.HasPrefix(d.Name(), ".") && path != root:
			return filepath.SkipDir
		case !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go"):
			return nil
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		file, err := parser.ParseFile(files, path, data, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		all = append(all, textsIn(files, file)...)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// textsIn returns the texts of one file: the literal ones in calls of New,
// Errorf, Say and Many, and of the functions by which packages make messages of
// their own.
func textsIn(files *token.FileSet, file *ast.File) (all []sentence) {
	ast.Inspect(file, func(n ast.Node) bool {
		call, ok := n.(*ast.CallExpr)
		if !ok {
			return true
		}
		name, from := called(call.Fun)
		first, forms := 0, 1
		switch {
		case name == "New" && (from == "say" || from == "" && file.Name.Name == "say"), name == "Errorf" && (from == "say" || from == "" && file.Name.Name == "say"):
		case slices.Contains([]string{"Say", "note", "lengthError", "faultf", "refused", "cannot"}, name):
		case name == "tell" && len(call.Args) > 2:
			first = 2
		case name == "Many":
			first, forms = 1, 2
		default:
			return true
		}
		if len(call.Args) < first+forms {
			return true
		}
		s := sentence{at: files.Position(call.Pos()), open: call.Ellipsis.IsValid()}
		for _, arg := range call.Args[first : first+forms] {
			text, ok := literal(arg)
			if !ok {
				return true
			}
			s.forms = append(s.forms, text)
		}
		if forms == 2 {
			s.values = append(s.values, call.Args[0])
		}
		s.values = append(s.values, call.Args[first+forms:]...)
		all = append(all, s)
		return true
	})
	return all
}

// called returns the name of a called function and what stands before its dot.
func called(f ast.Expr) (name, from string) {
	switch f := f.(type) {
	case *ast.Ident:
		return f.Name, ""
	case *ast.SelectorExpr:
		if x, ok := f.X.(*ast.Ident); ok {
			return f.Sel.Name, x.Name
		}
		return f.Sel.Name, "."
	}
	return "", ""
}

// literal returns the text of a string literal, or of several joined by +.
func literal(e ast.Expr) (string, bool) {
	switch e := e.(type) {
	case *ast.BasicLit:
		text, err := strconv.Unquote(e.Value)
		return text, err == nil && e.Kind == token.STRING
	case *ast.BinaryExpr:
		a, ok := literal(e.X)
		b, ok2 := literal(e.Y)
		return a + b, ok && ok2 && e.Op == token.ADD
	}
	return "", false
}
