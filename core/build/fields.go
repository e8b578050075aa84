package build

import (
	"fmt"
	"slices"
)

const (
	milli   = 1e-3
	micro   = 1e-6
	kilo    = 1e3
	percent = 1e-2
	kmh     = 1 / 3.6
	square  = 1e-6 // m² per mm²
)

// Fields is every input of the planner, in canonical link order. The first four rows are the page's sliders.
var Fields = slices.Concat(mainFields, packFields, driveFields, wheelFields, roadFields, protectionFields, chargingFields, weightFields)

func yesNo() []Option { return yesNoOptions }

var yesNoOptions = []Option{{ID: Off, Name: "No"}, {ID: On, Name: "Yes"}}

// Main lists the link keys of the four leading sliders, in the page's order.
var Main = []string{"s", "p", "motor", "kpa"}

var (
	fieldByKey   = map[string]*Field{}
	overrideRows []int
	defaultBuild Build
)

func init() {
	for i := range Fields {
		f := &Fields[i]
		f.place = i
		if f.Scale == 0 {
			f.Scale = 1
		}
		if fieldByKey[f.Key] != nil {
			panic(fmt.Sprintf("build: two fields share the link key %q", f.Key))
		}
		fieldByKey[f.Key] = f
		if f.Optional {
			f.slot = len(overrideRows)
			overrideRows = append(overrideRows, i)
			continue
		}
		f.Clear(&defaultBuild)
	}
}

// FieldFor returns the field with a link key, nil if there is none.
func FieldFor(key string) *Field { return fieldByKey[key] }

// Default is the build the page opens with: a trail board of 18s2p.
func Default() Build { return defaultBuild }
