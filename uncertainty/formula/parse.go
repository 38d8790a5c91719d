package formula

import (
	"fmt"
	"slices"
	"strings"

	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/file"
	"github.com/expr-lang/expr/parser"
)

// longest and deepest bound a formula: no measurement model is longer, and each step costs time in every trial (house rule).
const (
	longest = 4000 // bytes
	deepest = 200  // numbers waiting on the stack
)

// A SyntaxError says what in a formula cannot be used.
type SyntaxError struct {
	Column int    // 1-based, in runes; 0 when the whole text is meant
	Found  string // what stands there
	Want   string // what would do
}

func (e *SyntaxError) Error() string {
	if e.Column == 0 {
		return fmt.Sprintf("model: %s; %s", e.Found, e.Want)
	}
	return fmt.Sprintf("model: column %d: %s; %s", e.Column, e.Found, e.Want)
}

// A Formula is a model ready to be computed. It is never changed, and may be used by several goroutines.
type Formula struct {
	text  string
	names []string
	steps []step
	depth int // numbers that wait on the stack at most
}

// A step works on a stack of numbers.
type step struct {
	op     op
	value  float64 // of push
	index  int     // of load and call
	column int     // where it stands in the text, 1-based
}

type op int

const (
	push op = iota // a constant
	load           // a named quantity
	negate
	add
	subtract
	multiply
	divide
	power
	call // a function of one number
)

// Parse reads a formula over the given names. Names must be usable in a formula, differ, and not be those of
// functions and constants; a name that the formula does not mention does no harm.
func Parse(text string, names []string) (*Formula, error) {
	if len(text) > longest {
		return nil, &SyntaxError{0, fmt.Sprintf("%d bytes", len(text)), fmt.Sprintf("want at most %d", longest)}
	}
	if strings.TrimSpace(text) == "" {
		return nil, &SyntaxError{0, "nothing", "want a formula over the names of the inputs"}
	}
	for i, name := range names {
		if err := checkName(name, names[:i]); err != nil {
			return nil, err
		}
	}
	tree, err := parser.Parse(text)
	if err != nil {
		return nil, translated(err)
	}
	f := &Formula{text: text, names: slices.Clone(names)}
	if err := f.compile(tree.Node, 1); err != nil {
		return nil, err
	}
	return f, nil
}

// String returns the text as given.
func (f *Formula) String() string { return f.text }

// Names returns the names the formula was read with, in their order.
func (f *Formula) Names() []string { return slices.Clone(f.names) }

// Functions returns the names of the functions and constants a formula may use.
func Functions() []string {
	var all []string
	for _, f := range functions {
		all = append(all, f.name)
	}
	for name := range constants {
		all = append(all, name)
	}
	return all
}

// checkName wants a name that the parser reads as one, and that has no other meaning.
func checkName(name string, before []string) error {
	if slices.Contains(before, name) {
		return &SyntaxError{0, fmt.Sprintf("name %q given twice", name), "want names that differ"}
	}
	if slices.Contains(Functions(), name) {
		return &SyntaxError{0, fmt.Sprintf("name %q is that of a function or constant", name), "want another name"}
	}
	tree, err := parser.Parse(name)
	if err == nil {
		if id, ok := tree.Node.(*ast.IdentifierNode); ok && id.Value == name {
			return nil
		}
	}
	return &SyntaxError{0, fmt.Sprintf("name %q cannot stand in a formula", name), "want a letter, then letters, digits or _"}
}

// translated puts the parser's own complaint into one line.
func translated(err error) error {
	e, ok := err.(*file.Error)
	if !ok {
		return &SyntaxError{0, "not a formula", "want numbers, names, + - * / ^, brackets and functions"}
	}
	return &SyntaxError{e.Column + 1, strings.Join(strings.Fields(e.Message), " "), "want numbers, names, + - * / ^, brackets and functions"}
}

// compile appends the steps of a node; depth counts the numbers on the stack once it is done.
func (f *Formula) compile(n ast.Node, depth int) error {
	column := n.Location().From + 1
	if f.depth = max(f.depth, depth); depth > deepest {
		return &SyntaxError{column, fmt.Sprintf("more than %d brackets or operations inside each other", deepest), "want a flatter formula"}
	}
	switch n := n.(type) {
	case *ast.IntegerNode:
		f.steps = append(f.steps, step{op: push, value: float64(n.Value), column: column})
	case *ast.FloatNode:
		f.steps = append(f.steps, step{op: push, value: n.Value, column: column})
	case *ast.IdentifierNode:
		return f.name(n.Value, column)
	case *ast.UnaryNode:
		return f.unary(n, column, depth)
	case *ast.BinaryNode:
		return f.binary(n, column, depth)
	case *ast.CallNode:
		id, ok := n.Callee.(*ast.IdentifierNode)
		if !ok {
			return notAllowed(column)
		}
		return f.call(id.Value, n.Arguments, column, depth)
	case *ast.BuiltinNode:
		return f.call(n.Name, n.Arguments, column, depth)
	default:
		return notAllowed(column)
	}
	return nil
}

func (f *Formula) name(name string, column int) error {
	if i := slices.Index(f.names, name); i >= 0 {
		f.steps = append(f.steps, step{op: load, index: i, column: column})
		return nil
	}
	if v, ok := constants[name]; ok {
		f.steps = append(f.steps, step{op: push, value: v, column: column})
		return nil
	}
	return &SyntaxError{column, fmt.Sprintf("unknown name %q", name), fmt.Sprintf("want a name of an input: %s", list(f.names))}
}

func (f *Formula) unary(n *ast.UnaryNode, column, depth int) error {
	if n.Operator != "-" && n.Operator != "+" {
		return notAllowed(column)
	}
	if err := f.compile(n.Node, depth); err != nil {
		return err
	}
	if n.Operator == "-" {
		f.steps = append(f.steps, step{op: negate, column: column})
	}
	return nil
}

func (f *Formula) binary(n *ast.BinaryNode, column, depth int) error {
	operators := map[string]op{"+": add, "-": subtract, "*": multiply, "/": divide, "^": power, "**": power}
	o, ok := operators[n.Operator]
	if !ok {
		return &SyntaxError{column, fmt.Sprintf("operator %q", n.Operator), "want + - * / or ^"}
	}
	if err := f.compile(n.Left, depth); err != nil {
		return err
	}
	if err := f.compile(n.Right, depth+1); err != nil {
		return err
	}
	f.steps = append(f.steps, step{op: o, column: column})
	return nil
}

func (f *Formula) call(name string, arguments []ast.Node, column, depth int) error {
	i := slices.IndexFunc(functions, func(g function) bool { return g.name == name })
	if i < 0 {
		return &SyntaxError{column, fmt.Sprintf("unknown function %q", name), fmt.Sprintf("want one of %s", list(Functions()))}
	}
	if len(arguments) != 1 {
		return &SyntaxError{column, fmt.Sprintf("%s of %d numbers", name, len(arguments)), "want one"}
	}
	if err := f.compile(arguments[0], depth); err != nil {
		return err
	}
	f.steps = append(f.steps, step{op: call, index: i, column: column})
	return nil
}

func notAllowed(column int) error {
	return &SyntaxError{column, "something that is no arithmetic", "want numbers, names, + - * / ^, brackets and functions"}
}

// list names at most a dozen.
func list(names []string) string {
	if len(names) > 12 {
		return strings.Join(names[:12], ", ") + ", ..."
	}
	return strings.Join(names, ", ")
}
