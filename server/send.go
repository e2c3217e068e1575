package server

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"net/http"
	"strings"

	"github.com/gin-gonic/gin"
)

// send answers with a body that was made in memory, zipped where that helps.
func (s *Server) send(c *gin.Context, status int, kind string, body []byte) error {
	c.Header("Vary", "Accept-Encoding, Cookie")
	if takesGzip(c) {
		if zipped := zip(kind, body); zipped != nil {
			c.Header("Content-Encoding", "gzip")
			body = zipped
		}
	}
	c.Data(status, kind, body)
	return nil
}

// answer is send for the JSON API.
func (s *Server) answer(c *gin.Context, status int, value any) error {
	body, err := json.Marshal(value)
	if err != nil {
		return err
	}
	return s.send(c, status, "application/json", body)
}

// seeOther leads the browser on after something was done, so that reloading
// does not do it again.
func seeOther(c *gin.Context, path string) error {
	c.Redirect(http.StatusSeeOther, path)
	return nil
}

func takesGzip(c *gin.Context) bool {
	return strings.Contains(c.GetHeader("Accept-Encoding"), "gzip")
}

// zip compresses text; nil where the kind is packed already or nothing is won.
func zip(kind string, body []byte) []byte {
	text := strings.HasPrefix(kind, "text/") || strings.Contains(kind, "json") ||
		strings.Contains(kind, "javascript") || strings.Contains(kind, "svg")
	if !text || len(body) < 1024 {
		return nil
	}
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	if _, err := w.Write(body); err != nil {
		return nil
	}
	if err := w.Close(); err != nil || b.Len() >= len(body) {
		return nil
	}
	return b.Bytes()
}
