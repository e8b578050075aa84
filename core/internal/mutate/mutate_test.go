//go:build !js

package main

import (
	"go/token"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The tiny package has three comparisons, and so 2 + 1 + 2 mutants; its test misses the boundary of Cap and nothing else.
func TestFindsTheKnownSurvivor(t *testing.T) {
	results, err := Package("./testdata/tiny")
	require.NoError(t, err)
	require.Len(t, results, 5)
	for _, r := range results {
		want := Killed
		if r.From == token.GTR && r.To == token.GEQ {
			want = Survived
			assert.Equal(t, "testdata/tiny/tiny.go:17:7: > → >= survived", r.String())
		}
		assert.Equal(t, want, r.Outcome, r)
	}
}

func TestSaysWhatItCannotDo(t *testing.T) {
	_, err := Package("./testdata/none")
	assert.ErrorContains(t, err, "fail without any mutant")
}

// Every flip differs from what it flips, and every comparison of Go is flipped.
func TestFlips(t *testing.T) {
	for _, op := range []token.Token{token.LSS, token.LEQ, token.GTR, token.GEQ, token.EQL, token.NEQ} {
		assert.NotEmpty(t, flips[op], op)
		assert.NotContains(t, flips[op], op)
	}
}
