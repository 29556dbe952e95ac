package home

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures/skeleton"
)

func TestACardIsKeptWholeAndNeverInThePlaceOfAnother(t *testing.T) {
	h := Home{ConfigDir: t.TempDir()}
	text, err := skeleton.Card("depot-bus-3")
	require.NoError(t, err)
	c, err := h.KeepCard(text)
	require.NoError(t, err)
	assert.Equal(t, filepath.Join(h.CardsDir(), "depot-bus-3.yaml"), c.File)
	kept, err := os.ReadFile(c.File)
	require.NoError(t, err)
	assert.Equal(t, string(text), string(kept))
	entries, err := os.ReadDir(h.CardsDir())
	require.NoError(t, err)
	assert.Len(t, entries, 1, "nothing but the card is left in the folder")

	_, err = h.KeepCard(text)
	require.ErrorContains(t, err, "left as it is: choose another name")
	other, err := skeleton.Card("depot-bus-4")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(h.CardsDir(), "depot-bus-4.yaml"), []byte("not finished"), 0o600))
	_, err = h.KeepCard(other)
	require.ErrorContains(t, err, "left as it is", "a faulty file is somebody's work too")
	shipped, err := skeleton.Card("millbrook-four")
	require.NoError(t, err)
	_, err = h.KeepCard(shipped)
	require.ErrorContains(t, err, "there is one of that name")
	_, err = h.KeepCard([]byte("fenderside-card: 1\n"))
	require.Error(t, err, "a faulty card is not kept")
}
