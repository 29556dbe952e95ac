package main

import (
	"fmt"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/crypto/ssh"

	"fenderside/runner"
	"fenderside/runner/audit"
	"fenderside/runner/home"
	"fenderside/runner/seal"
	"fenderside/runner/store"
)

// countersignCommand signs a record as somebody who has seen it.
func countersignCommand(w *world) *cobra.Command {
	var keyFile string
	c := &cobra.Command{
		Use: "countersign RECORD", Short: "Sign, as another person, that you have seen a record",
		Args: exactlyOne("a record or its folder: fenderside countersign RECORD"),
		Long: `Sign, as another person than the one who closed the job, that you have seen this record with its signature now. The
countersignature lies beside the record, and only somebody who may close jobs can give it. It keeps the record good after the first key has expired or was revoked.
Look at the record before: fenderside audit RECORD --roster FILE

Exit status: 0 signed; 1 refused; 2 bad usage; 3 could not read or write.`,
		RunE: action(func(args []string) error { return countersign(w, args[0], keyFile) }),
	}
	c.Flags().StringVar(&keyFile, "key", "", "sign with this private key `file` of a person on your roster instead of your own")
	return c
}

func countersign(w *world, path, keyFile string) error {
	h, err := w.home()
	if err != nil {
		return err
	}
	by, signer, err := signerFor(w, h, keyFile)
	if err != nil {
		return err
	}
	if filepath.Base(path) == store.RecordFile {
		path = filepath.Dir(path)
	}
	sig, err := audit.Countersign(path, by, signer, time.Now())
	if err != nil {
		return err
	}
	w.say("countersigned by %s: %s", by.Name, sig)
	return nil
}

// signerFor is who signs: the person of this machine, or the one whose key file is given.
func signerFor(w *world, h home.Home, keyFile string) (runner.Person, ssh.Signer, error) {
	if keyFile == "" {
		id, notice, err := h.Identity()
		if err != nil {
			return runner.Person{}, nil, err
		}
		w.remark(notice)
		if err := mayCountersign(h, id.Person); err != nil {
			return runner.Person{}, nil, err
		}
		signer, err := h.Signer(id.Person)
		return id.Person, signer, err
	}
	by, err := h.PersonWith(keyFile)
	if err == nil {
		err = mayCountersign(h, by)
	}
	if err != nil {
		return runner.Person{}, nil, err
	}
	signer, err := h.SignerFrom(by, keyFile)
	return by, signer, err
}

// mayCountersign holds a person to the roster before anything is signed: only who may close jobs can stand for a record, and
// an audit points any other countersignature out.
func mayCountersign(h home.Home, by runner.Person) error {
	people, err := h.People()
	if err != nil {
		return err
	}
	if err := people.May(by.Fingerprint, seal.Record, time.Now()); err != nil {
		return fmt.Errorf("countersign as %s: %w", by.Name, err)
	}
	return nil
}
