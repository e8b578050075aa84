package build

import (
	"math"
	"strconv"
	"strings"
)

// Leg is one part of a ride: the speed it ends at as a share of the riding speed, the grade on the way, and its duration in s. Speed
// changes evenly from the end of the leg before.
type Leg struct {
	Share   float64
	Grade   float64 // rise over run
	Seconds float64
}

// ProfileClass is one ride: legs that repeat. A nil list is a steady ride on the build's grade.
type ProfileClass struct {
	Class
	Legs []Leg
}

// The rides of our own are short tables made for one purpose each; they stand for no place and no rider.
var neighborhood = []Leg{
	{0.7, 0, 8}, {0.7, 0, 30}, {0.4, 0, 5}, {0.4, 0, 6}, {1, 0, 8}, {1, 0, 35}, {0, 0, 8}, {0, 0, 8},
	{0.8, 0.01, 9}, {0.8, 0.01, 30}, {0.8, -0.01, 30}, {0, -0.01, 8}, {0, 0, 5},
}

var stopAndGo = []Leg{
	{1, 0, 6}, {1, 0, 10}, {0, 0, 5}, {0, 0, 6}, {0.8, 0, 5}, {0.8, 0, 6}, {0.2, 0, 4}, {0.9, 0, 5}, {0.9, 0, 12}, {0, 0, 5}, {0, 0, 8},
}

var hills = []Leg{
	{0.8, 0, 8}, {0.8, 0.08, 60}, {0.7, 0.12, 20}, {0.7, 0.12, 25}, {1, 0, 10}, {1, 0, 30}, {0.8, -0.08, 10}, {0.8, -0.08, 55}, {0.8, -0.12, 40}, {0, 0, 8}, {0, 0, 5},
}

var carve = []Leg{
	{1, 0, 6}, {1, 0, 4}, {0.75, 0, 2}, {1, 0, 2.5}, {1, 0, 5}, {0.8, 0.03, 2}, {1, 0.03, 3}, {1, 0.03, 6}, {0.7, -0.03, 3}, {1, -0.03, 3}, {1, -0.03, 6}, {0.75, 0, 2}, {1, 0, 2.5},
}

// ece15 is the urban cycle of UN Regulation 83 (also 101) with manual gear changes: break points of 195 s with a top of 50 km/h
// (European Commission JRC, CO2MPAS, cycle/NEDC.py; testdata/ece15.csv). Its integral is 1018.33 m.
var ece15 = func() []Leg {
	points := [][2]float64{{0, 0}, {11, 0}, {15, 15}, {23, 15}, {25, 10}, {28, 0}, {49, 0}, {54, 15}, {56, 15}, {61, 32}, {85, 32}, {93, 10}, {96, 0},
		{117, 0}, {122, 15}, {124, 15}, {133, 35}, {135, 35}, {143, 50}, {155, 50}, {163, 35}, {176, 35}, {178, 35}, {185, 10}, {188, 0}, {195, 0}}
	legs := make([]Leg, 0, len(points)-1)
	for i := 1; i < len(points); i++ {
		legs = append(legs, Leg{points[i][1] / 50, 0, points[i][0] - points[i-1][0]})
	}
	return legs
}()

// Profiles is the catalog of rides. Ids are frozen: links carry them.
var Profiles = []ProfileClass{
	{Class{"steady", "Steady speed", "One speed on one grade: the figure to compare boards with."}, nil},
	{Class{"neighborhood", "Gentle neighborhood", "Ours: slow corners, two stops, a slight rise and fall."}, neighborhood},
	{Class{"stopgo", "Stop and go", "Ours: hard starts and stops between crossings; shows what starting costs and what braking brings back."}, stopAndGo},
	{Class{"hills", "Hills", "Ours: climbs of 8 and 12 %, and the way down; shows heat and the regeneration ceiling."}, hills},
	{Class{"carve", "Fast carving", "Ours: fast, with bursts out of each turn; shows the least reserve."}, carve},
	{Class{"ece15", "ECE-15 urban cycle", "UN Regulation 83, urban part, scaled so that its 50 km/h is the riding speed; times as published."}, ece15},
	{Class{"own", "A ride of your own", "The rows below it."}, nil},
}

// Row is one row of a ride of one's own.
type Row struct {
	Distance float64 // m
	Speed    float64 // km/h
	Grade    float64 // %
}

const (
	maxRows   = 12
	rowMarks  = "_"
	cellMarks = "~"
)

// ParseRows reads rows of distance (m, 1…100 000), speed (km/h, 3…100) and grade (%, −30…30), written 500~20~2_800~25~-1; line breaks,
// blanks and semicolons do as well. It returns the rows that can be used and one sentence about the first that cannot; "" if all can.
func ParseRows(text string) (rows []Row, problem string) {
	text = strings.NewReplacer("\n", rowMarks, "\r", "", ";", rowMarks, "\t", cellMarks, " ", cellMarks).Replace(strings.TrimSpace(text))
	for _, line := range strings.Split(text, rowMarks) {
		var cells []string
		for _, c := range strings.Split(line, cellMarks) {
			if c != "" {
				cells = append(cells, c)
			}
		}
		if len(cells) == 0 {
			continue
		}
		row, ok := parseRow(cells)
		switch {
		case !ok && problem == "":
			problem = "“" + Foreign(line) + "” is not distance (1 to 100000 m), speed (3 to 100 km/h) and grade (−30 to 30 %); that row was left out."
		case ok && len(rows) == maxRows && problem == "":
			problem = "only the first " + strconv.Itoa(maxRows) + " rows are used."
		case ok && len(rows) < maxRows:
			rows = append(rows, row)
		}
	}
	return rows, problem
}

func parseRow(cells []string) (Row, bool) {
	if len(cells) != 3 {
		return Row{}, false
	}
	var v [3]float64
	for i, c := range cells {
		x, err := ParseNumber(strings.Replace(c, "−", "-", 1))
		if err != nil {
			return Row{}, false
		}
		// Three digits after the point are more than anyone measures; they keep a link short and its text canonical.
		v[i] = math.Round(x*1e3) / 1e3
	}
	r := Row{v[0], v[1], v[2] + 0}
	ok := r.Distance >= 1 && r.Distance <= 1e5 && r.Speed >= 3 && r.Speed <= 100 && r.Grade >= -30 && r.Grade <= 30
	return r, ok
}

// FormatRows writes rows canonically; "" for none.
func FormatRows(rows []Row) string {
	var out []byte
	for i, r := range rows {
		if i > 0 {
			out = append(out, rowMarks...)
		}
		for j, v := range [3]float64{r.Distance, r.Speed, r.Grade} {
			if j > 0 {
				out = append(out, cellMarks...)
			}
			if v == 0 {
				v = 0 // never "-0"
			}
			out = strconv.AppendFloat(out, v, 'f', -1, 64)
		}
	}
	return string(out)
}
