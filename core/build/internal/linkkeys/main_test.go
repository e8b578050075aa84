package main

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core/build"
)

func TestReadmeListsTheFieldsAsTheyAre(t *testing.T) {
	readme, err := os.ReadFile("../../../../README.md")
	require.NoError(t, err)
	fresh, err := insert(string(readme))
	require.NoError(t, err)
	assert.Equal(t, fresh, string(readme), "run go generate ./core/build")
	for i := range build.Fields {
		assert.Contains(t, fresh, "| `"+build.Fields[i].Key+"` |")
	}
}

func TestInsertNeedsItsMarkers(t *testing.T) {
	_, err := insert("no markers")
	assert.Error(t, err)
	_, err = insert(begin + " but no end")
	assert.Error(t, err)
}
