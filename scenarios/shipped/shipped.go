// Package shipped holds the courses that come inside the program, so that it
// has something to build from before an instructor has written anything.
//
// For most uses call [Course] with [Default]. A shipped course keeps its
// exercise ids between versions of the program, because the random streams
// hang on them.
package shipped

import (
	"embed"
	"fmt"
	"io/fs"
	"strings"
)

// Default is the course that is built where none is named.
const Default = "live-zero-basics"

//go:embed live-zero-basics loop-check-practice loop-technician permit-to-record
var files embed.FS

// Course gives the folder of the shipped course of that name. An unknown name
// is an error that wraps [fs.ErrNotExist] and lists the names there are.
func Course(name string) (fs.FS, error) {
	for _, n := range Names() {
		if n == name {
			return fs.Sub(files, name)
		}
	}
	return nil, fmt.Errorf("no course named %q is shipped, only %s: %w", name, strings.Join(Names(), ", "), fs.ErrNotExist)
}

// Names lists the shipped courses, sorted. A course is named as its folder.
func Names() []string {
	entries, err := files.ReadDir(".")
	if err != nil { // the root of an embedded file system can always be read
		return nil
	}
	var names []string
	for _, e := range entries {
		if e.IsDir() {
			names = append(names, e.Name())
		}
	}
	return names
}
