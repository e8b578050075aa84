package ridelog

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Against strconv, which rounds correctly: the same float64 to the last bit, with a point and with a comma.
func TestNumbersAreThoseOfTheStandardLibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(
			rapid.StringMatching(`[+-]?[0-9]{1,20}(\.[0-9]{0,24})?([eE][+-]?[0-9]{1,2})?`),
			rapid.StringMatching(`-?\.[0-9]{1,9}`),
			rapid.Custom(func(t *rapid.T) string {
				return strconv.FormatFloat(rapid.Float64Range(-1e9, 1e9).Draw(t, "v"), 'f', rapid.IntRange(0, 12).Draw(t, "digits"), 64)
			}),
		).Draw(t, "text")
		want, err := strconv.ParseFloat(text, 64)
		require.NoError(t, err)
		got, ok := number([]byte(text), '.')
		require.True(t, ok, text)
		require.Equal(t, math.Float64bits(want), math.Float64bits(got), text)
		got, ok = number([]byte(strings.Replace(text, ".", ",", 1)), ',')
		require.True(t, ok, text)
		require.Equal(t, math.Float64bits(want), math.Float64bits(got), text)
	})
}

func TestWhatIsNoNumber(t *testing.T) {
	for _, text := range []string{"", "-", "+", ".", "e5", "nan", "NaN", "inf", "-Inf", "0x10", "1_000", "1 000", "1,5", "1.2.3", "12V", "--1", "1e", "1e999", "٣"} {
		_, ok := number([]byte(text), '.')
		assert.False(t, ok, text)
	}
	v, ok := number([]byte("−7.5"), '.') // as spreadsheets write it
	assert.True(t, ok)
	assert.Equal(t, -7.5, v)
	_, ok = number([]byte("1.234,5"), ',')
	assert.False(t, ok, "a group of digits cannot be told from a fraction")
}

// Against package time: ISO 8601 dates of four centuries.
func TestClockIsThatOfTheStandardLibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := time.Unix(rapid.Int64Range(-2e9, 9e9).Draw(t, "s"), rapid.Int64Range(0, 999).Draw(t, "ms")*1e6).UTC()
		want := float64(at.UnixMilli()) / 1e3
		for _, layout := range []string{"2006-01-02T15:04:05.000Z", "2006-01-02 15:04:05.000", "2006/01/02 15:04:05,000", "02.01.2006 15:04:05.000", "2006-01-02T15:04:05.000+00:00", "2006-01-02 03:04:05.000 PM"} {
			text := at.Format(layout)
			got, dated, ok := clock([]byte(text))
			require.True(t, ok && dated, text)
			require.InDelta(t, want, got, 1e-5, text)
		}
		got, dated, ok := clock([]byte(at.Format("15:04:05.000")))
		require.True(t, ok && !dated)
		require.InDelta(t, float64(at.Hour()*3600+at.Minute()*60+at.Second())+float64(at.Nanosecond())/1e9, got, 1e-9)
	})
}

func TestClocks(t *testing.T) {
	for text, want := range map[string]float64{
		"00:00:00": 0, "1:02:03": 3723, "27:00:00": 97200, "12:00:00 AM": 0, "12:00:01 pm": 43201, "1:00:00 p.m.": 46800, "10:20:30.25": 37230.25,
		"1970-01-02 00:01": 86460, "31/12/1969 23:59:59": -1, "12/31/1969 23:59:59": -1,
	} {
		got, _, ok := clock([]byte(text))
		assert.True(t, ok, text)
		assert.InDelta(t, want, got, 1e-9, text)
	}
	for _, text := range []string{"", ":", "12", "12:60:00", "12:00:61", "13:00:00 PM", "0:00:00 AM", "12:3:04", "1970-13-40 00:00:00", "1970-01 00:00:00", "x 00:00:00", "12:00", "00:00:00 x", "100:00:00x"} {
		_, _, ok := clock([]byte(text))
		assert.False(t, ok, text)
	}
}

func BenchmarkNumber(b *testing.B) {
	cell := []byte("-1234.567")
	for b.Loop() {
		if _, ok := number(cell, '.'); !ok {
			b.Fatal(fmt.Sprint(ok))
		}
	}
}
