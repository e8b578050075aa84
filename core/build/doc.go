// Package build is what a person chooses: the Build, the Fields table that describes every input once, and the
// catalogs of generic parts.
//
// The Fields table is the single source of truth. Form controls, validation, the link codec, the documentation and the
// random builds of the tests all read it. Adding an input is one row of the table plus the equation that uses it.
//
// Every quantity in a Build and in a part class is SI (V, A, Ω, H, Wb, m, m/s, kg, Pa, J); temperatures are °C, charge is
// a fraction of 1 and cell capacity is in ampere-hours, as its name says. A Field knows how its value is written in a link
// and in the form (kPa, km/h, mΩ, mm, %), and converts with its Scale.
//
// Part classes are generic. Each carries a Note that says where its values come from; where no published source exists the
// note says so, and every value can be overridden by hand.
package build

//go:generate go run ./internal/linkkeys ../../README.md
