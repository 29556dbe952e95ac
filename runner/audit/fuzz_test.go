package audit

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fenderside/runner/record"
)

// What is read as a countersignature is written again byte for byte.
func FuzzCountersignature(f *testing.F) {
	f.Add(countersig{Job: "1f0c22aa-0001", Record: "ab", Signature: "cd", By: bryn.Person, At: time.Date(2026, 3, 14, 12, 0, 0, 0, time.UTC)}.text())
	f.Add("fenderside countersignature\njob \nrecord \nsignature \nby \nkey \nat 2026-03-14T12:00:00+01:00\n")
	f.Fuzz(func(t *testing.T, text string) {
		if s, err := parseCountersig(text); err == nil {
			require.Equal(t, text, s.text())
		}
	})
}

// No bytes at all bring an audit down, and none that nobody signed are sound.
func FuzzAudit(f *testing.F) {
	rec, sig := bytesOf(f, newDepot(f).lamp())
	f.Add(rec[:len(rec)/2], sig)
	f.Add([]byte("{}\n"), []byte{})
	f.Fuzz(func(t *testing.T, data, signature []byte) {
		if r := judgeBytes(t, &record.Binder{}, data, signature); string(data) != string(rec) {
			require.Equal(t, Rejected, r.Verdict)
		}
	})
}
