package store_test

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/runner"
	"fenderside/runner/store"
)

func open(t *testing.T, dir string) *store.Store {
	s, err := store.Open(dir)
	require.NoError(t, err)
	return s
}

func TestJobsOpenedAtOnceGetNumbersOfTheirOwn(t *testing.T) {
	dir, numbers := t.TempDir(), make(chan int, 40)
	var wait sync.WaitGroup
	for range 4 {
		wait.Go(func() {
			s, err := store.Open(dir)
			for range 10 {
				if err == nil {
					var n int
					n, _, _, err = s.NewJob()
					numbers <- n
				}
			}
			assert.NoError(t, err)
		})
	}
	wait.Wait()
	close(numbers)
	seen := map[int]bool{}
	for n := range numbers {
		assert.False(t, seen[n], "number %d was given twice", n)
		seen[n] = true
	}
	for n := 1; n <= 40; n++ {
		assert.True(t, seen[n], "number %d was left out", n)
	}
}

func TestTwoStoresAreNeverTakenForEachOther(t *testing.T) {
	a, b := open(t, t.TempDir()), open(t, t.TempDir())
	assert.NotEqual(t, a.ID(), b.ID())
	_, idA, _, err := a.NewJob()
	require.NoError(t, err)
	_, idB, _, err := b.NewJob()
	require.NoError(t, err)
	assert.NotEqual(t, idA, idB)
	assert.Equal(t, a.ID(), open(t, filepath.Dir(filepath.Dir(a.JobDir(idA)))).ID(), "a store keeps its id")
}

func TestABrokenBookIsSaidAndLeftAsItIs(t *testing.T) {
	for name, text := range map[string]string{"not JSON": "{", "another file": `{"jobs": 3}`, "empty": ""} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			path := filepath.Join(dir, "store.json")
			require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
			_, err := store.Open(dir)
			require.Error(t, err)
			assert.Contains(t, err.Error(), "restore it from a backup")
			left, err := os.ReadFile(path)
			require.NoError(t, err)
			assert.Equal(t, text, string(left))
		})
	}
}

func TestAStoreThatCannotBeMadeSaysWhatToDo(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o600))
	_, err := store.Open(filepath.Join(file, "store"))
	require.Error(t, err)
	assert.Contains(t, err.Error(), "choose another with --store")
}

func TestEachKeyHasAChainOfItsOwnAndAFailedSealMovesNone(t *testing.T) {
	s := open(t, t.TempDir())
	digest := func(n int) string { return strings.Repeat(fmt.Sprint(n), 64) }
	seal := func(key string, n int) runner.Link {
		var got runner.Link
		require.NoError(t, s.Seal(key, func(l runner.Link) (string, error) { got = l; return digest(n), nil }))
		return got
	}
	assert.Equal(t, runner.Link{Number: 1}, seal("SHA256:a", 1))
	assert.Equal(t, runner.Link{Number: 1}, seal("SHA256:b", 2))
	assert.Equal(t, runner.Link{Number: 2, Previous: digest(1)}, seal("SHA256:a", 3))
	no := errors.New("no")
	assert.ErrorIs(t, s.Seal("SHA256:a", func(runner.Link) (string, error) { return digest(9), no }), no)
	next, err := s.Next("SHA256:a")
	require.NoError(t, err)
	assert.Equal(t, runner.Link{Number: 3, Previous: digest(3)}, next)
}

func TestJobsAreListedInOrderOfOpeningPastTenThousand(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	for _, n := range []int{10000, 9999, 2, 10001} {
		require.NoError(t, os.MkdirAll(s.JobDir(fmt.Sprintf("%s-%04d", s.ID(), n)), 0o700))
	}
	ids, err := s.OpenJobs()
	require.NoError(t, err)
	var tails []string
	for _, id := range ids {
		tails = append(tails, strings.TrimPrefix(id, s.ID()+"-"))
	}
	assert.Equal(t, []string{"0002", "9999", "10000", "10001"}, tails)
}
