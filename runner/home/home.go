// Package home is where one person's files live on this machine:
//
//	ConfigDir/key, key.pub        the person's key, in OpenSSH's format
//	ConfigDir/roster              who may sign here, in the form of allowed_signers
//	ConfigDir/cards/*.yaml        vehicle cards of their own
//	ConfigDir/procedures/*.yaml   procedures of their own
//	DataDir                       the store of jobs and records
//
// On Linux and its kin these are $XDG_CONFIG_HOME/fenderside and
// $XDG_DATA_HOME/fenderside; on macOS and Windows they lie where the system
// keeps the settings of programs. FENDERSIDE_HOME puts both in one folder.
//
// The rule kept here: a fresh machine works with nothing set up, and whatever
// is made for the person is told to them. No file is ever replaced unasked.
package home

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"

	"fenderside/runner/keys"
	"fenderside/runner/store"
)

// name is the folder of this program among those of others.
const name = "fenderside"

// Home is one person's folders, and how to ask them for a passphrase. Ask may
// be nil where there is nobody to ask.
type Home struct {
	ConfigDir string
	DataDir   string
	Ask       keys.Ask
}

// Find says where the person's folders are. It makes none of them. The error
// says which variable to set.
func Find(getenv func(string) string) (Home, error) {
	if root := getenv("FENDERSIDE_HOME"); root != "" {
		abs, err := filepath.Abs(root)
		if err != nil {
			return Home{}, fmt.Errorf("find the folder FENDERSIDE_HOME=%q: %w: give a full path", root, err)
		}
		return Home{ConfigDir: filepath.Join(abs, "config"), DataDir: filepath.Join(abs, "data")}, nil
	}
	switch runtime.GOOS {
	case "windows", "darwin", "ios", "plan9":
		return findBySystem()
	}
	return findByXDG(getenv)
}

// findBySystem follows os.UserConfigDir.
func findBySystem() (Home, error) {
	dir, err := os.UserConfigDir()
	if err != nil {
		return Home{}, fmt.Errorf("find your folder for settings: %w: set FENDERSIDE_HOME to a folder of yours", err)
	}
	root := filepath.Join(dir, name)
	return Home{ConfigDir: root, DataDir: filepath.Join(root, "data")}, nil
}

// findByXDG follows the XDG Base Directory Specification 0.8: a variable that
// is empty or holds a relative path counts as not set.
func findByXDG(getenv func(string) string) (Home, error) {
	folder := func(variable string, usual ...string) (string, error) {
		if dir := getenv(variable); filepath.IsAbs(dir) {
			return filepath.Join(dir, name), nil
		}
		own := getenv("HOME")
		if own == "" {
			return "", fmt.Errorf("find your folders: neither HOME nor %s is set: set one, or FENDERSIDE_HOME, to a folder of yours", variable)
		}
		return filepath.Abs(filepath.Join(append(append([]string{own}, usual...), name)...))
	}
	config, err := folder("XDG_CONFIG_HOME", ".config")
	if err != nil {
		return Home{}, err
	}
	data, err := folder("XDG_DATA_HOME", ".local", "share")
	return Home{ConfigDir: config, DataDir: data}, err
}

// Store opens the store of jobs, and makes it on first use.
func (h Home) Store() (*store.Store, error) { return store.Open(h.DataDir) }

// KeyPath is where the person's private key is, RosterPath the roster.
func (h Home) KeyPath() string { return filepath.Join(h.ConfigDir, "key") }

// RosterPath is where the roster is.
func (h Home) RosterPath() string { return filepath.Join(h.ConfigDir, "roster") }

// CardsDir is where the person's own vehicle cards are.
func (h Home) CardsDir() string { return filepath.Join(h.ConfigDir, "cards") }

// ProceduresDir is where the person's own procedures are.
func (h Home) ProceduresDir() string { return filepath.Join(h.ConfigDir, "procedures") }
