package ridelog

import (
	"fmt"
	"math"
	"reflect"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sound fails where a ride holds what it must not: infinite figures anywhere, figures that are none but in stretches, events and plots,
// where they stand for what was not logged, or counts that cannot be.
func sound(t *testing.T, r *Ride, failure string) {
	t.Helper()
	require.LessOrEqual(t, r.Used, r.Rows)
	if failure != "" {
		return
	}
	var walk func(v reflect.Value, gaps bool, way string)
	walk = func(v reflect.Value, gaps bool, way string) {
		switch v.Kind() {
		case reflect.Float64:
			f := v.Float()
			require.False(t, math.IsInf(f, 0), way)
			require.False(t, math.IsNaN(f) && !gaps, way)
		case reflect.Pointer:
			if !v.IsNil() {
				walk(v.Elem(), gaps, way)
			}
		case reflect.Slice, reflect.Array:
			for i := range v.Len() {
				walk(v.Index(i), gaps, fmt.Sprintf("%s[%d]", way, i))
			}
		case reflect.Struct:
			for i := range v.NumField() {
				name := v.Type().Field(i).Name
				walk(v.Field(i), gaps || name == "Steady" || name == "Events" || name == "Buckets", way+"."+name)
			}
		}
	}
	walk(reflect.ValueOf(*r), false, "ride")
	require.GreaterOrEqual(t, r.Seconds, 0.0)
	require.GreaterOrEqual(t, r.Meters, 0.0)
	require.LessOrEqual(t, len(r.Plot.Buckets), buckets)
	for i := range r.Steady {
		s := &r.Steady[i]
		require.True(t, s.Seconds >= leastSteady-1 && s.Speed >= slowSteady, "%+v", s)
	}
	m := Measurements(r, boards["standard"])
	for i := range m {
		require.False(t, math.IsNaN(m[i].Value+m[i].Sigma+m[i].At.Grade+m[i].At.BusV), "%+v", m[i])
		require.Positive(t, m[i].Sigma)
	}
}

// Whatever the bytes: no panic, a sound ride, and the same one in pieces. The corpus lies in testdata/fuzz.
func FuzzRead(f *testing.F) {
	f.Add([]byte(someLog(3, 40)), uint16(100))
	f.Add([]byte("time,speed,duty,voltage,current\n0,10,20,70,5\n1,10,20,70,5\n2,11,20,70,5\n"), uint16(3))
	f.Add([]byte("\ufeffZeit;Geschwindigkeit;Spannung\n12:00:00;10,5;70,1\n12:00:00;10,5;70,1\n12:00:01;10,5;70,1\n"), uint16(1))
	f.Add([]byte("a\tb\n\"1\t2\n3\t4\n"), uint16(7))
	model := NewModel(boards["standard"])
	f.Fuzz(func(t *testing.T, text []byte, size uint16) {
		set := Settings{Model: model, Wanted: 0.03}
		whole, failure := Read(text, set)
		sound(t, &whole, failure)
		r := NewReader(set)
		step := int(size) + 1
		for from := 0; from < len(text); from += step {
			r.Feed(text[from:min(from+step, len(text))])
		}
		pieces, again := r.Finish()
		require.Equal(t, failure, again)
		require.Equal(t, deep(&whole), deep(&pieces))
		// By hand a person may call any column anything.
		if len(whole.Layout.Columns) > 1 {
			l := whole.Layout.Copy()
			for i := range l.Columns {
				l.Use(i, Quantity((i+int(size))%quantities))
			}
			other, failure := Read(text, Settings{Layout: &l, Model: model})
			sound(t, &other, failure)
		}
	})
}

func TestSomeLogsAreSound(t *testing.T) {
	for seed := range uint64(30) {
		r, failure := Read([]byte(someLog(seed, 500)), Settings{Model: NewModel(boards["standard"]), Wanted: 0.05})
		require.Empty(t, failure)
		require.NotNil(t, r.Reserve)
		sound(t, &r, failure)
	}
}

// What a reader holds does not grow with the log: after a first stretch that fills every table, ten times as many rows add nothing to
// speak of.
func TestMemoryDoesNotGrowWithTheLog(t *testing.T) {
	var text []byte
	at := 0.0
	row := func() []byte {
		at += 0.1
		i := int(at * 10)
		text = fmt.Appendf(text[:0], "%.1f,%.1f,%.1f,%.1f,%.1f,%.1f\n", at, 20+float64(i%90)/10, 40+float64(i%90)/8, 70-float64(i%300)/100, 5+float64(i%700)/70, 20.0)
		return text
	}
	r := NewReader(Settings{Model: NewModel(boards["standard"]), Wanted: 0.1})
	r.Feed([]byte("time_s,speed_kmh,duty_pct,pack_v,battery_a,phase_a\n"))
	held := func(rows int) uint64 {
		for range rows {
			r.Feed(row())
		}
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return m.HeapAlloc
	}
	first := held(30_000)
	later := held(150_000)
	assert.Less(t, float64(later)-float64(first), 512e3, "bytes")
	ride, failure := r.Finish()
	require.Empty(t, failure)
	assert.Equal(t, 180_000, ride.Used)
}

// A row of a usual log, all of it: `go test -bench Row`.
func BenchmarkRow(b *testing.B) {
	text := []byte(someLog(5, 5000))
	model := NewModel(boards["standard"])
	b.SetBytes(int64(len(text)) / 5000)
	b.ReportAllocs()
	for n := 0; n < b.N; n += 5000 {
		Read(text, Settings{Model: model, Wanted: 0.03})
	}
}

func BenchmarkModel(b *testing.B) {
	for b.Loop() {
		NewModel(boards["weakened"])
	}
}
