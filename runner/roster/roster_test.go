package roster_test

// The rule tested here: a roster says who may sign what, and when.

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"fmt"
	"math/big"
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

const (
	asha  = "asha@millbrook.example"
	bryn  = "bryn@millbrook.example"
	dilys = "dilys@millbrook.example"
)

// key returns "type base64" of the person's key.
func key(person string) string {
	return strings.TrimSpace(string(ssh.MarshalAuthorizedKey(sealtest.NewKey(person).PublicKey())))
}

func print(person string) string { return seal.Fingerprint(sealtest.NewKey(person).PublicKey()) }

func parse(t testing.TB, text string) roster.Roster {
	t.Helper()
	r, err := roster.Parse([]byte(text))
	require.NoError(t, err)
	return r
}

func TestALineIsReadWhole(t *testing.T) {
	text := "# who may sign at Millbrook\n\n\t# indented comment\n" +
		asha + ` namespaces="record@fenderside,stretch@fenderside",valid-after="20260101Z",VALID-BEFORE="20261231235959Z" ` + key("asha") + "  Asha, lead \n" +
		bryn + "," + dilys + "\t" + key("bryn") + "\n"
	r := parse(t, text)
	require.Len(t, r.Entries(), 2)
	a, ok := r.Find(print("asha"))
	require.True(t, ok)
	assert.Equal(t, 4, a.Line)
	assert.Equal(t, []string{asha}, a.Principals)
	assert.Equal(t, []string{seal.Record, seal.Stretch}, a.Namespaces)
	assert.Equal(t, time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC), a.ValidAfter)
	assert.Equal(t, time.Date(2026, 12, 31, 23, 59, 59, 0, time.UTC), a.ValidBefore)
	assert.Equal(t, "Asha, lead", a.Comment)
	assert.Equal(t, []string{"close a job", "sign a stretch"}, a.Roles())
	assert.False(t, a.AllRoles())
	b := r.ByPrincipal(dilys)
	require.Len(t, b, 1)
	assert.Equal(t, print("bryn"), b[0].Fingerprint)
	assert.True(t, b[0].AllRoles())
	assert.Empty(t, r.ByPrincipal("Asha@millbrook.example"), "case matters to OpenSSH")
	assert.Equal(t, fmt.Sprintf("%x", sha256.Sum256([]byte(text))), r.Digest())
	assert.Equal(t, text, string(r.Text()))
}

func TestAKeyThatMayNotSignIsToldWhy(t *testing.T) {
	r := parse(t, asha+` namespaces="record@fenderside",valid-after="202601011200Z",valid-before="20260101130000Z" `+key("asha"))
	at := func(clock string) time.Time {
		when, err := time.Parse(time.RFC3339Nano, "2026-01-01T"+clock+"Z")
		require.NoError(t, err)
		return when
	}
	for _, c := range []struct {
		name, key, namespace, clock string
		want                        roster.Reason
		says                        string
	}{
		{"first second", "asha", seal.Record, "12:00:00", 0, ""},
		{"last second", "asha", seal.Record, "13:00:00", 0, ""},
		{"within the last second", "asha", seal.Record, "13:00:00.9", 0, ""},
		{"a moment early", "asha", seal.Record, "11:59:59.9", roster.NotYetValid, "only from 2026-01-01T12:00:00Z"},
		{"a second late", "asha", seal.Record, "13:00:01", roster.Expired, "until 2026-01-01T13:00:00Z"},
		{"another role", "asha", seal.Witness, "12:30:00", roster.RoleNotGiven, "ask for the role"},
		{"another key", "bryn", seal.Record, "12:30:00", roster.NotOnRoster, "ask whoever keeps the roster"},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := r.May(print(c.key), c.namespace, at(c.clock))
			if c.want == 0 {
				require.NoError(t, err)
				return
			}
			var denial *roster.Denial
			require.ErrorAs(t, err, &denial)
			assert.Equal(t, c.want, denial.Reason)
			assert.Contains(t, err.Error(), c.says)
			assert.Contains(t, err.Error(), print(c.key))
		})
	}
}

func TestTheEmptyRosterLetsNobodySign(t *testing.T) {
	for _, r := range []roster.Roster{{}, parse(t, ""), parse(t, "# nobody yet\n")} {
		var denial *roster.Denial
		require.ErrorAs(t, r.May(print("asha"), seal.Record, time.Unix(1, 0)), &denial)
		assert.Equal(t, roster.NotOnRoster, denial.Reason)
	}
}

func TestABadLineIsAnErrorWithItsPlaceAndAHint(t *testing.T) {
	k := key("asha")
	for _, c := range []struct{ name, line, want string }{
		{"no key", asha, ":1:23: the line ends where its key belongs"},
		{"key alone", k, ":1:13: \"AAAAC3NzaC1lZDI1NTE5"},
		{"unknown option", asha + " record " + k, `:1:24: "record" is not an option`},
		{"wildcard name", "*@millbrook.example " + k, ":1:1: the name"},
		{"negated name", bryn + ",!" + asha + " " + k, ":1:24: the name"},
		{"quoted name", `"asha b" ` + k, ":1:1: the name"},
		{"name missing", asha + ",, " + k, ":1:24: a name is missing"},
		{"name twice", asha + "," + asha + " " + k, ":1:24: the name"},
		{"authority", asha + " cert-authority " + k, ":1:24: the option"},
		{"option twice", asha + ` valid-after="20260101Z",valid-after="20260102Z" ` + k, ":1:48: the option \"valid-after\" stands twice"},
		{"no quotes", asha + " namespaces=record@fenderside " + k, ":1:24: the option"},
		{"no value", asha + " namespaces " + k, ":1:24: the option"},
		{"quote not closed", asha + ` namespaces="record@fenderside ` + k, ":1:24: the option"},
		{"no roles", asha + ` namespaces="" ` + k, ":1:36: a role is missing"},
		{"wildcard role", asha + ` namespaces="*@fenderside" ` + k, ":1:36: the role"},
		{"misspelt role", asha + ` namespaces="record@fenderside,witnes@fenderside" ` + k, `:1:54: "witnes@fenderside" is not a role`},
		{"role in capitals", asha + ` namespaces="Record@Fenderside" ` + k, ":1:36: "},
		{"role twice", asha + ` namespaces="record@fenderside,record@fenderside" ` + k, ":1:54: the role"},
		{"time without Z", asha + ` valid-before="20260101" ` + k, ":1:38: the time \"20260101\" does not end in Z"},
		{"no such day", asha + ` valid-before="20260230Z" ` + k, ":1:38: \"20260230Z\" is not a time"},
		{"time of another form", asha + ` valid-before="2026-01-01Z" ` + k, ":1:38: "},
		{"time with a fraction", asha + ` valid-before="20260101120000.5Z" ` + k, ":1:38: "},
		{"the time that means none", asha + ` valid-before="19700101Z" ` + k, ":1:38: "},
		{"end before start", asha + ` valid-after="20260102Z",valid-before="20260102Z" ` + k, ":1:24: valid-after is not before"},
		{"key cut", asha + " " + k[:len(k)-4], ":1:36: the key cannot be read"},
		{"key not base64", asha + " " + k[:40] + "!" + k[41:], ":1:36: the text of the key"},
		{"key missing", asha + " ssh-ed25519", ":1:35: the text of the key"},
		{"key of another type", asha + strings.Replace(" "+k, "ssh-ed25519", "ssh-rsa", 1), `:1:32: the line says "ssh-rsa"`},
		{"control character", asha + " " + k + " a\x1b[2Jb", ":1:106: the character U+001B"},
		{"right-to-left override", "asha\u202e@millbrook.example " + k, ":1:5: the character U+202E"},
		{"zero-width space", "asha\u200b@millbrook.example " + k, ":1:5: the character U+200B"},
		{"no-break space", asha + "\u00a0" + k, ":1:23: the character U+00A0"},
		{"byte order mark", "\ufeff" + asha + " " + k, ":1:1: the character U+FEFF"},
		{"hidden in a comment", "# \u2066hidden", ":1:3: the character U+2066"},
		{"C1 control", asha + " " + k + " \u009b", ":1:105: the character U+009B"},
		{"not UTF-8", asha + " " + k + " \xff", ":1:105: byte 0xff"},
		{"carriage return", asha + " " + k + "\r", "the line holds a carriage return"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := roster.ParseNamed("signers", []byte(c.line+"\n"))
			require.ErrorContains(t, err, "signers:1:")
			assert.Contains(t, err.Error(), c.want)
			assert.Regexp(t, `\(.+\)$`, err.Error(), "a hint")
		})
	}
}

// keyLine returns a roster line for a key given by its wire form.
func keyLine(kind string, wire []byte) string {
	return asha + " " + kind + " " + base64.StdEncoding.EncodeToString(wire)
}

func TestAKeyHasOneSpellingAndAKindThatMaySign(t *testing.T) {
	big1024 := new(big.Int).SetBit(new(big.Int).Lsh(big.NewInt(1), 1023), 0, 1)
	dsa := ssh.Marshal(struct {
		Kind       string
		P, Q, G, Y *big.Int
	}{"ssh-dss", big1024, new(big.Int).Lsh(big.NewInt(1), 159), big.NewInt(2), big.NewInt(3)})
	long := ssh.Marshal(struct {
		Kind, E string
		N       *big.Int
	}{"ssh-rsa", "\x00\x01\x00\x01", big1024})
	cert := &ssh.Certificate{Key: sealtest.NewKey("asha").PublicKey(), CertType: ssh.UserCert, ValidPrincipals: []string{asha}}
	require.NoError(t, cert.SignCert(rand.Reader, sealtest.NewKey("dilys")))
	token := sealtest.NewToken(t).PublicKey()
	stray := []byte(keyLine(token.Type(), token.Marshal()))
	stray[len(stray)-2]++ // its last two bits must be zero
	for name, c := range map[string]struct{ line, says string }{
		"DSA":                 {keyLine("ssh-dss", dsa), "cannot be read"},
		"certificate":         {keyLine(cert.Type(), cert.Marshal()), "cannot be used"},
		"needless zero":       {keyLine("ssh-rsa", long), "canonical"},
		"stray padding bits":  {string(stray), "whole base64"},
		"bytes after the key": {keyLine(token.Type(), append(token.Marshal(), 0)), "cannot be read"},
		"padding missing":     {strings.TrimRight(keyLine(token.Type(), token.Marshal()), "="), "whole base64"},
	} {
		_, err := roster.Parse([]byte(c.line))
		assert.ErrorContains(t, err, c.says, name)
	}
	_, err := roster.Parse([]byte(keyLine(token.Type(), token.Marshal())))
	require.NoError(t, err)
}

func TestEveryBadLineIsReportedTogetherInOrder(t *testing.T) {
	text := asha + " " + key("asha") + "\n" +
		"*," + asha + ` valid-after="1" ssh-ed25519 AAAA` + "\n" +
		bryn + " " + key("asha") + "\n" +
		dilys + "\n"
	_, err := roster.Parse([]byte(text))
	var found roster.Problems
	require.True(t, errors.As(err, &found))
	var places []string
	for _, p := range found.List {
		places = append(places, fmt.Sprintf("%d:%d", p.Line, p.Column))
		assert.NotEmpty(t, p.Hint)
	}
	assert.Equal(t, []string{"2:1", "2:39", "2:54", "3:24", "4:24"}, places)
	assert.Contains(t, err.Error(), "already stands on line 1")
}

func TestATextTooLongIsRefused(t *testing.T) {
	_, err := roster.Parse([]byte(strings.Repeat("#", roster.MaxText+1)))
	require.ErrorContains(t, err, "limit")
}

func TestALineWrittenReadsBackTheSame(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		roles := rapid.SliceOfDistinct(rapid.SampledFrom(seal.Namespaces()), rapid.ID[string]).Draw(r, "roles")
		name := rapid.StringMatching(`[a-z][a-z0-9._+-]{0,9}@millbrook\.example`).Draw(r, "name")
		comment := rapid.StringMatching(`([A-Za-z"#=,]{1,5} ?){0,3}[a-z]`).Draw(r, "comment")
		text, err := roster.Line(name, sealtest.NewKey(name).PublicKey(), roles, comment)
		require.NoError(r, err)
		got, err := roster.Parse([]byte(text))
		require.NoError(r, err)
		e, ok := got.Find(print(name))
		require.True(r, ok)
		again, err := e.Format()
		require.NoError(r, err)
		assert.Equal(r, text, again)
		assert.Equal(r, []string{name}, e.Principals)
		assert.Equal(r, strings.Join(strings.Fields(comment), " "), strings.Join(strings.Fields(e.Comment), " "))
		if len(roles) > 0 {
			assert.Equal(r, roles, e.Namespaces)
		} else {
			assert.True(r, e.AllRoles())
		}
	})
}

func TestALineThatWouldReadBackAsAnotherIsNotWritten(t *testing.T) {
	k := sealtest.NewKey("asha").PublicKey()
	for _, c := range []struct {
		name    string
		roles   []string
		comment string
	}{
		{"#" + asha, nil, ""}, {"", nil, ""}, {asha + "," + bryn, nil, ""}, {"a b", nil, ""}, {"a*", nil, ""},
		{asha, []string{"record"}, "x\ny"}, {asha, []string{seal.Record + "," + seal.Witness}, ""},
		{asha, []string{`x" ssh-ed25519`}, ""}, {asha, nil, "x\n" + bryn + " " + key("bryn")}, {asha, nil, "\u202e"},
	} {
		_, err := roster.Line(c.name, k, c.roles, c.comment)
		assert.Error(t, err, "%q", c)
	}
}

func FuzzParse(f *testing.F) {
	f.Add(asha + ` namespaces="record@fenderside",valid-after="20260101Z" ` + key("asha") + " Asha\n# x\n")
	f.Add(asha + "," + bryn + "\t" + key("bryn"))
	f.Add(asha + ` namespaces="git",valid-before="20260101120000Z" ` + key("dilys"))
	f.Fuzz(func(t *testing.T, text string) {
		r, err := roster.Parse([]byte(text))
		if err != nil {
			var found roster.Problems
			require.True(t, errors.As(err, &found))
			require.NotEmpty(t, found.List)
			return
		}
		for _, e := range r.Entries() {
			line, err := e.Format()
			require.NoError(t, err)
			again, err := roster.Parse([]byte(line))
			require.NoError(t, err)
			e.Line = 1
			require.Equal(t, []roster.Entry{e}, again.Entries())
		}
	})
}
