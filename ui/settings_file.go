package ui

import (
	"encoding/json"
	"strconv"
	"strings"

	"headroom/core/build"
	"headroom/core/review"
)

// The file of the settings, as README.md documents it.
const (
	settingsFormat  = "headroom-settings"
	settingsVersion = 1
	settingsCaution = "Estimates for this build's parts as entered, until checked on the finished board. The data sheets of controller, cells and motor come first."
)

// sheetRow is one input of the build; what the settings check says stands in the rows of the settings alone.
type sheetRow struct {
	Key         string          `json:"key"`
	Label       string          `json:"label"`
	Unit        string          `json:"unit"`
	Value       json.RawMessage `json:"value"` // a number in Unit; a text for a choice and for a table
	From        string          `json:"from"`  // "build" where it is entered, "class" where the class of a part or another input gives it
	Recommended *float64        `json:"recommended,omitempty"`
	ClearFrom   *float64        `json:"clear_from,omitempty"`
	ClearTo     *float64        `json:"clear_to,omitempty"`
	Status      string          `json:"status,omitempty"`

	text string // Value as a table writes it
}

// sheet lists the settings in the order in which a controller is gone through, and the other inputs in that of the Fields table.
func (p *Planner) sheet() (settings, inputs []sheetRow) {
	checked := map[string]*review.Row{}
	for i := range p.Report.Settings {
		checked[p.Report.Settings[i].Key] = &p.Report.Settings[i]
	}
	for _, key := range review.Keys() {
		if r := checked[key]; r != nil {
			row := p.sheetRow(build.FieldFor(key))
			row.Recommended, row.ClearFrom, row.ClearTo, row.Status = &r.Should, r.Low, r.High, string(r.Status)
			settings = append(settings, row)
		}
	}
	for i := range build.Fields {
		if f := &build.Fields[i]; checked[f.Key] == nil {
			inputs = append(inputs, p.sheetRow(f))
		}
	}
	return settings, inputs
}

func (p *Planner) sheetRow(f *build.Field) sheetRow {
	row := sheetRow{Key: f.Key, Label: f.Label, Unit: f.Unit, From: "build"}
	if f.Kind == build.Choice || f.Kind == build.Rows {
		row.text = f.Text(&p.Build)
		row.Value, _ = json.Marshal(row.text) // a string always can be
		return row
	}
	if !f.Given(&p.Build) {
		row.From = "class"
	}
	row.text = plainNumber(f.ValueIn(&p.Build, &p.parts))
	row.Value = json.RawMessage(row.text)
	return row
}

func plainNumber(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// settingsJSON is the file as JSON.
func (p *Planner) settingsJSON() []byte {
	file := struct {
		Format   string     `json:"format"`
		Version  int        `json:"version"`
		Link     string     `json:"link"`
		Caution  string     `json:"caution"`
		Settings []sheetRow `json:"settings"`
		Inputs   []sheetRow `json:"inputs"`
	}{Format: settingsFormat, Version: settingsVersion, Link: p.Link(), Caution: settingsCaution}
	file.Settings, file.Inputs = p.sheet()
	return plainJSON(file)
}

// settingsCSV is the same as a table.
func (p *Planner) settingsCSV() string {
	var s strings.Builder
	csvRow(&s, "kind", "key", "label", "unit", "value", "from", "recommended", "clear_from", "clear_to", "status")
	optional := func(v *float64) string {
		if v == nil {
			return ""
		}
		return plainNumber(*v)
	}
	settings, inputs := p.sheet()
	for i, list := range [2][]sheetRow{settings, inputs} {
		kind := [2]string{"setting", "input"}[i]
		for j := range list {
			r := &list[j]
			csvRow(&s, kind, r.Key, r.Label, r.Unit, r.text, r.From, optional(r.Recommended), optional(r.ClearFrom), optional(r.ClearTo), r.Status)
		}
	}
	return s.String()
}

// csvRow writes one row as RFC 4180 has it.
func csvRow(s *strings.Builder, cells ...string) {
	for i, c := range cells {
		if i > 0 {
			s.WriteByte(',')
		}
		if strings.ContainsAny(c, "\",\r\n") {
			c = `"` + strings.ReplaceAll(c, `"`, `""`) + `"`
		}
		s.WriteString(c)
	}
	s.WriteString("\r\n")
}

// SaveSettingsTable and SaveSettingsJSON hand the settings, recommended and as they are, and every other input to the browser as a file.
func (p *Planner) SaveSettingsTable() {
	p.save("headroom-settings.csv", "text/csv;charset=utf-8", p.settingsCSV())
}

// SaveSettingsJSON is the same for a program to read.
func (p *Planner) SaveSettingsJSON() {
	p.save("headroom-settings.json", fileMediaType, string(p.settingsJSON()))
}
