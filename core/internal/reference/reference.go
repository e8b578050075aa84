// Package reference reads the published tables in testdata/ for tests. Where each table comes from stands in
// testdata/README.md. Nothing but tests imports it.
package reference

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

// Row is one line of a table, by column name.
type Row struct {
	t     testing.TB
	cells map[string]string
}

// Table reads a CSV file with a header line; path is relative to the package under test. It ends the test when the file is
// missing, broken or empty.
func Table(t testing.TB, path string) []Row {
	t.Helper()
	file, err := os.Open(path)
	require.NoError(t, err)
	defer func() { _ = file.Close() }() // opened for reading only
	lines, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(lines), 1, "%s holds no rows", path)
	rows := make([]Row, len(lines)-1)
	for i, line := range lines[1:] {
		rows[i] = Row{t, map[string]string{}}
		for j, name := range lines[0] {
			rows[i].cells[name] = line[j]
		}
	}
	return rows
}

// Text returns a cell; a column that the table does not have ends the test.
func (r Row) Text(column string) string {
	r.t.Helper()
	text, ok := r.cells[column]
	require.True(r.t, ok, "no column %q", column)
	return text
}

// Number returns a cell as a number; a cell that is none ends the test.
func (r Row) Number(column string) float64 {
	r.t.Helper()
	v, err := strconv.ParseFloat(r.Text(column), 64)
	require.NoError(r.t, err)
	return v
}
