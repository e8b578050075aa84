package main

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"strings"
)

// The icon is the headroom bar on a rounded square: the part in use is filled, the spare part open, and a notch
// marks where the wanted reserve begins. One list of shapes gives the SVG and every PNG.

// unit is the side of the square that all shapes are drawn in.
const unit = 512.0

var (
	ink   = color.NRGBA{0x20, 0x26, 0x2b, 0xff}
	paper = color.NRGBA{0xf5, 0xf2, 0xea, 0xff}
	used  = color.NRGBA{0x6f, 0xc3, 0xcf, 0xff}
)

// shape is a filled area.
type shape interface {
	holds(x, y float64) bool
	svg(fill string) string
}

// box is a rectangle with rounded corners.
type box struct{ x, y, w, h, r float64 }

func (b box) holds(x, y float64) bool {
	if x < b.x || y < b.y || x > b.x+b.w || y > b.y+b.h {
		return false
	}
	dx := max(b.x+b.r-x, x-(b.x+b.w-b.r), 0)
	dy := max(b.y+b.r-y, y-(b.y+b.h-b.r), 0)
	return dx*dx+dy*dy <= b.r*b.r || dx == 0 || dy == 0
}

func (b box) svg(fill string) string {
	return fmt.Sprintf(`<rect x="%g" y="%g" width="%g" height="%g" rx="%g" fill="%s"/>`, b.x, b.y, b.w, b.h, b.r, fill)
}

// wedge is a triangle that points down: its flat side centered on x at top, its point at bottom.
type wedge struct{ x, top, half, bottom float64 }

func (t wedge) holds(x, y float64) bool {
	if y < t.top || y > t.bottom {
		return false
	}
	reach := t.half * (t.bottom - y) / (t.bottom - t.top)
	return x >= t.x-reach && x <= t.x+reach
}

func (t wedge) svg(fill string) string {
	return fmt.Sprintf(`<path d="M%g %gH%gL%g %gZ" fill="%s"/>`, t.x-t.half, t.top, t.x+t.half, t.x, t.bottom, fill)
}

// layer is a shape in its color.
type layer struct {
	shape shape
	color color.NRGBA
}

// motif lies in the middle of the square, the bar a little below so that bar and notch are centered together.
var motif = []layer{
	{box{60, 206, 392, 164, 54}, paper},
	{box{84, 230, 344, 116, 32}, ink},
	{box{84, 230, 200, 116, 32}, used},
	{box{190, 230, 108, 116, 0}, used},
	{box{346, 230, 24, 116, 0}, paper},
	{wedge{358, 116, 50, 190}, paper},
}

// tile is the whole icon: corner is the corner radius of the square, scale the size of the motif in it.
type tile struct {
	corner, scale float64
}

var (
	rounded  = tile{112, 1}
	bleeding = tile{0, 0.78} // for a launcher that cuts its own shape: all inside the middle 80 % circle
	full     = tile{0, 0.9}  // for a launcher that rounds the corners a little
)

// icons are the files, with the side of each PNG in pixels.
var icons = []struct {
	name string
	tile tile
	side int
}{
	{"favicon-48.png", rounded, 48},
	{"icon-192.png", rounded, 192},
	{"icon-512.png", rounded, 512},
	{"maskable-512.png", bleeding, 512},
	{"touch-180.png", full, 180},
}

// drawIcons writes icon.svg and all PNGs into folder.
func drawIcons(folder string) error {
	if err := os.WriteFile(filepath.Join(folder, "icon.svg"), []byte(rounded.svg()), 0o644); err != nil {
		return err
	}
	for _, icon := range icons {
		var file bytes.Buffer
		encoder := png.Encoder{CompressionLevel: png.BestCompression}
		if err := encoder.Encode(&file, icon.tile.draw(icon.side)); err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(folder, icon.name), file.Bytes(), 0o644); err != nil {
			return err
		}
	}
	return nil
}

func (t tile) svg() string {
	var text strings.Builder
	fmt.Fprintf(&text, "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %g %g\">\n", unit, unit)
	fmt.Fprintf(&text, "\t%s\n", box{0, 0, unit, unit, t.corner}.svg(web(ink)))
	for _, l := range motif {
		fmt.Fprintf(&text, "\t%s\n", l.shape.svg(web(l.color)))
	}
	text.WriteString("</svg>\n")
	return text.String()
}

// draw paints the tile with smooth edges: each pixel is the mean of a grid of samples.
func (t tile) draw(side int) *image.NRGBA {
	const grid = 4
	picture := image.NewNRGBA(image.Rect(0, 0, side, side))
	for py := range side {
		for px := range side {
			var r, g, b, covered int
			for sy := range grid {
				for sx := range grid {
					at, ok := t.sample(
						(float64(px)+(float64(sx)+0.5)/grid)*unit/float64(side),
						(float64(py)+(float64(sy)+0.5)/grid)*unit/float64(side))
					if ok {
						r, g, b, covered = r+int(at.R), g+int(at.G), b+int(at.B), covered+1
					}
				}
			}
			if covered > 0 {
				picture.SetNRGBA(px, py, color.NRGBA{
					uint8(r / covered), uint8(g / covered), uint8(b / covered), uint8(covered * 255 / (grid * grid))})
			}
		}
	}
	return picture
}

// sample is the color at a point; ok is false outside the square.
func (t tile) sample(x, y float64) (at color.NRGBA, ok bool) {
	if !(box{0, 0, unit, unit, t.corner}).holds(x, y) {
		return color.NRGBA{}, false
	}
	at = ink
	x, y = (x-unit/2)/t.scale+unit/2, (y-unit/2)/t.scale+unit/2
	for _, l := range motif {
		if l.shape.holds(x, y) {
			at = l.color
		}
	}
	return at, true
}

// web is a color as style sheets write it.
func web(c color.NRGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }
