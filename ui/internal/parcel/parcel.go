// Package parcel packs values for another run of the same program. JSON has no NaN, with which a log says that a figure is missing, and
// takes nine times as long to read.
//
// A value is written as it lies there, with no names: numbers whole, counts before texts, lists and maps, one byte before what a pointer
// points to. The two programs must therefore be of the same build, as a page and its threads are.
package parcel

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"reflect"
)

// Pack packs a value of booleans, numbers, texts, and arrays, lists, maps, pointers and structs of exported fields of them. It panics at
// anything else, which is a mistake of the program.
func Pack(v any) []byte { return pack(nil, reflect.ValueOf(v)) }

func pack(out []byte, v reflect.Value) []byte {
	switch v.Kind() {
	case reflect.Bool:
		if v.Bool() {
			return append(out, 1)
		}
		return append(out, 0)
	case reflect.Int, reflect.Int64:
		return binary.AppendVarint(out, v.Int())
	case reflect.Uint8, reflect.Uint32:
		return binary.AppendUvarint(out, v.Uint())
	case reflect.Float64:
		return binary.LittleEndian.AppendUint64(out, math.Float64bits(v.Float()))
	case reflect.String:
		return append(binary.AppendUvarint(out, uint64(v.Len())), v.String()...)
	case reflect.Pointer:
		if v.IsNil() {
			return append(out, 0)
		}
		return pack(append(out, 1), v.Elem())
	case reflect.Slice:
		if v.IsNil() {
			return append(out, 0)
		}
		out = binary.AppendUvarint(out, uint64(v.Len())+1) // 0 is nil
		fallthrough
	case reflect.Array:
		for i := range v.Len() {
			out = pack(out, v.Index(i))
		}
		return out
	case reflect.Map:
		if v.IsNil() {
			return append(out, 0)
		}
		out = binary.AppendUvarint(out, uint64(v.Len())+1)
		for each := v.MapRange(); each.Next(); {
			out = pack(pack(out, each.Key()), each.Value())
		}
		return out
	case reflect.Struct:
		for i := range v.NumField() {
			if !v.Type().Field(i).IsExported() {
				panic(fmt.Sprintf("parcel: %v has a field of its own, %s", v.Type(), v.Type().Field(i).Name))
			}
			out = pack(out, v.Field(i))
		}
		return out
	}
	panic(fmt.Sprintf("parcel: a %v cannot be packed", v.Type()))
}

// errDamaged is what Unpack says of bytes that are no value of that type.
var errDamaged = errors.New("parcel: damaged")

// Unpack fills what into points to from what Pack made of a value of the same type. Whatever the bytes are, it takes no more memory than a
// small multiple of their number.
func Unpack(from []byte, into any) error {
	r := reader{left: from}
	r.unpack(reflect.ValueOf(into).Elem())
	if r.bad || len(r.left) > 0 {
		return errDamaged
	}
	return nil
}

type reader struct {
	left []byte
	bad  bool
}

func (r *reader) take(n int) []byte {
	if r.bad || n > len(r.left) {
		r.bad = true
		return nil
	}
	out := r.left[:n]
	r.left = r.left[n:]
	return out
}

// moved passes over a number that was read.
func (r *reader) moved(n int) {
	if n <= 0 {
		r.bad = true
		return
	}
	r.left = r.left[n:]
}

func (r *reader) unsigned() uint64 {
	u, n := binary.Uvarint(r.left)
	r.moved(n)
	return u
}

// flag reads a byte that is 0 or 1.
func (r *reader) flag() bool {
	b := r.take(1)
	if len(b) == 1 && b[0] > 1 {
		r.bad = true
	}
	return !r.bad && b[0] == 1
}

// count reads how many follow, each of a byte or more; ok is false for nil.
func (r *reader) count() (n int, ok bool) {
	u := r.unsigned()
	if r.bad || u == 0 {
		return 0, false
	}
	if u-1 > uint64(len(r.left)) {
		r.bad = true
		return 0, false
	}
	return int(u - 1), true
}

func (r *reader) unpack(v reflect.Value) {
	if r.bad {
		return
	}
	switch v.Kind() {
	case reflect.Bool:
		v.SetBool(r.flag())
	case reflect.Int, reflect.Int64:
		i, n := binary.Varint(r.left)
		r.moved(n)
		v.SetInt(i)
	case reflect.Uint8, reflect.Uint32:
		v.SetUint(r.unsigned())
	case reflect.Float64:
		if b := r.take(8); b != nil {
			v.SetFloat(math.Float64frombits(binary.LittleEndian.Uint64(b)))
		}
	case reflect.String:
		if u := r.unsigned(); u <= uint64(len(r.left)) {
			v.SetString(string(r.take(int(u))))
		} else {
			r.bad = true
		}
	case reflect.Pointer:
		if r.flag() {
			v.Set(reflect.New(v.Type().Elem()))
			r.unpack(v.Elem())
		}
	case reflect.Slice:
		if n, ok := r.count(); ok {
			v.Set(reflect.MakeSlice(v.Type(), n, n))
			r.each(v)
		}
	case reflect.Array:
		r.each(v)
	case reflect.Map:
		if n, ok := r.count(); ok {
			v.Set(reflect.MakeMapWithSize(v.Type(), n))
			for range n {
				key, value := reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem()
				r.unpack(key)
				r.unpack(value)
				if r.bad {
					return
				}
				v.SetMapIndex(key, value)
			}
		}
	case reflect.Struct:
		for i := range v.NumField() {
			r.unpack(v.Field(i))
		}
	default:
		panic(fmt.Sprintf("parcel: a %v cannot be unpacked", v.Type()))
	}
}

func (r *reader) each(v reflect.Value) {
	for i := 0; i < v.Len() && !r.bad; i++ {
		r.unpack(v.Index(i))
	}
}
