package reckon

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"

	"drylag/models/climate"
	"drylag/models/heat"
	"drylag/models/unit"
)

// Year is a year of air, prepared for questions about metal in it.
type Year struct {
	*climate.Summary
	Hours    []climate.Hour
	Pressure unit.Pascal // mean of the station

	surface *heat.SurfaceYear // once it is asked for
}

// Shelf holds the climates that a question may name: those that the program
// brings itself, and the hour tables (.csv) and EPW files of a folder. What was
// read once is kept. It is not for several goroutines at once.
type Shelf struct {
	files  fs.FS
	folder string
	read   map[string]*Year
}

// NewShelf takes the files of a folder and the folder's own name, so that
// "climates/room.csv" is found both beside and inside a folder "climates". The
// caller gives files that cannot lead out of the folder; nil is no files.
func NewShelf(files fs.FS, folder string) *Shelf {
	return &Shelf{files: files, folder: folder, read: map[string]*Year{}}
}

const (
	mostKept  = 16       // years kept in memory
	mostBytes = 64 << 20 // of one climate file
)

// shipped are the climates that the program brings itself, by name.
var shipped = []struct {
	name, say string
	year      func() climate.Hourly
}{
	{"steady 24 degC 50 %", "24 °C and 50 % all year, what is assumed of a room without humidity data",
		func() climate.Hourly { return climate.Steady(24, 0.5) }},
}

// Climates lists the names of the climates that the program brings itself.
func Climates() []string {
	names := make([]string, len(shipped))
	for i, s := range shipped {
		names[i] = s.name
	}
	return names
}

// year finds a climate for a field by its name. The error is a *Fault.
func (s *Shelf) year(field, name string) (*Year, error) {
	if s == nil {
		s = NewShelf(nil, "")
	}
	if y := s.read[name]; y != nil {
		return y, nil
	}
	hourly, err := s.hourly(field, name)
	if err != nil {
		return nil, err
	}
	summary, err := climate.Prepare(hourly)
	if err != nil {
		return nil, badClimate(field, name, err)
	}
	if len(s.read) >= mostKept {
		clear(s.read)
	}
	s.read[name] = &Year{Summary: summary, Hours: hourly.Hours, Pressure: hourly.Pressure}
	return s.read[name], nil
}

func (s *Shelf) hourly(field, name string) (climate.Hourly, error) {
	for _, own := range shipped {
		if strings.EqualFold(own.name, name) {
			return own.year(), nil
		}
	}
	if s.files == nil {
		return climate.Hourly{}, fault(ClimateFile, field, "files are not read here; the climates that can be named are: %s", strings.Join(Climates(), ", "))
	}
	file, err := s.open(name)
	if err != nil {
		return climate.Hourly{}, fault(ClimateFile, field, "%q: %s", shorten(name), reason(err))
	}
	defer file.Close()
	read := climate.ReadHourTable
	if strings.EqualFold(path.Ext(file.name), ".epw") {
		read = climate.ReadEPW
	}
	hourly, err := read(&atMost{file, mostBytes})
	if err != nil {
		return climate.Hourly{}, badClimate(field, name, err)
	}
	return hourly, nil
}

// opened is a file with the name under which it was found.
type opened struct {
	fs.File
	name string
}

var (
	errOutside = errors.New("lies outside the folder of climates; give a path inside it")
	errKind    = errors.New("is no hour table (.csv) and no .epw file")
	errLarge   = fmt.Errorf("has more than %d MB", mostBytes>>20)
)

// open finds a file by its path in the folder, with or without its ending.
func (s *Shelf) open(name string) (*opened, error) {
	clean := path.Clean(strings.ReplaceAll(name, `\`, "/"))
	if !fs.ValidPath(clean) {
		return nil, errOutside
	}
	paths := []string{clean}
	if first, rest, ok := strings.Cut(clean, "/"); ok && first == s.folder {
		paths = append(paths, rest)
	}
	var firstErr error
	for _, p := range paths {
		for _, ending := range endings(p) {
			file, err := s.openFile(p + ending)
			if err == nil {
				return &opened{file, p + ending}, nil
			}
			if firstErr == nil {
				firstErr = err
			}
		}
	}
	return nil, firstErr
}

// endings are what may be missing at the end of a name.
func endings(name string) []string {
	if slices.Contains([]string{".csv", ".epw"}, strings.ToLower(path.Ext(name))) {
		return []string{""}
	}
	return []string{".csv", ".epw"}
}

func (s *Shelf) openFile(name string) (fs.File, error) {
	file, err := s.files.Open(name)
	if err != nil {
		return nil, err
	}
	info, err := file.Stat()
	if err == nil && !info.Mode().IsRegular() {
		err = errKind
	}
	if err != nil {
		file.Close()
		return nil, err
	}
	return file, nil
}

// reason is why a file cannot be had, without the path of the machine.
func reason(err error) string {
	switch {
	case errors.Is(err, errOutside), errors.Is(err, errKind), errors.Is(err, errLarge):
		return err.Error()
	case errors.Is(err, fs.ErrNotExist):
		return "there is no such file in the folder of climates"
	case errors.Is(err, fs.ErrPermission):
		return "the file may not be read"
	}
	return "the file cannot be read, or leads outside the folder of climates"
}

// badClimate is what is wrong with the rows of a file, under the file's code.
func badClimate(field, name string, err error) *Fault {
	var bad *climate.FileError
	if errors.As(err, &bad) {
		return fault(bad.Code, field, "%q: %s", shorten(name), strings.TrimPrefix(bad.Error(), bad.Code+": "))
	}
	return fault(ClimateFile, field, "%q: %s", shorten(name), reason(err))
}

// atMost reads up to a limit and then errs.
type atMost struct {
	from io.Reader
	left int64
}

func (a *atMost) Read(p []byte) (int, error) {
	if a.left <= 0 {
		return 0, errLarge
	}
	n, err := a.from.Read(p[:min(int64(len(p)), a.left)])
	a.left -= int64(n)
	return n, err
}
