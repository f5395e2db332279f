package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"
)

// hostile are specs that would use up a machine, or send the reader astray, if they were let.
var hostile = map[string]func() string{
	"loop": func() string {
		return spread("for i in list.Range(0, 1000000, 1) for j in list.Range(0, 1000000, 1) {\"m\\(i)\": x: j}")
	},
	"list": func() string { return "import \"list\"\nmachines: list.Range(0, 1000000000, 1)\n" },
	"repeat": func() string {
		return "import \"strings\"\nmachines: a: title: strings.Repeat(\"tray \", 2000000000)\n"
	},
	"power":           func() string { return "import \"math\"\nmachines: a: title: math.Pow(10, 999999999)\n" },
	"shift":           func() string { return "machines: a: title: \"\\(1_000_000_000 * 1_000_000_000)\" * 1_000_000_000\n" },
	"doubling":        doubling,
	"doubling-struct": doublingStruct,
	"braces": func() string {
		return "machines: a: " + strings.Repeat("{x: ", 100_000) + "1" + strings.Repeat("}", 100_000) + "\n"
	},
	"brackets": func() string {
		return "machines: a: " + strings.Repeat("[", 200_000) + strings.Repeat("]", 200_000) + "\n"
	},
	"parentheses": func() string {
		return "machines: a: " + strings.Repeat("(", 200_000) + "1" + strings.Repeat(")", 200_000) + "\n"
	},
	"minus":  func() string { return "machines: a: " + strings.Repeat("- ", 300_000) + "1\n" },
	"chain":  chain,
	"itself": func() string { return "machines: a: machines.a & {x: machines.a}\n" },
	"grows":  func() string { return "#n: {x: #n}\nmachines: a: #n\n" },
	"pattern": func() string {
		return "machines: a: title: =~\"(a*)*(a*)*(a*)*b\" & \"" + strings.Repeat("a", 100_000) + "\"\n"
	},
	"either":    either,
	"long-name": func() string { return "machines: \"" + strings.Repeat("x", 500_000) + "\": schema.#Machine & {}\n" },
	"nul":       func() string { return "machines: \"a\x00b\": 1\n" },
	"not-text":  func() string { return "\xff\xfe\x00\x01machines: 1\n" },
	"many":      func() string { return numbered(20_000, "machines: m%d: {}\n") },
	"digits":    func() string { return "machines: a: title: " + strings.Repeat("9", 900_000) + "\n" },
}

func spread(body string) string { return "import \"list\"\nmachines: {" + body + "}\n" }

func numbered(n int, format string) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, format, i)
	}
	return b.String()
}

func doubling() string {
	var b strings.Builder
	b.WriteString("s0: \"trays\"\n")
	for i := range 60 {
		fmt.Fprintf(&b, "s%d: s%d + s%d\n", i+1, i, i)
	}
	return b.String() + "machines: a: title: s60\n"
}

func doublingStruct() string {
	var b strings.Builder
	b.WriteString("s0: {x: 1}\n")
	for i := range 40 {
		fmt.Fprintf(&b, "s%d: {a: s%d, b: s%d}\n", i+1, i, i)
	}
	return b.String() + "machines: a: s40\n"
}

func chain() string {
	return numbered(30_000, "c%[1]d: d%[1]d\nd%[1]d: *1 | c0\n") + "machines: a: c0\n"
}

func either() string {
	return "#e: " + strings.TrimSuffix(numbered(24, "{a%d?: 1 | 2 | 3} | "), " | ") + "\nmachines: a: #e & #e & #e & #e\n"
}

// endures checks every hostile spec with small limits: each ends as a spec that is wrong or as one that hit a limit, never in a panic.
func endures(ts *testscript.TestScript, _ bool, _ []string) {
	for name, text := range hostile {
		dir := ts.MkAbs(filepath.Join("hostile", name))
		ts.Check(os.MkdirAll(dir, 0o700))
		ts.Check(os.WriteFile(filepath.Join(dir, "a.cue"), []byte("package a\n"+text()), 0o600))
		err := ts.Exec("trammel", "check", "hostile/"+name, "--most-time", "1s", "--most-memory", "400")
		out := ts.ReadFile("stderr")
		switch {
		case err == nil || err.Error() != "exit status 2" && err.Error() != "exit status 3":
			ts.Fatalf("%s: %v", name, err)
		case strings.TrimSpace(out) == "" || strings.Contains(out, "goroutine") || strings.Contains(out, "%!"):
			ts.Fatalf("%s: no sentence:\n%s", name, out)
		case len(out) > 4000:
			ts.Fatalf("%s: %d characters are said of it", name, len(out))
		}
		ts.Logf("%s: %v: %.200s", name, err, out)
	}
}
