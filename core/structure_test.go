package core_test

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// upstream lists the parts that each part may import: what is physically before it. A new part is a new row.
var upstream = map[string][]string{
	"build":   {"wire"},
	"solve":   {},
	"wire":    {},
	"limit":   {},
	"cell":    {"build"},
	"pack":    {"build", "cell", "wire"},
	"motor":   {"build", "wire"},
	"drive":   {"build", "motor", "pack", "solve"},
	"tire":    {"build"},
	"road":    {"build", "tire"},
	"ride":    {"build", "drive", "motor", "pack", "road", "solve"},
	"heat":    {"build", "solve", "wire"},
	"protect": {"build", "limit", "pack", "wire"},
	"charge":  {"build", "cell", "limit", "solve"},
	"boxes":   {"build", "limit"},
	"balance": {"boxes", "build", "limit"},
	"review":  {"build", "limit"},
	"rules":   {"build"},
	"link":    {"build"},
	"money":   {},
	"plain":   {},
	"price":   {"money", "plain"},
	"preview": {"link", "money", "plain", "price", "quote"},
	"quote":   {"boxes", "build", "money", "plain", "price", "wire"},
	"route":   {"build", "heat", "pack", "ride", "road", "solve"},
	// ridecheck stands behind the whole board.
	"ridecheck": {"balance", "build", "limit", "pack", "ride", "solve", "wire"},
	"ridelog":   {"pack", "ride", "ridecheck", "road"},
	"find":      {".", "balance", "boxes", "build", "charge", "drive", "heat", "limit", "link", "pack", "protect", "ride", "road"},
	".":         {"balance", "boxes", "build", "cell", "charge", "drive", "heat", "limit", "pack", "protect", "quote", "review", "ride", "road", "route", "rules", "solve", "wire"},
}

// pure is the part of the standard library that computes and formats, and nothing else.
var pure = []string{"encoding/base64", "errors", "fmt", "math", "math/bits", "net/url", "sort", "slices", "strconv", "strings", "unicode", "unicode/utf8", "encoding/json"}

// TestStructure holds every file of the core to the house: physics imports only upstream, pure packages, and stays readable.
func TestStructure(t *testing.T) {
	seen, used := map[string]bool{}, map[string]bool{}
	err := filepath.WalkDir(".", func(file string, entry fs.DirEntry, err error) error {
		require.NoError(t, err)
		if entry.IsDir() || path.Ext(file) != ".go" {
			return nil
		}
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.Less(t, strings.Count(string(text), "\n"), 400, "%s: files stay under 400 lines", file)
		if strings.HasSuffix(file, "_test.go") || strings.Contains(file, "internal/") {
			return nil // tests and their tools may read files and draw lots
		}
		part := filepath.ToSlash(filepath.Dir(file))
		seen[part] = true
		allowed, known := upstream[part]
		require.True(t, known, "part %s is not in the table of who is upstream of whom", part)
		parsed, err := parser.ParseFile(token.NewFileSet(), file, text, parser.ImportsOnly)
		require.NoError(t, err)
		for _, spec := range parsed.Imports {
			name, err := strconv.Unquote(spec.Path.Value)
			require.NoError(t, err)
			if of, ok := strings.CutPrefix(name+"/", "headroom/core/"); ok {
				of = path.Clean(of) // the core itself is "."
				used[part+" "+of] = true
				assert.True(t, slices.Contains(allowed, of), "%s imports %s, which is not upstream of it", file, name)
			} else {
				assert.True(t, slices.Contains(pure, name), "%s imports %s: the core is pure", file, name)
			}
		}
		return nil
	})
	require.NoError(t, err)
	for part := range upstream {
		assert.True(t, seen[part], "part %s is in the table but not in the tree", part)
		for _, of := range upstream[part] {
			assert.True(t, used[part+" "+of], "%s may import %s but does not: an arrow that nobody needs", part, of)
		}
	}
}

// TestUpstreamHasNoCircle follows the arrows of the table: none leads back.
func TestUpstreamHasNoCircle(t *testing.T) {
	var walk func(part string, way []string)
	walk = func(part string, way []string) {
		require.NotContains(t, way, part)
		for _, next := range upstream[part] {
			walk(next, append(slices.Clone(way), part))
		}
	}
	walk(".", nil)
}
