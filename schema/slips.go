package schema

import (
	"fmt"
	"regexp"
	"strings"

	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/errors"
	"cuelang.org/go/cue/scanner"
	"cuelang.org/go/cue/token"
)

// slips explains the errors in the syntax of one file: each line has one sentence, and what only follows from an error above has none.
func (x *explainer) slips(errs []errors.Error) {
	unclosed := false
	for _, e := range errs {
		unclosed = unclosed || strings.Contains(message(e), "not terminated")
	}
	lines := map[int]bool{}
	for i, e := range errs {
		at := x.places.of(e.Position())
		text := message(e)
		atEnd := strings.Contains(text, "'EOF'") || i > 0 && at.Line >= len(x.places.lines[e.Position().Filename()])-1
		switch {
		case lines[at.Line], atEnd && i > 0, unclosed && !strings.Contains(text, "not terminated"):
			continue
		case atEnd:
			if brace, ok := x.openBrace(e.Position().Filename()); ok {
				at, text = brace, "this brace or bracket is not closed: add its `}` or `]`"
			}
		default:
			if slip := slipIn(x.places.line(e.Position()), e.Position().Column()-1, text); slip != "" {
				text = slip
				lines[at.Line+1] = true
			}
		}
		lines[at.Line] = true
		x.say(at, at.String()+" "+text, message(e), "%s", text)
	}
}

// oddities looks for what is good syntax and never meant: a number that a decimal comma left alone, and `=` where a colon belongs.
func (x *explainer) oddities() {
	for _, f := range x.labels.files {
		ast.Walk(f, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.Alias:
				if name := n.Ident.Name; isUnit(name) {
					x.oddity(n.Pos(), "`%s` is followed by `=`: a field's name and its value are parted by a colon", name)
				}
			case *ast.StructLit:
				x.strayNumbers(n.Elts)
			case *ast.File:
				x.strayNumbers(n.Decls)
			}
			return true
		}, nil)
	}
}

func (x *explainer) strayNumbers(decls []ast.Decl) {
	for i, d := range decls {
		e, ok := d.(*ast.EmbedDecl)
		if !ok || i == 0 {
			continue
		}
		if _, number, _, isNumber := literalIn(e.Expr); isNumber {
			x.oddity(e.Pos(), "the number %s belongs to no field: decimals are written with a point, as in 65.38", number)
		}
	}
}

func (x *explainer) oddity(pos token.Pos, format string, args ...any) {
	at := x.places.of(pos)
	x.say(at, at.String(), "", format, args...)
}

func message(e errors.Error) string {
	format, args := e.Msg()
	return strings.TrimSpace(fmt.Sprintf(format, args...))
}

var (
	numberAsName = regexp.MustCompile(`(^|[{,\s])([0-9]+):`)
	spacedName   = regexp.MustCompile(`(^|[{,]|:)\s*([A-Za-z]+ [A-Za-z]+):`)
)

// slipIn says which common slip a line has at or near a column, from 0; "" for none that is known.
func slipIn(line string, column int, message string) string {
	here, before := "", line
	if column >= 0 && column <= len(line) {
		here, before = line[column:], line[:column]
	}
	remark := strings.TrimSpace(line)
	switch {
	case strings.Contains(message, "not terminated"):
		return "a text is opened and not closed: add the `\"` at its end"
	case strings.ContainsAny(message, "“”„‘’«»"):
		return "a text stands between straight quotes (`\"`), not typographic ones"
	case strings.HasPrefix(remark, "# ") || strings.HasPrefix(remark, "/ "):
		return "a remark begins with `//`"
	case strings.HasPrefix(here, ";"):
		return "fields on one line are parted by a comma, not `;`"
	}
	if m := numberAsName.FindStringSubmatch(line); m != nil && strings.Contains(before, m[2]) {
		return "a name that is a number stands in quotes: `\"" + m[2] + "\":`"
	}
	if strings.HasPrefix(here, "{") && strings.HasPrefix(message, "missing ','") {
		return "a definition and the braces behind it are joined by `&`, as in `schema.#Gauge & {…}`"
	}
	if m := spacedName.FindStringSubmatch(line); m != nil && strings.HasPrefix(message, "missing ','") {
		return "a name with a space in it stands in quotes: `\"" + m[2] + "\":`"
	}
	return ""
}

// openBrace finds the brace or bracket of a file that most likely lacks its partner: the last one opened on a line that is closed on a
// line indented otherwise, or never.
func (x *explainer) openBrace(file string) (Place, bool) {
	text := x.places.text(file)
	type opened struct {
		pos    token.Pos
		indent string
	}
	var stack []opened
	var found *opened
	var s scanner.Scanner
	f := token.NewFile(file, -1, len(text))
	s.Init(f, text, func(token.Pos, string, []any) {}, 0)
	for {
		pos, tok, _ := s.Scan()
		if tok == token.EOF {
			break
		}
		switch tok {
		case token.LBRACE, token.LBRACK, token.LPAREN:
			stack = append(stack, opened{pos, indentOf(x.places.line(pos))})
		case token.RBRACE, token.RBRACK, token.RPAREN:
			if len(stack) == 0 {
				return Place{}, false
			}
			last := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			line := x.places.line(pos)
			first := strings.HasPrefix(strings.TrimSpace(line), tok.String())
			if found == nil && first && indentOf(line) != last.indent && pos.Line() != last.pos.Line() {
				found = &last
			}
		}
	}
	if found == nil && len(stack) > 0 {
		found = &stack[len(stack)-1]
	}
	if found == nil {
		return Place{}, false
	}
	return x.places.of(found.pos), true
}

func indentOf(line string) string { return line[:len(line)-len(strings.TrimLeft(line, " \t"))] }
