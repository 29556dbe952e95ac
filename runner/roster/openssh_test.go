package roster_test

// The rule tested here: whom this package lets sign, OpenSSH lets sign, by the
// same roster at the same time, and the other way round.

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/crypto/ssh"
	"pgregory.net/rapid"

	"fenderside/runner/roster"
	"fenderside/runner/seal"
	"fenderside/runner/seal/sealtest"
)

var message = []byte("chain head\n")

func signature(t testing.TB, person, namespace string) string {
	t.Helper()
	text, err := seal.Sign(sealtest.NewKey(person), namespace, message)
	require.NoError(t, err)
	return text
}

func verifyTime(at time.Time) string { return "verify-time=" + at.UTC().Format("20060102150405Z") }

func TestOpenSSHAgreesOnWhoMaySignWhatAndWhen(t *testing.T) {
	sealtest.Tool(t, "ssh-keygen")
	day := time.Date(2026, 3, 29, 0, 30, 0, 0, time.UTC)
	rapid.Check(t, func(r *rapid.T) {
		e := roster.Entry{Principals: []string{asha}, Key: sealtest.NewKey("asha").PublicKey()}
		e.Namespaces = rapid.SliceOfNDistinct(rapid.SampledFrom(append(seal.Namespaces(), "git")), 1, 4, rapid.ID[string]).Draw(r, "roles")
		if rapid.Bool().Draw(r, "starts") {
			e.ValidAfter = day
		}
		if rapid.Bool().Draw(r, "ends") {
			e.ValidBefore = day.Add(2 * time.Second)
		}
		line, err := e.Format()
		require.NoError(r, err)
		namespace := rapid.SampledFrom(seal.Namespaces()).Draw(r, "namespace")
		by := rapid.SampledFrom([]string{"asha", "asha", "asha", "bryn"}).Draw(r, "by")
		at := day.Add(time.Duration(rapid.IntRange(-2, 4).Draw(r, "second")) * time.Second)
		list, err := roster.Parse([]byte(line))
		require.NoError(r, err)
		got, said := sealtest.Accepts(t, sealtest.Question{
			Roster: line + "\n", Principal: asha, Namespace: namespace,
			Signature: signature(t, by, namespace), Message: message, Options: []string{verifyTime(at)},
		})
		ours := list.May(print(by), namespace, at)
		assert.Equal(r, got, ours == nil, "ssh-keygen: %s; ours: %v", said, ours)
	})
}

// A key whose time has run out does not make its signature wrong: the verdict
// on the signature stands, and the roster speaks of the time.
func TestAnExpiredKeyIsTheRostersVerdictNotTheSignatures(t *testing.T) {
	line := asha + ` valid-before="20250101Z" ` + key("asha") + "\n"
	text := signature(t, "asha", seal.Record)
	_, err := seal.Verify(text, seal.Record, message)
	require.NoError(t, err)
	list := parse(t, line)
	late, early := time.Date(2025, 1, 2, 0, 0, 0, 0, time.UTC), time.Date(2024, 12, 31, 0, 0, 0, 0, time.UTC)
	var denial *roster.Denial
	require.ErrorAs(t, list.May(print("asha"), seal.Record, late), &denial)
	assert.Equal(t, roster.Expired, denial.Reason)
	require.NoError(t, list.May(print("asha"), seal.Record, early))
	for at, want := range map[time.Time]bool{late: false, early: true} {
		got, said := sealtest.Accepts(t, sealtest.Question{
			Roster: line, Principal: asha, Namespace: seal.Record,
			Signature: text, Message: message, Options: []string{verifyTime(at)},
		})
		assert.Equal(t, want, got, said)
	}
}

// These lines OpenSSH skips or takes in a looser sense; here each is an error.
func TestStricterThanOpenSSHOnRosterLines(t *testing.T) {
	k := key("asha")
	for name, text := range map[string]string{
		"a bad line before a good one": "nonsense\n" + asha + " " + k + "\n",
		"a local time":                 asha + ` valid-before="20990101" ` + k + "\n",
		"a wildcard name":              "*@millbrook.example " + k + "\n",
		"a wildcard role":              asha + ` namespaces="record@*" ` + k + "\n",
		"a quoted name":                `"` + asha + `" ` + k + "\n",
		"the same key twice":           bryn + " " + k + "\n" + asha + " " + k + "\n",
		"CRLF line ends":               asha + " " + k + "\r\n",
		"an invisible character":       asha + " " + k + " note\u200b\n",
	} {
		t.Run(name, func(t *testing.T) {
			_, err := roster.Parse([]byte(text))
			require.Error(t, err)
			got, said := sealtest.Accepts(t, sealtest.Question{
				Roster: text, Principal: asha, Namespace: seal.Record,
				Signature: signature(t, "asha", seal.Record), Message: message,
			})
			assert.True(t, got, said)
		})
	}
}

func TestRevokedKeysAreTheOnesOpenSSHRevokes(t *testing.T) {
	for name, list := range revocations(t) {
		t.Run(name, func(t *testing.T) {
			r, err := roster.ParseRevoked(list)
			require.NoError(t, err)
			for _, person := range []string{"asha", "bryn", "dilys"} {
				got, said := sealtest.Accepts(t, sealtest.Question{
					Roster: asha + " " + key(person) + "\n", Principal: asha, Namespace: seal.Record,
					Signature: signature(t, person, seal.Record), Message: message, Revoked: list,
				})
				assert.Equal(t, got, !r.Has(sealtest.NewKey(person).PublicKey()), "%s: %s", person, said)
				assert.Equal(t, person == "dilys", got, said)
			}
		})
	}
}

// revocations returns lists in every form that revokes asha and bryn and not
// dilys; the binary ones are made by ssh-keygen.
func revocations(t testing.TB) map[string][]byte {
	dir := t.TempDir()
	file := func(name, text string) string {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		return path
	}
	plain := "# lost in March\n" + key("asha") + " Asha, old laptop\n\n  " + key("bryn") + "\n"
	krl := func(spec string) []byte {
		out := filepath.Join(dir, "krl")
		sealtest.Run(t, dir, "ssh-keygen", "-q", "-k", "-f", out, file("spec", spec))
		data, err := os.ReadFile(out)
		require.NoError(t, err)
		return data
	}
	a, b := sealtest.NewKey("asha").PublicKey(), sealtest.NewKey("bryn").PublicKey()
	both := func(kind, x, y string) string { return fmt.Sprintf("%s: %s\n%s: %s\n", kind, x, kind, y) }
	return map[string][]byte{
		"plain":             []byte(plain),
		"binary, keys":      krl(plain),
		"binary, SHA-1":     krl(both("sha1", key("asha"), key("bryn"))),
		"binary, SHA-256":   krl(both("sha256", key("asha"), key("bryn"))),
		"binary, by print":  krl(both("hash", seal.Fingerprint(a), seal.Fingerprint(b))),
		"binary, two kinds": krl("sha1: " + key("asha") + "\nkey: " + key("bryn") + "\n"),
	}
}

func TestARevocationListThatCannotBeReadWholeIsRefused(t *testing.T) {
	_, err := roster.ParseRevokedNamed("lost", []byte(key("asha")+"\n"+asha+" "+key("bryn")+"\n"))
	require.ErrorContains(t, err, `lost:2:1: "asha@millbrook.example" is not a type of key`)
	for name, list := range revocations(t) {
		if !strings.HasPrefix(name, "binary") {
			continue
		}
		whole, err := roster.ParseRevoked(list)
		require.NoError(t, err)
		for cut := 8; cut < len(list); cut++ {
			part, err := roster.ParseRevoked(list[:cut])
			if err == nil {
				require.Less(t, part.Len(), whole.Len())
				continue
			}
			require.ErrorContains(t, err, "plain file", name)
		}
	}
}

func TestAnUnknownPartOfABinaryListIsRefused(t *testing.T) {
	head := ssh.Marshal(struct {
		Magic             [8]byte
		Format            uint32
		Version, Made     uint64
		Flags             uint64
		Reserved, Comment string
		Kind              byte
		Data              string
	}{[8]byte([]byte("SSHKRL\n\x00")), 1, 1, 1, 0, "", "", 9, ""})
	_, err := roster.ParseRevoked(head)
	require.ErrorContains(t, err, "kind 9")
	head[11] = 2
	_, err = roster.ParseRevoked(head)
	require.ErrorContains(t, err, "format is 2")
}

func FuzzParseRevoked(f *testing.F) {
	f.Add([]byte(key("asha") + "\n"))
	f.Add([]byte("SSHKRL\n\x00\x00\x00\x00\x01"))
	f.Fuzz(func(t *testing.T, text []byte) {
		r, err := roster.ParseRevoked(text)
		if err == nil {
			require.GreaterOrEqual(t, len(text), r.Len())
		}
	})
}
