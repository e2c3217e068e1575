package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// root is the module's folder as seen from this package.
const root = "../.."

// mayImport is who may import whom inside the module. What is not on a line is
// forbidden; adding to a line is a decision for DEVELOPERS.md. Tests of a
// package may also import what builds its fixtures.
var mayImport = map[string][]string{
	"cmd/drylag":      nil, // anything
	"server":          {"models", "models/unit", "models/register", "models/reckon", "models/sheet", "reports", "web"},
	"reports":         {"models", "models/unit"},
	"web":             {},
	"models":          {"models/unit"},
	"models/unit":     {},
	"models/air":      {"models/unit"},
	"models/climate":  {"models/unit", "models/air"},
	"models/heat":     {"models/unit", "models/air"},
	"models/vapor":    {"models/unit", "models/air"},
	"models/metal":    {"models/unit"},
	"models/takeoff":  {"models/unit"},
	"models/seal":     {"models"},
	"models/reckon":   {"models/unit", "models/air", "models/climate", "models/heat", "models/vapor", "models/metal", "models/takeoff", "models/seal"},
	"models/risk":     {"models", "models/unit", "models/air", "models/climate", "models/heat", "models/vapor", "models/metal", "models/takeoff", "models/seal"},
	"models/round":    {"models", "models/unit"},
	"models/sheet":    {},
	"models/demo":     {"models", "models/unit", "models/air", "models/climate", "models/register"},
	"models/store":    {"models", "models/unit"},
	"models/register": {"models", "models/unit", "models/air", "models/climate", "models/heat", "models/vapor", "models/metal", "models/takeoff", "models/seal", "models/risk", "models/round", "models/sheet", "models/store"},
}

// homes are the libraries that live in one package only.
var homes = map[string]string{
	"github.com/gin-gonic/gin":        "server",
	"github.com/alexedwards/scs":      "server",
	"gorm.io/":                        "models/store",
	"github.com/mattn/go-sqlite3":     "models/store",
	"modernc.org/sqlite":              "models/store",
	"github.com/pressly/goose":        "models/store",
	"github.com/wcharczuk/go-chart":   "reports",
	"github.com/xuri/excelize":        "models/sheet",
	"github.com/alexedwards/argon2id": "models/register",
	"github.com/alecthomas/kong":      "cmd/drylag",
	"html/template":                   "server",
}

// topLevel are the only entries of the project's folder, dot-folders apart.
var topLevel = []string{"DEVELOPERS.md", "README.md", "cmd", "go.mod", "go.sum", "models", "reports", "server", "testdata", "web"}

func TestTopLevelIsFixed(t *testing.T) {
	entries, err := os.ReadDir(root)
	require.NoError(t, err)
	for _, e := range entries {
		if !strings.HasPrefix(e.Name(), ".") {
			require.Contains(t, topLevel, e.Name())
		}
	}
}

func TestImportsRunOneWay(t *testing.T) {
	seen := 0
	eachGoFile(t, func(pkg, file string, imports []string) {
		seen++
		allowed, listed := mayImport[pkg]
		require.True(t, listed, "%s: package %s is not in the table", file, pkg)
		for _, imp := range imports {
			own, inside := strings.CutPrefix(imp, "drylag/")
			if !inside || pkg == "cmd/drylag" || own == pkg || strings.HasSuffix(file, "_test.go") {
				continue
			}
			require.True(t, slices.Contains(allowed, own), "%s: %s may not import %s", file, pkg, own)
		}
	})
	require.Greater(t, seen, 100, "the walk missed the code")
}

func TestLibrariesHaveOneHome(t *testing.T) {
	eachGoFile(t, func(pkg, file string, imports []string) {
		for _, imp := range imports {
			for library, home := range homes {
				if strings.HasPrefix(imp, library) && !strings.HasSuffix(file, "_test.go") {
					require.Equal(t, home, pkg, "%s imports %s", file, imp)
				}
			}
		}
	})
}

// Formulas cannot reach the clock, the disk, the network or chance.
func TestEngineeringIsPure(t *testing.T) {
	pure := []string{"models", "models/unit", "models/air", "models/climate", "models/heat", "models/vapor", "models/metal", "models/takeoff", "models/seal", "models/risk", "models/round", "reports"}
	forbidden := []string{"os", "net", "net/http", "database/sql", "log", "log/slog", "os/exec"}
	eachGoFile(t, func(pkg, file string, imports []string) {
		if !slices.Contains(pure, pkg) || strings.HasSuffix(file, "_test.go") {
			return
		}
		for _, imp := range imports {
			require.NotContains(t, forbidden, imp, "%s imports %s", file, imp)
		}
		text, err := os.ReadFile(filepath.Join(root, file))
		require.NoError(t, err)
		require.NotContains(t, string(text), "time.Now()", file)
	})
}

// eachGoFile parses the import lines of every Go file of the module.
func eachGoFile(t *testing.T, do func(pkg, file string, imports []string)) {
	t.Helper()
	fset := token.NewFileSet()
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := d.Name()
		if d.IsDir() && path != root && (strings.HasPrefix(name, ".") || name == "testdata") {
			return fs.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(name, ".go") {
			return nil
		}
		f, err := parser.ParseFile(fset, path, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		file, err := filepath.Rel(root, path)
		if err != nil {
			return err
		}
		var imports []string
		for _, spec := range f.Imports {
			imp, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return err
			}
			imports = append(imports, imp)
		}
		do(filepath.ToSlash(filepath.Dir(file)), filepath.ToSlash(file), imports)
		return nil
	})
	require.NoError(t, err)
}
