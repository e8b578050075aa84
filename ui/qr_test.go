package ui

import (
	"fmt"
	"image"
	"image/color"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"
	"github.com/makiuchi-d/gozxing/qrcode/encoder"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
	"rsc.io/qr/coding"

	"headroom/core/link"
)

// picture draws a code as the page's path does, a few pixels for each module, within the quiet zone.
func (q *qrCode) picture(scale int) image.Image {
	m := image.NewGray(image.Rect(0, 0, q.side()*scale, q.side()*scale))
	for i := range m.Pix {
		m.Pix[i] = 0xff
	}
	for y, row := range q.dark {
		for x, dark := range row {
			for i := range scale * scale {
				if dark {
					m.SetGray((x+quietZone)*scale+i%scale, (y+quietZone)*scale+i/scale, color.Gray{})
				}
			}
		}
	}
	return m
}

// scanned is what an independent decoder (a port of ZXing) reads in a picture. It is to find the code there; where it cannot, it is told
// that there is nothing else in the picture: it guesses how many modules a side has and at times guesses wrong by one, which a camera that
// moves gets over.
func (q *qrCode) scanned(t require.TestingT) (text string, found bool) {
	bitmap, err := gozxing.NewBinaryBitmapFromImage(q.picture(3))
	require.NoError(t, err)
	if result, err := qrcode.NewQRCodeReader().Decode(bitmap, nil); err == nil {
		return result.GetText(), true
	}
	result, err := qrcode.NewQRCodeReader().Decode(bitmap, map[gozxing.DecodeHintType]any{gozxing.DecodeHintType_PURE_BARCODE: true})
	require.NoError(t, err)
	return result.GetText(), false
}

// Every version of both levels, filled to the last byte and with one byte more than the version before takes, is read back.
func TestEveryVersionOfTheCodeIsRead(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	text := func(n int) string {
		const letters = "abcdefghijklmnopqrstuvwxyz0123456789-._~%&=+#:/"
		var s strings.Builder
		for range n {
			s.WriteByte(letters[random.IntN(len(letters))])
		}
		return s.String()
	}
	seen, found := map[int]coding.Level{}, 0
	for v := coding.Version(1); v <= 40; v++ {
		level := coding.M
		if v > largestM {
			level = coding.L
		}
		most := (8*v.DataBytes(level) - coding.String("").Bits(v)) / 8
		q, err := makeQR(text(most))
		require.NoError(t, err)
		if int(v) > largestM && v <= 25 {
			// What these hold fits level M of version 20, or is the first that does not.
			require.LessOrEqual(t, len(q.dark), 17+4*int(v))
		} else {
			require.Equal(t, 17+4*int(v), len(q.dark), "%d bytes are what version %d holds", most, v)
		}
		seen[len(q.dark)] = q.level
		want := text(most)
		q, err = makeQR(want)
		require.NoError(t, err)
		got, ok := q.scanned(t)
		require.Equal(t, want, got, "version %d", v)
		if ok {
			found++
		}
	}
	assert.Greater(t, found, 35, "of 40 found among other things")
	assert.Equal(t, coding.M, seen[17+4*20])
	assert.Equal(t, coding.L, seen[17+4*40])
	_, err := makeQR(text(2953))
	assert.NoError(t, err, "18004, table 7: version 40, level L")
	_, err = makeQR(text(2954))
	assert.ErrorIs(t, err, errTooLong)
}

func TestCodesOfRandomBuildsAreRead(t *testing.T) {
	found, all := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		b := randomBuild(t)
		address := "https://board-planner.example.org/headroom/#" + link.Encode(&b, nil)
		q, err := makeQR(address)
		require.NoError(t, err)
		got, ok := q.scanned(t)
		require.Equal(t, address, got)
		all++
		if ok {
			found++
		}
	})
	assert.Greater(t, found, all*9/10, "of %d", all)
}

// The data and check codewords of the worked example of ISO/IEC 18004, annex I: "01234567" in version 1-M (from memory of the standard).
func TestTheStandardsExample(t *testing.T) {
	var b coding.Bits
	coding.Num("01234567").Encode(&b, 1)
	b.AddCheckBytes(1, coding.M)
	assert.Equal(t, []byte{0x10, 0x20, 0x0c, 0x56, 0x61, 0x80, 0xec, 0x11, 0xec, 0x11, 0xec, 0x11, 0xec, 0x11, 0xec, 0x11,
		0xa5, 0x24, 0xd4, 0xc1, 0xed, 0x36, 0xc7, 0x87, 0x2c, 0x55}, b.Bytes())
}

// The penalty is that of another implementation of the standard, for codes and for noise.
func TestPenaltyOfAMask(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size := rapid.IntRange(1, 40).Draw(t, "size")
		odds := rapid.IntRange(1, 9).Draw(t, "odds")
		q := &qrCode{dark: make([][]bool, size)}
		other := encoder.NewByteMatrix(size, size)
		random := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
		for y := range q.dark {
			q.dark[y] = make([]bool, size)
			for x := range q.dark[y] {
				q.dark[y][x] = random.IntN(10) < odds
				if random.IntN(4) == 0 && x >= 6 {
					for i, bit := range []bool{true, false, true, true, true, false, true} {
						q.dark[y][x-6+i] = bit
					}
				}
			}
			for x := range q.dark[y] {
				other.SetBool(x, y, q.dark[y][x])
			}
		}
		want := encoder.MaskUtil_applyMaskPenaltyRule1(other) + encoder.MaskUtil_applyMaskPenaltyRule2(other) +
			encoder.MaskUtil_applyMaskPenaltyRule3(other) + encoder.MaskUtil_applyMaskPenaltyRule4(other)
		require.Equal(t, want, q.penalty())
	})
}

// The path covers the dark modules and nothing else: counted back from its own text.
func TestPathDrawsTheModules(t *testing.T) {
	q, err := makeQR("https://example.org/#v=1")
	require.NoError(t, err)
	path := q.path()
	dark := 0
	for _, row := range q.dark {
		for _, d := range row {
			if d {
				dark++
			}
		}
	}
	drawn := 0
	for _, run := range strings.Split(strings.TrimSuffix(path, "z"), "z") {
		var x, y, w, back int
		n, err := fmt.Sscanf(run, "M%d %dh%dv1h-%d", &x, &y, &w, &back)
		require.NoError(t, err, run)
		require.Equal(t, 4, n)
		require.Equal(t, w, back)
		for i := range w {
			require.True(t, q.dark[y-quietZone][x-quietZone+i])
		}
		drawn += w
	}
	assert.Equal(t, dark, drawn)
}
