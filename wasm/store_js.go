package main

import (
	"errors"

	"github.com/hack-pad/safejs"

	"headroom/ui"
)

// store is the device's small memory. It is a cache: browsers may wipe it, and private windows refuse it, so every answer may be
// empty and every write may fail in silence. The link is the save.
type store struct {
	storage safejs.Value
	open    bool
}

const (
	keyUnits = "headroom.units"
	keySun   = "headroom.sun"
	keyBuild = "headroom.build"
)

func openStore() store {
	s, err := refusable("localStorage")
	if err != nil || !isObject(s) {
		return store{}
	}
	return store{s, true}
}

// refusable is a property of the window that some browsers throw at instead of handing it over: in a frame of another site, say. An exception of
// a plain Get would end the program; that of a call comes back as an error.
func refusable(name string) (safejs.Value, error) {
	reflect, err := safejs.Global().Get("Reflect")
	if err != nil {
		return safejs.Value{}, err
	}
	return reflect.Call("get", safejs.Global(), name)
}

func isObject(v safejs.Value) bool { return !v.IsUndefined() && !v.IsNull() }

func (s store) get(key string) string {
	if !s.open {
		return ""
	}
	v, err := s.storage.Call("getItem", key)
	if err != nil || !isObject(v) {
		return ""
	}
	text, err := v.String()
	if err != nil {
		return ""
	}
	return text
}

func (s store) set(key, value string) {
	if s.open {
		_, _ = s.storage.Call("setItem", key, value)
	}
}

// keep writes what must not be lost in silence.
func (s store) keep(key, value string) error {
	if !s.open {
		return errClosed
	}
	_, err := s.storage.Call("setItem", key, value)
	return err
}

var errClosed = errors.New("the browser refuses its storage")

func (s store) units() ui.Units {
	if s.get(keyUnits) == "us" {
		return ui.US
	}
	return ui.Metric
}

func (s store) keepUnits(u ui.Units) {
	if u == ui.US {
		s.set(keyUnits, "us")
		return
	}
	s.set(keyUnits, "metric")
}

func (s store) sun() bool { return s.get(keySun) == "on" }

func (s store) keepSun(on bool) {
	if on {
		s.set(keySun, "on")
		return
	}
	s.set(keySun, "off")
}

func (s store) build() string         { return s.get(keyBuild) }
func (s store) keepBuild(link string) { s.set(keyBuild, link) }
