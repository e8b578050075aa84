package render

import (
	"encoding/binary"
	"strings"
	"unicode/utf8"
)

// op is the first byte of an operation; doc.go tells the operands of each.
type op byte

const (
	opReset op = 1 + iota
	opAt
	opNode
	opOpenHTML
	opOpenSVG
	opOpenMath
	opClose
	opText
	opData
	opAttr
	opUnattr
	opProp
	opHTML
	opOn
	opOff
	opRemove
	opMove
	opListen
	opContent
)

// batch collects operations and their strings, and knows which names the page has heard.
type batch struct {
	ops   []byte
	text  []byte
	out   []byte
	names map[string]uint32
}

func (b *batch) op(o op)       { b.ops = append(b.ops, byte(o)) }
func (b *batch) uint(v uint32) { b.ops = binary.AppendUvarint(b.ops, uint64(v)) }

func (b *batch) str(s string) {
	units, ok := utf16Len(s)
	if !ok {
		// The page would replace bad bytes by another count of characters than Go does.
		s = strings.ToValidUTF8(s, "\uFFFD")
		units, _ = utf16Len(s)
	}
	b.uint(units)
	b.text = append(b.text, s...)
}

func (b *batch) name(s string) {
	if n, ok := b.names[s]; ok {
		b.uint(n)
		return
	}
	b.names[s] = uint32(len(b.names) + 1)
	b.uint(0)
	b.str(s)
}

// finish returns the collected batch, nil if it is empty, and starts the next one.
// What it returns is overwritten by the finish after it.
func (b *batch) finish() []byte {
	if len(b.ops) == 0 {
		return nil
	}
	b.out = binary.AppendUvarint(b.out[:0], uint64(len(b.ops)))
	b.out = append(b.out, b.ops...)
	b.out = append(b.out, b.text...)
	b.clear()
	return b.out
}

func (b *batch) clear() { b.ops, b.text = b.ops[:0], b.text[:0] }

// utf16Len returns how many UTF-16 units s has on the page, and whether it is valid UTF-8.
func utf16Len(s string) (units uint32, valid bool) {
	for i := 0; i < len(s); i++ {
		if s[i] >= utf8.RuneSelf {
			return utf16LenWide(s)
		}
	}
	return uint32(len(s)), true
}

func utf16LenWide(s string) (units uint32, valid bool) {
	valid = utf8.ValidString(s)
	for _, r := range s {
		units++
		if r > 0xFFFF {
			units++
		}
	}
	return units, valid
}
