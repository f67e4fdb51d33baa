package site

import "strings"

// Failure says that a folder could not be published, with the place, the
// cause and what to do. Nothing was changed when it is returned, unless it
// says so. The command line ends with exit code 3 on it.
type Failure struct {
	What string // "the folder could not be written"
	Path string // folder or file that is meant
	Hint string // may be empty
	Err  error  // cause; may be nil
}

// Error implements error, on one line.
func (f *Failure) Error() string {
	var b strings.Builder
	if f.Path != "" {
		b.WriteString(f.Path + ": ")
	}
	b.WriteString(f.What)
	if f.Err != nil {
		b.WriteString(": " + f.Err.Error())
	}
	return b.String()
}

// Unwrap gives the cause.
func (f *Failure) Unwrap() error { return f.Err }
