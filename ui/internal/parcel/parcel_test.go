package parcel

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

type inner struct {
	Text string
	Pair [2]float64
}

type sample struct {
	Embedded
	Yes   bool
	Small uint8
	Count int
	Long  int64
	Real  float64
	One   *inner
	None  *inner
	List  []inner
	Empty []string
	Gone  []string
	Map   map[string]int64
	Lost  map[string]int64
}

// Embedded is within sample as one type of the search is within another.
type Embedded struct{ Deep *float64 }

func drawn(t *rapid.T) sample {
	each := func() inner {
		return inner{rapid.String().Draw(t, "text"), [2]float64{rapid.Float64().Draw(t, "a"), rapid.Float64().Draw(t, "b")}}
	}
	s := sample{
		Yes: rapid.Bool().Draw(t, "yes"), Small: rapid.Byte().Draw(t, "small"), Count: rapid.Int().Draw(t, "count"),
		Long: rapid.Int64().Draw(t, "long"), Real: rapid.Float64().Draw(t, "real"), Empty: []string{},
		Map: rapid.MapOf(rapid.String(), rapid.Int64()).Draw(t, "map"),
	}
	one, deep := each(), rapid.Float64().Draw(t, "deep")
	s.One, s.Deep = &one, &deep
	for range rapid.IntRange(0, 4).Draw(t, "n") {
		s.List = append(s.List, each())
	}
	return s
}

// What is packed comes out the same, down to what is nil and what is empty.
func TestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawn(t)
		var got sample
		require.NoError(t, Unpack(Pack(s), &got))
		assert.Equal(t, s, got)
	})
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), math.Copysign(0, -1), math.SmallestNonzeroFloat64} {
		var got float64
		require.NoError(t, Unpack(Pack(v), &got))
		assert.Equal(t, math.Float64bits(v), math.Float64bits(got), "%v", v)
	}
}

// Bytes that are cut off, longer, or changed never end the program, and cut ones are always told.
func TestDamage(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := Pack(drawn(t))
		var got sample
		require.Error(t, Unpack(b[:rapid.IntRange(0, len(b)-1).Draw(t, "cut")], &got))
		require.Error(t, Unpack(append(b[:len(b):len(b)], 0), &got))
		changed := append([]byte(nil), b...)
		changed[rapid.IntRange(0, len(b)-1).Draw(t, "at")] = rapid.Byte().Draw(t, "to")
		_ = Unpack(changed, &got)
	})
	huge := []byte{0xff, 0xff, 0xff, 0xff, 0x0f}
	assert.Error(t, Unpack(huge, new([]inner)), "more than the bytes can hold")
	assert.Error(t, Unpack(huge, new(map[string]int64)))
	assert.Error(t, Unpack(huge, new(string)))
	assert.Error(t, Unpack([]byte{2}, new(bool)))
}

func TestWhatCannotBePacked(t *testing.T) {
	assert.Panics(t, func() { Pack(struct{ hidden int }{1}) })
	assert.Panics(t, func() { Pack(func() {}) })
	assert.Panics(t, func() { _ = Unpack([]byte{0}, new(chan int)) })
}
