package audit

// The rule of this file: one bad record never stops the others, and the order of the report does not depend on who was
// faster.

import (
	"fmt"
	"os"
	"runtime"
	"sync"
	"time"

	"fenderside/runner/record"
	"fenderside/runner/roster"
)

// Options says what to audit.
type Options struct {
	Paths   []string  // records: a record file, a record's folder, or a folder with records anywhere beneath it
	Roster  string    // the file of the roster that the auditor trusts
	Revoked string    // the file of a revocation list; empty for none
	Now     time.Time // when the audit takes place; zero for the machine's clock
	Workers int       // records judged at a time; 0 for one a processor

	// Told is called as records are found and each time one was judged, one call at a time; nil tells nobody. It bears on no
	// verdict.
	Told func(done, of int)
}

// auditor is what every record is held against.
type auditor struct {
	roster  roster.Roster
	revoked roster.Revoked
	now     time.Time
}

// Run audits every record at the paths. The error is of what was asked for: no path, an unreadable roster or revocation
// list, a path without any record. What is wrong with a record stands in the report.
func Run(o Options) (Report, error) {
	a, err := o.auditor()
	if err != nil {
		return Report{}, err
	}
	paths, err := find(o.Paths)
	if err != nil {
		return Report{}, err
	}
	cases := a.examineAll(paths, o.Workers, o.told(len(paths)))
	copies(cases)
	stand := standing(cases)
	report := Report{Roster: a.roster.Digest(), Limits: limits, Heads: joinChains(stand)}
	report.Compared = compare(stand)
	for _, c := range cases {
		c.judge()
		report.Records = append(report.Records, c.Record)
	}
	return report, nil
}

func (o Options) auditor() (auditor, error) {
	a := auditor{now: o.Now}
	if a.now.IsZero() {
		a.now = time.Now()
	}
	switch {
	case len(o.Paths) == 0:
		return a, fmt.Errorf("audit: %w: no record is named: give the path of a record or of a folder of records", ErrUsage)
	case o.Roster == "":
		return a, fmt.Errorf("audit: %w: no roster is named: give the file of those you trust with --roster", ErrUsage)
	}
	text, err := os.ReadFile(o.Roster)
	if err != nil {
		return a, fmt.Errorf("audit: read the roster: %w: check the path", err)
	}
	if a.roster, err = roster.ParseNamed(o.Roster, text); err != nil {
		return a, fmt.Errorf("audit: the roster does not load: mend these lines first:\n%w", err)
	}
	if o.Revoked == "" {
		return a, nil
	}
	if text, err = os.ReadFile(o.Revoked); err != nil {
		return a, fmt.Errorf("audit: read the revocation list: %w: check the path", err)
	}
	if a.revoked, err = roster.ParseRevokedNamed(o.Revoked, text); err != nil {
		return a, fmt.Errorf("audit: the revocation list does not load: mend it first:\n%w", err)
	}
	return a, nil
}

// told begins to tell, and returns what is called when one record more was judged.
func (o Options) told(of int) func() {
	if o.Told == nil {
		return func() {}
	}
	var mu sync.Mutex
	done := 0
	o.Told(done, of)
	return func() {
		mu.Lock()
		defer mu.Unlock()
		done++
		o.Told(done, of)
	}
}

// examineAll judges records side by side. Each worker parses a document once for each digest.
func (a auditor) examineAll(paths []string, workers int, one func()) []*examined {
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	out := make([]*examined, len(paths))
	next := make(chan int)
	var wg sync.WaitGroup
	for range min(workers, len(paths)) {
		wg.Go(func() {
			var binder record.Binder
			for i := range next {
				out[i] = a.guarded(load(paths[i]), &binder)
				one()
			}
		})
	}
	for i := range paths {
		next <- i
	}
	close(next)
	wg.Wait()
	return out
}

// guarded judges one record and outlives whatever that does: a fault of this program is a finding too.
func (a auditor) guarded(f files, b *record.Binder) (c *examined) {
	defer func() {
		if p := recover(); p != nil {
			c = begin(f)
			c.reject(0, "report this fault together with the record", "this program failed on the record: %v", p)
		}
	}()
	return a.examine(f, b)
}
