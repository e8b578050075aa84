package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSqueezeTakesOnlyIndentation(t *testing.T) {
	const before = `		vgn = &vugu.VGNode{Type: vugu.VGNodeType(1), Data: "\n\t\t"}
		vgparent.AppendChild(vgn)
		vgn = &vugu.VGNode{Type: vugu.VGNodeType(1), Data: " "}
		vgparent.AppendChild(vgn)
		vgn = &vugu.VGNode{Type: vugu.VGNodeType(1), Data: "\n\twords"}
		vgparent.AppendChild(vgn)
			vgn = &vugu.VGNode{Type: vugu.VGNodeType(1), Data: "\n"}
			vgparent.AppendChild(vgn)
		last()
`
	const after = `		vgn = &vugu.VGNode{Type: vugu.VGNodeType(1), Data: " "}
		vgparent.AppendChild(vgn)
		vgn = &vugu.VGNode{Type: vugu.VGNodeType(1), Data: "\n\twords"}
		vgparent.AppendChild(vgn)
		last()
`
	file := filepath.Join(t.TempDir(), "gen.go")
	require.NoError(t, os.WriteFile(file, []byte(before), 0o644))
	require.NoError(t, squeeze(file))
	got, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, after, string(got))
	require.NoError(t, squeeze(file))
	again, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, after, string(again))
	assert.Error(t, squeeze(filepath.Join(t.TempDir(), "absent")))
}
