package price

import "strings"

// record is one row of a CSV text.
type record struct {
	line  int // where it begins, from 1
	raw   string
	cells []string
	fault string // "" where it could be read
}

// records cuts a text into rows as RFC 4180 has them. A quotation mark that is never closed spoils its own line alone and not the rest.
func records(text string, delimiter byte) (list []record) {
	line := 1
	// What may be read in vain. When it is used up, a row ends with its line: else each of many faulty lines would read to the end again.
	vain := 4*len(text) + 1<<12
	for len(text) > 0 {
		most := len(text)
		if vain <= 0 {
			most = lineEnd(text)
		}
		cells, size, fault := row(text[:most], delimiter)
		if fault != "" {
			vain -= size
			cells, size = nil, lineEnd(text)
		}
		raw := strings.TrimRight(text[:size], "\r\n")
		if fault != "" || strings.Trim(raw, " \t"+string(delimiter)) != "" {
			list = append(list, record{line, raw, cells, fault})
		}
		line += breaks(text[:size])
		text = text[size:]
	}
	return list
}

// breaks counts the ends of lines, however they are written.
func breaks(text string) int {
	return strings.Count(text, "\n") + strings.Count(text, "\r") - strings.Count(text, "\r\n")
}

// lineEnd is where the first line ends, its break included.
func lineEnd(text string) int {
	at := strings.IndexAny(text, "\r\n")
	if at < 0 {
		return len(text)
	}
	return at + breakSize(text[at:])
}

// breakSize is the length of the line break that a text begins with.
func breakSize(text string) int {
	switch {
	case strings.HasPrefix(text, "\r\n"):
		return 2
	case text != "" && (text[0] == '\n' || text[0] == '\r'):
		return 1
	}
	return 0
}

// row reads one row and returns how many bytes it takes, its line break included; with a fault, how many were read.
func row(text string, delimiter byte) (cells []string, size int, fault string) {
	at := 0
	for {
		cell, used, fault := cell(text[at:], delimiter)
		if fault != "" {
			return nil, at + used, fault
		}
		cells = append(cells, cell)
		at += used
		if at == len(text) {
			return cells, at, ""
		}
		if text[at] != delimiter {
			return cells, at + breakSize(text[at:]), ""
		}
		at++
	}
}

// cell reads one cell up to what ends it; used is how much was read, with a fault too.
func cell(text string, delimiter byte) (content string, used int, fault string) {
	stops := "\r\n" + string(delimiter)
	if !strings.HasPrefix(text, `"`) {
		used = strings.IndexAny(text, stops)
		if used < 0 {
			used = len(text)
		}
		return text[:used], used, ""
	}
	var out strings.Builder
	at := 1
	for {
		end := strings.IndexByte(text[at:], '"')
		if end < 0 {
			return "", len(text), "has a quotation mark that is never closed"
		}
		out.WriteString(text[at : at+end])
		at += end + 1
		if !strings.HasPrefix(text[at:], `"`) {
			break
		}
		out.WriteByte('"')
		at++
	}
	if at < len(text) && !strings.ContainsRune(stops, rune(text[at])) {
		return "", at, "has something behind a closing quotation mark"
	}
	return out.String(), at, ""
}

// appendRow writes one row as RFC 4180 has it, with its line break.
func appendRow(out []byte, cells ...string) []byte {
	for i, cell := range cells {
		if i > 0 {
			out = append(out, ',')
		}
		if cell = guarded(cell); strings.ContainsAny(cell, "\",;\t\r\n") || strings.TrimSpace(cell) != cell {
			out = append(out, '"')
			out = append(out, strings.ReplaceAll(cell, `"`, `""`)...)
			out = append(out, '"')
			continue
		}
		out = append(out, cell...)
	}
	return append(out, "\r\n"...)
}

// formulas begin what a spreadsheet would compute; a price list that was read may hold one that somebody else put in.
const formulas = "=+-@'"

// guarded puts an apostrophe before what a spreadsheet would take for a formula.
func guarded(cell string) string {
	if cell != "" && strings.IndexByte(formulas, cell[0]) >= 0 {
		return "'" + cell
	}
	return cell
}

// unguarded takes it away again.
func unguarded(cell string) string {
	if len(cell) > 1 && cell[0] == '\'' && strings.IndexByte(formulas, cell[1]) >= 0 {
		return cell[1:]
	}
	return cell
}
