package server

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"strings"

	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/web"
)

// staticPath is where static files lie. The next part of the address is the
// version, a hash over all of them: modules that import each other by relative
// address stay together, and a file may be kept for ever.
const staticPath = "/static/"

// asset is a static file, ready to send.
type asset struct {
	kind          string
	plain, zipped []byte // zipped: nil where it would not be smaller
}

// static is all files of web/static under one version.
type static struct {
	version string
	assets  map[string]asset
}

func loadStatic() (static, error) {
	files, hash := map[string]asset{}, sha256.New()
	err := fs.WalkDir(web.Static(), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		content, err := fs.ReadFile(web.Static(), name)
		if err != nil {
			return err
		}
		fmt.Fprintf(hash, "%s %d\n", name, len(content))
		hash.Write(content)
		files[name] = newAsset(name, content)
		return nil
	})
	return static{version: hex.EncodeToString(hash.Sum(nil))[:12], assets: files}, err
}

func newAsset(name string, content []byte) asset {
	kind := mime.TypeByExtension(path.Ext(name))
	if kind == "" {
		kind = "application/octet-stream"
	}
	return asset{kind: kind, plain: content, zipped: zip(kind, content)}
}

// url is the versioned address of a static file; an unknown one is an error,
// so that a page with a wrong name never leaves the tests.
func (st static) url(name string) (string, error) {
	if _, ok := st.assets[name]; !ok {
		return "", fmt.Errorf("no static file %q", name)
	}
	return staticPath + st.version + "/" + name, nil
}

func (s *Server) showStatic(c *gin.Context) error {
	a, ok := s.static.assets[strings.TrimPrefix(c.Param("file"), "/")]
	if !ok {
		return models.Errorf(models.Missing, "There is no such file.")
	}
	if c.Param("version") == s.static.version {
		c.Header("Cache-Control", "public, max-age=31536000, immutable")
	} else {
		c.Header("Cache-Control", "no-cache") // a page of an earlier version asks
	}
	c.Header("Vary", "Accept-Encoding")
	body := a.plain
	if a.zipped != nil && takesGzip(c) {
		c.Header("Content-Encoding", "gzip")
		body = a.zipped
	}
	c.Data(http.StatusOK, a.kind, bytes.Clone(body))
	return nil
}
