//go:build unix

package wholejob

// The journeys mostly wait, for a person's pace and for the waits of the procedures, so all of them run at once.

import (
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
)

// atOnce is more than there are journeys.
const atOnce = 24

// program is the program under test, built once.
var program string

func TestMain(m *testing.M) { os.Exit(run(m)) }

func run(m *testing.M) int {
	flag.Parse()
	if !given("test.parallel") {
		if err := flag.Set("test.parallel", strconv.Itoa(atOnce)); err != nil {
			fmt.Fprintln(os.Stderr, err)
			return 1
		}
	}
	dir, err := os.MkdirTemp("", "wholejob")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer os.RemoveAll(dir)
	program = filepath.Join(dir, "fenderside")
	if out, err := exec.Command("go", "build", "-o", program, "fenderside/cmd/fenderside").CombinedOutput(); err != nil {
		fmt.Fprintf(os.Stderr, "build the program: %v\n%s", err, out)
		return 1
	}
	return m.Run()
}

// given says whether a flag stands on the command line.
func given(name string) bool {
	found := false
	flag.Visit(func(f *flag.Flag) { found = found || f.Name == name })
	return found
}
