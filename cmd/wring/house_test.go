package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const (
	root   = "../.."
	module = "example.org/wring"

	maxFunc = 60  // lines
	maxFile = 400 // lines
)

// layer ranks the folders; an import may only go to a lower rank or stay inside.
var layer = map[string]int{"uncertainty": 0, "calib": 1, "registry": 2, "certs": 2, "cmd": 3}

// shelf ranks the packages inside a folder: one may import only what stands
// before it. A package that is not listed is a fault.
var shelf = []string{
	"uncertainty/unit", "uncertainty/stat", "uncertainty/formula", "uncertainty", "uncertainty/budgetfile", "uncertainty/conformity",
	"calib", "calib/starts", "calib/limits", "calib/ledger", "calib/presser", "calib/survey", "calib/length", "calib/history", "calib/assess", "calib/study", "calib/agreement", "calib/sheet", "calib/table", "calib/evidence",
	"registry/journal", "registry/store", "registry", "registry/exchange",
	"certs/plot", "certs", "certs/typeface", "certs/archive", "certs/code", "certs/pdf", "certs/text", "certs/svg", "certs/html",
	"cmd/internal/screen", "cmd/internal/ical", "cmd/internal/aside", "cmd/internal/inorder", "cmd/flags", "cmd/release", "cmd/bench", "cmd/wring",
}

// home names the only packages that may import a third-party module.
var home = map[string][]string{
	"github.com/urfave/cli":              {"cmd/wring"},
	"go.etcd.io/bbolt":                   {"registry/store"},
	"github.com/jung-kurt/gofpdf":        {"certs/pdf"},
	"golang.org/x/image":                 {"certs/typeface"},
	"github.com/boombuler/barcode":       {"certs/code"},
	"github.com/go-playground/validator": {"calib"},
	"github.com/pelletier/go-toml":       {"calib/sheet", "uncertainty/budgetfile"},
	"github.com/expr-lang/expr":          {"uncertainty/formula"},
	"gonum.org/v1/gonum":                 {"uncertainty", "uncertainty/stat"},
	"golang.org/x/term":                  {"cmd/wring"},
	"golang.org/x/sys":                   {"registry/store"},
}

var (
	topLevel = []string{".ci", ".git", ".gitignore", "DEVELOPERS.md", "LICENSE", "README.md",
		"calib", "certs", "cmd", "go.mod", "go.sum", "registry", "testdata", "uncertainty"}
	emptyNames = []string{"util", "utils", "common", "helper", "helpers", "model", "models",
		"misc", "shared", "types", "base", "core", "manager", "service"}
	process = []string{"os.Stdin", "os.Stdout", "os.Stderr", "os.Args", "os.Exit", "os.Getenv",
		"time.Now", "time.Local", "fmt.Print", "fmt.Println", "fmt.Printf", "log.Fatal", "log.Printf", "log.Println"}
	// "error" alone is a word of metrology; these say nothing with it.
	emptyWords = []string{"failed to", "error:", "an error", "error occurred", "invalid", "something went wrong", "unable to"}
)

// A source is one non-test Go file of the project.
type source struct {
	path string // slash path from the root
	set  *token.FileSet
	ast  *ast.File
}

func (s source) at(n ast.Node) string {
	return fmt.Sprintf("%s:%d", s.path, s.set.Position(n.Pos()).Line)
}

func (s source) lines(n ast.Node) int {
	return s.set.Position(n.End()).Line - s.set.Position(n.Pos()).Line + 1
}

// imports maps each name an import goes by in this file to its path.
func (s source) imports() map[string]string {
	m := map[string]string{}
	for _, imp := range s.ast.Imports {
		p, _ := strconv.Unquote(imp.Path.Value)
		name := path.Base(p)
		if imp.Name != nil {
			name = imp.Name.Name
		}
		m[name] = p
	}
	return m
}

func (s source) isMain() bool { return path.Base(s.path) == "main.go" }

// TestHouse holds the tree to the rules of DEVELOPERS.md, "House style".
func TestHouse(t *testing.T) {
	files := sources(t)
	for name, rule := range map[string]func(*testing.T, []source){
		"layers":    checkLayers,
		"names":     checkNames,
		"docs":      checkDocs,
		"globals":   checkGlobals,
		"process":   checkProcess,
		"sizes":     checkSizes,
		"errors":    checkErrors,
		"units":     checkUnits,
		"top level": func(t *testing.T, _ []source) { checkTopLevel(t) },
	} {
		t.Run(name, func(t *testing.T) { rule(t, files) })
	}
}

func sources(t *testing.T) (all []source) {
	t.Helper()
	set := token.NewFileSet()
	err := filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(p, ".go") || strings.HasSuffix(p, "_test.go") {
			return err
		}
		f, err := parser.ParseFile(set, p, nil, parser.ParseComments)
		if err != nil {
			return err
		}
		rel, _ := filepath.Rel(root, p)
		all = append(all, source{filepath.ToSlash(rel), set, f})
		return nil
	})
	if err != nil || len(all) < 5 {
		t.Fatalf("found %d files under %s: %v", len(all), root, err)
	}
	return all
}

func checkLayers(t *testing.T, files []source) {
	for _, s := range files {
		pkg := path.Dir(s.path)
		if !slices.Contains(shelf, pkg) {
			t.Errorf("%s: package %s has no place on the shelf", s.path, pkg)
		}
		for _, imp := range s.ast.Imports {
			p, _ := strconv.Unquote(imp.Path.Value)
			if to, ok := strings.CutPrefix(p, module+"/"); ok && !downhill(pkg, to) {
				t.Errorf("%s: %s may not import %s", s.at(imp), pkg, to)
			}
			for mod, at := range home {
				if (p == mod || strings.HasPrefix(p, mod+"/")) && !slices.Contains(at, pkg) {
					t.Errorf("%s: %s belongs to %v only", s.at(imp), mod, at)
				}
			}
		}
	}
}

// downhill reports whether one package may import another: from a higher
// folder, or inside a folder what stands before it on the shelf.
func downhill(from, to string) bool {
	a, _, _ := strings.Cut(from, "/")
	b, _, _ := strings.Cut(to, "/")
	if a != b {
		return layer[b] < layer[a]
	}
	return slices.Index(shelf, to) < slices.Index(shelf, from)
}

func checkNames(t *testing.T, files []source) {
	for _, s := range files {
		if slices.Contains(emptyNames, s.ast.Name.Name) {
			t.Errorf("%s: package name %q says nothing", s.path, s.ast.Name.Name)
		}
	}
}

func checkDocs(t *testing.T, files []source) {
	docs := map[string]string{}
	for _, s := range files {
		if s.ast.Name.Name != "main" {
			docs[path.Dir(s.path)] += s.ast.Doc.Text()
		}
	}
	for dir, text := range docs {
		for _, want := range []string{"It knows", "It refuses to know"} {
			if !strings.Contains(text, want) {
				t.Errorf("%s: package comment lacks a sentence %q", dir, want+" ...")
			}
		}
	}
}

func checkGlobals(t *testing.T, files []source) {
	for _, s := range files {
		for _, d := range s.ast.Decls {
			if f, ok := d.(*ast.FuncDecl); ok && f.Recv == nil && f.Name.Name == "init" {
				t.Errorf("%s: init runs before anyone asked for it", s.at(f))
			}
			g, ok := d.(*ast.GenDecl)
			if !ok || g.Tok != token.VAR || strings.HasSuffix(s.path, "_table.go") {
				continue
			}
			for _, sp := range g.Specs {
				v := sp.(*ast.ValueSpec)
				embedded := g.Doc != nil && strings.Contains(g.Doc.List[len(g.Doc.List)-1].Text, "go:embed")
				if n := v.Names[0].Name; n != "_" && !strings.HasPrefix(strings.ToLower(n), "err") && !embedded {
					t.Errorf("%s: package variable %s; pass it, or move a fixed table to *_table.go", s.at(v), n)
				}
			}
		}
	}
}

func checkProcess(t *testing.T, files []source) {
	for _, s := range files {
		if s.isMain() {
			continue
		}
		real := s.imports()
		ast.Inspect(s.ast, func(n ast.Node) bool {
			sel, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			if x, ok := sel.X.(*ast.Ident); ok && slices.Contains(process, real[x.Name]+"."+sel.Sel.Name) {
				t.Errorf("%s: %s.%s outside main.go; take it as an argument", s.at(sel), x.Name, sel.Sel.Name)
			}
			return true
		})
	}
}

func checkSizes(t *testing.T, files []source) {
	for _, s := range files {
		if n := s.lines(s.ast); n > maxFile && !strings.HasSuffix(s.path, "_table.go") {
			t.Errorf("%s: %d lines, want at most %d", s.path, n, maxFile)
		}
		for _, d := range s.ast.Decls {
			if f, ok := d.(*ast.FuncDecl); ok && s.lines(f) > maxFunc {
				t.Errorf("%s: %s has %d lines, want at most %d", s.at(f), f.Name.Name, s.lines(f), maxFunc)
			}
		}
	}
}

func checkErrors(t *testing.T, files []source) {
	for _, s := range files {
		ast.Inspect(s.ast, func(n ast.Node) bool {
			c, ok := n.(*ast.CallExpr)
			if !ok || len(c.Args) == 0 {
				return true
			}
			sel, ok := c.Fun.(*ast.SelectorExpr)
			lit, isLit := c.Args[0].(*ast.BasicLit)
			if !ok || !isLit || (sel.Sel.Name != "Errorf" && sel.Sel.Name != "New") {
				return true
			}
			for _, w := range emptyWords {
				if strings.Contains(strings.ToLower(lit.Value), w) {
					t.Errorf("%s: message %s says %q; say what was wanted and what was found", s.at(lit), lit.Value, w)
				}
			}
			return true
		})
	}
}

// checkUnits wants a comment on every exported floating-point field: its unit.
func checkUnits(t *testing.T, files []source) {
	for _, s := range files {
		ast.Inspect(s.ast, func(n ast.Node) bool {
			st, ok := n.(*ast.StructType)
			if !ok {
				return true
			}
			for _, f := range st.Fields.List {
				id, ok := f.Type.(*ast.Ident)
				if ok && id.Name == "float64" && len(f.Names) > 0 && f.Names[0].IsExported() && f.Doc == nil && f.Comment == nil {
					t.Errorf("%s: field %s has no comment naming its unit", s.at(f), f.Names[0].Name)
				}
			}
			return true
		})
	}
}

func checkTopLevel(t *testing.T) {
	list, err := os.ReadDir(root)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range list {
		if !slices.Contains(topLevel, e.Name()) {
			t.Errorf("%s does not belong at the top level", e.Name())
		}
	}
}
