package main

// What the README and the contributors' guide name must exist: commands with their flags, paths, packages, tests and
// benchmarks. And imports point down only.

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var root = filepath.Join("..", "..")

func document(t *testing.T, name string) string {
	text, err := os.ReadFile(filepath.Join(root, name))
	require.NoError(t, err)
	return string(text)
}

// commandLines finds `fenderside …` in indented blocks and in back-quoted code.
func commandLines(text string) [][]string {
	var out [][]string
	for _, m := range regexp.MustCompile("(?m)(?:^    |`)(?:go run \\./cmd/)?fenderside( [^`\\n]*|$)").FindAllStringSubmatch(text, -1) {
		words, _, _ := strings.Cut(m[1], "   ") // a remark stands behind wide space
		out = append(out, strings.Fields(words))
	}
	return out
}

func TestEveryCommandInTheDocumentsExists(t *testing.T) {
	var sink bytes.Buffer
	tree := newRoot(&world{in: os.Stdin, out: &sink, err: &sink, getenv: os.Getenv})
	for _, name := range []string{"README.md", "DEVELOPERS.md"} {
		lines := commandLines(document(t, name))
		require.NotEmpty(t, lines, name)
		for _, words := range lines {
			c, rest, err := tree.Find(words)
			require.NoError(t, err, "%s: fenderside %s", name, strings.Join(words, " "))
			if len(words) > 0 && !strings.HasPrefix(words[0], "-") {
				assert.NotEqual(t, tree, c, "%s: fenderside %s is no command", name, strings.Join(words, " "))
			}
			if c.HasSubCommands() && len(rest) > 0 && c != tree {
				assert.Fail(t, "no such subcommand", "%s: fenderside %s", name, strings.Join(words, " "))
			}
			holdFlags(t, c, rest)
		}
	}
}

func holdFlags(t *testing.T, c *cobra.Command, words []string) {
	for _, w := range words {
		if flag, ok := strings.CutPrefix(w, "--"); ok {
			known := c.Flags().Lookup(flag) != nil || c.InheritedFlags().Lookup(flag) != nil || flag == "version" || flag == "help"
			assert.True(t, known, "%s has no --%s", c.CommandPath(), flag)
		}
	}
}

func TestEveryCommandStandsInTheReadme(t *testing.T) {
	var sink bytes.Buffer
	named := map[string]bool{}
	for _, words := range commandLines(document(t, "README.md")) {
		for i := range words {
			named[strings.Join(words[:i+1], " ")] = true
		}
	}
	var walk func(c *cobra.Command, path string)
	walk = func(c *cobra.Command, path string) {
		for _, sub := range c.Commands() {
			if sub.Name() == "help" {
				continue
			}
			at := strings.TrimSpace(path + " " + sub.Name())
			assert.True(t, named[at], "the README does not name `fenderside %s`", at)
			walk(sub, at)
		}
	}
	walk(newRoot(&world{in: os.Stdin, out: &sink, err: &sink, getenv: os.Getenv}), "")
}

var pathLike = regexp.MustCompile("`((?:\\./)?(?:cmd|procedures|runner|ui|checks|\\.ci)(?:/[A-Za-z0-9_./-]*)?)`")

func TestEveryPathInTheDocumentsExists(t *testing.T) {
	for _, name := range []string{"README.md", "DEVELOPERS.md"} {
		for _, m := range pathLike.FindAllStringSubmatch(document(t, name), -1) {
			path := strings.ReplaceAll(m[1], "NAME", "sensor-swap")
			_, err := os.Stat(filepath.Join(root, path))
			assert.NoError(t, err, "%s names %s", name, m[1])
		}
	}
}

func TestEveryPackageStandsInTheGuide(t *testing.T) {
	guide := document(t, "DEVELOPERS.md")
	for _, p := range packages(t, "{{.ImportPath}}") {
		short := strings.TrimPrefix(p, "fenderside/")
		assert.True(t, strings.Contains(guide, "| `"+short+"` |"), "the package map lacks %s", short)
	}
}

func TestEveryNamedTestAndBenchmarkExists(t *testing.T) {
	source := ""
	require.NoError(t, filepath.WalkDir(root, func(path string, d os.DirEntry, err error) error {
		if err == nil && strings.HasSuffix(path, "_test.go") {
			text, readErr := os.ReadFile(path)
			source += string(text)
			return readErr
		}
		return err
	}))
	guide := document(t, "DEVELOPERS.md")
	for _, m := range regexp.MustCompile("-bench ([A-Za-z]+)").FindAllStringSubmatch(guide, -1) {
		assert.True(t, strings.Contains(source, "func Benchmark"+m[1]), "the guide names -bench %s", m[1])
	}
	for _, m := range regexp.MustCompile("`(Test[A-Za-z]+)`").FindAllStringSubmatch(guide, -1) {
		assert.True(t, strings.Contains(source, "func "+m[1]), "the guide names %s", m[1])
	}
}

func TestImportsPointDownOnly(t *testing.T) {
	rank := map[string]int{"checks": 0, "procedures": 1, "runner": 2, "ui": 3, "cmd": 4}
	for _, line := range packages(t, `{{$p := .ImportPath}}{{range .Imports}}{{$p}} {{.}}{{"\n"}}{{end}}`) {
		from, to, _ := strings.Cut(line, " ")
		if !strings.HasPrefix(to, "fenderside/") {
			continue
		}
		top := func(p string) int {
			first, _, _ := strings.Cut(strings.TrimPrefix(p, "fenderside/"), "/")
			return rank[first]
		}
		assert.LessOrEqual(t, top(to), top(from), "%s imports %s", from, to)
	}
}

func TestTheCoreKnowsNoClockNoFileAndNoTerminal(t *testing.T) {
	for _, dep := range packages(t, `{{join .Imports "\n"}}`, "fenderside/runner") {
		for _, barred := range []string{"os", "io/fs", "path/filepath", "net", "os/exec", "github.com/charmbracelet/bubbletea"} {
			assert.NotEqual(t, barred, dep)
		}
	}
	files, err := filepath.Glob(filepath.Join(root, "runner", "*.go"))
	require.NoError(t, err)
	for _, f := range files {
		if strings.HasSuffix(f, "_test.go") {
			continue
		}
		text, err := os.ReadFile(f)
		require.NoError(t, err)
		assert.False(t, strings.Contains(string(text), "time.Now") || strings.Contains(string(text), "time.Since"), f)
	}
}

func packages(t *testing.T, format string, which ...string) []string {
	if len(which) == 0 {
		which = []string{"./..."}
	}
	cmd := exec.Command("go", append([]string{"list", "-f", format}, which...)...)
	cmd.Dir = root
	out, err := cmd.Output()
	require.NoError(t, err)
	var lines []string
	for line := range strings.Lines(string(out)) {
		if line = strings.TrimSpace(line); line != "" {
			lines = append(lines, line)
		}
	}
	return lines
}
