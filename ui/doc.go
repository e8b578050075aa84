// Package ui is the page: vugu components over one Planner, which holds the build, its report, and what a person has typed.
//
// A component reads the Planner and calls its actions; it keeps nothing of its own. The Planner knows nothing of the browser, so
// everything here runs and is tested natively. Figures come from core.Report and from nowhere else.
//
// The .vugu files are the templates; `go generate ./ui` writes 0_components_gen.go beside them.
package ui

//go:generate go tool vugugen -s -skip-go-mod -skip-main
//go:generate go run ./internal/squeeze 0_components_gen.go
