package ridelog

import (
	"encoding/csv"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// cells splits a text in pieces of the given lengths.
func cells(text string, delimiter byte, pieces ...int) (rows [][]string, lines []int) {
	s := newSplitter(delimiter, func(r *record) {
		row := make([]string, r.cells())
		for i := range row {
			row[i] = string(r.cell(i))
		}
		rows, lines = append(rows, row), append(lines, r.line)
	})
	for _, n := range pieces {
		n = min(n, len(text))
		s.feed([]byte(text[:n]))
		text = text[n:]
	}
	s.feed([]byte(text))
	s.finish()
	return rows, lines
}

// Against encoding/csv, which is the standard library's reading of RFC 4180: tables of any cells, quoted as its writer and as a strange
// one do, with either line end, cut anywhere.
func TestSplitterReadsWhatTheStandardLibraryReads(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		delimiter := rapid.SampledFrom([]byte{',', ';', '\t', '|'}).Draw(t, "delimiter")
		cell := rapid.StringOfN(rapid.RuneFrom([]rune("09.-, ;\t|\"\n\rxé")), 0, 6, -1)
		end := rapid.SampledFrom([]string{"\n", "\r\n"}).Draw(t, "end")
		var text strings.Builder
		for range rapid.IntRange(0, 8).Draw(t, "rows") {
			for i := range rapid.IntRange(1, 5).Draw(t, "cells") {
				if i > 0 {
					text.WriteByte(delimiter)
				}
				c := cell.Draw(t, "cell")
				if strings.ContainsAny(c, "\"\r\n"+string(delimiter)) || rapid.Bool().Draw(t, "quoted") {
					c = `"` + strings.ReplaceAll(c, `"`, `""`) + `"`
				}
				text.WriteString(c)
			}
			text.WriteString(end)
		}
		whole := text.String()
		if rapid.Bool().Draw(t, "without the last end") {
			whole = strings.TrimSuffix(whole, end)
		}
		r := csv.NewReader(strings.NewReader(whole))
		r.Comma, r.FieldsPerRecord = rune(delimiter), -1
		want, err := r.ReadAll()
		require.NoError(t, err)

		got, lines := cells(whole, delimiter)
		require.Equal(t, len(want), len(got), "%q", whole)
		for i := range want {
			require.Equal(t, want[i], got[i], "%q", whole)
		}
		for at := range len(whole) {
			again, again2 := cells(whole, delimiter, at)
			require.True(t, slices.EqualFunc(got, again, slices.Equal), "%q cut at %d", whole, at)
			require.Equal(t, lines, again2)
		}
		ones := make([]int, len(whole))
		for i := range ones {
			ones[i] = 1
		}
		again, _ := cells(whole, delimiter, ones...)
		require.True(t, slices.EqualFunc(got, again, slices.Equal), "%q letter by letter", whole)
	})
}

func TestLinesAreThoseOfTheFile(t *testing.T) {
	_, lines := cells("a,b\n\n\"x\ny\",2\r\n3,4", ',')
	assert.Equal(t, []int{1, 3, 5}, lines)
}

// A quote that never closes costs the rows up to a bound and not the file.
func TestQuoteThatNeverCloses(t *testing.T) {
	text := "a,b\n1,\"2\n" + strings.Repeat("3,4\n", 4000)
	var broken, rows int
	s := newSplitter(',', func(r *record) {
		rows++
		if r.broken {
			broken++
		}
	})
	s.feed([]byte(text))
	s.finish()
	assert.Equal(t, 1, broken)
	assert.InDelta(t, 4002-longest/4, rows, 3)
}

func TestLongRowsAndManyCells(t *testing.T) {
	var broken []bool
	s := newSplitter(',', func(r *record) { broken = append(broken, r.broken) })
	s.feed([]byte(strings.Repeat("x", longest) + "\n" + strings.Repeat("x", longest+1) + "\n" +
		strings.Repeat(",", mostCells-1) + "\n" + strings.Repeat(",", mostCells) + "\nx"))
	s.finish()
	assert.Equal(t, []bool{false, true, false, true, false}, broken)
}
