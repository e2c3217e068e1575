// Package web holds what a browser is sent: templates, styles and scripts,
// embedded in the program. It knows no Go type of drylag; package server feeds
// each template with a struct of its own.
package web

import (
	"embed"
	"io/fs"
)

//go:embed templates static
var files embed.FS

//go:embed api/openapi.json
var openAPI []byte

// OpenAPI is the description of the JSON API.
func OpenAPI() []byte { return openAPI }

// Templates is the folder of page templates: layout.html, part/*.html and one
// file for each page.
func Templates() fs.FS { return sub("templates") }

// Static is the folder of files sent as they are.
func Static() fs.FS { return sub("static") }

func sub(dir string) fs.FS {
	f, err := fs.Sub(files, dir)
	if err != nil {
		panic(err) // the name is constant and valid
	}
	return f
}
