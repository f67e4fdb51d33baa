package main

import (
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"loopdrill/site"
)

const secretBytes = 32

// courseSecret reads the secret of a course, and makes it on first need. Its
// content is never printed; file names are. Without a file the secret lies in
// the user's settings folder, one a course.
func (a app) courseSecret(file, course, out string) ([]byte, error) {
	if file == "" {
		settings, err := os.UserConfigDir()
		if err != nil {
			return nil, &site.Failure{What: "there is no settings folder to keep the secret of the course in", Err: err,
				Hint: "name a file with --secret FILE, outside the output folder"}
		}
		file = filepath.Join(settings, "loopdrill", course+".secret")
	}
	if err := outside(file, out); err != nil {
		return nil, err
	}
	b, err := os.ReadFile(file)
	if errors.Is(err, fs.ErrNotExist) {
		return a.makeSecret(file, course)
	}
	if err != nil {
		return nil, &site.Failure{What: "the secret of the course cannot be read", Path: file, Err: err}
	}
	if info, err := os.Stat(file); err == nil && info.Mode().Perm()&0o077 != 0 && os.PathSeparator == '/' {
		return nil, &site.Failure{What: "others can read the secret of the course", Path: file,
			Hint: "make it yours alone: chmod 600 " + quoted(file)}
	}
	secret, err := hex.DecodeString(strings.TrimSpace(string(b)))
	if err != nil || len(secret) != secretBytes {
		return nil, &site.Failure{What: fmt.Sprintf("this is no secret of a course (%d hexadecimal digits)", 2*secretBytes), Path: file,
			Hint: "name another file with --secret FILE; forms made with a lost secret cannot be made again"}
	}
	return secret, nil
}

func (a app) makeSecret(file, course string) ([]byte, error) {
	secret := make([]byte, secretBytes)
	rand.Read(secret) // cannot fail
	cannot := func(err error) error {
		return &site.Failure{What: "the secret of the course cannot be written", Path: file, Err: err}
	}
	if err := os.MkdirAll(filepath.Dir(file), 0o700); err != nil {
		return nil, cannot(err)
	}
	// Written aside and linked, so that a second build that starts now finds
	// a whole file or none, and never replaces a secret that is there.
	tmp, err := os.CreateTemp(filepath.Dir(file), ".secret-")
	if err != nil {
		return nil, cannot(err)
	}
	defer os.Remove(tmp.Name())
	_, err = tmp.WriteString(hex.EncodeToString(secret) + "\n")
	if err := errors.Join(err, tmp.Sync(), tmp.Close()); err != nil {
		return nil, cannot(err)
	}
	if err := os.Link(tmp.Name(), file); err != nil {
		return nil, cannot(err)
	}
	fmt.Fprintf(a.Stderr, "loopdrill build: made a secret for the course %s in %s\nhint: keep a copy in a safe place: the keys of assessment forms can only be made again with it\n", course, file)
	return secret, nil
}

// outside makes sure that the secret does not land in what is handed out.
func outside(file, out string) error {
	f, err1 := filepath.Abs(file)
	o, err2 := filepath.Abs(out)
	if err := errors.Join(err1, err2); err != nil {
		return err
	}
	if rel, err := filepath.Rel(o, f); err == nil && rel != ".." && !strings.HasPrefix(rel, ".."+string(filepath.Separator)) {
		return &site.Failure{What: "the secret of the course would lie in the output folder", Path: file,
			Hint: "keep it elsewhere, where no workbook is copied from"}
	}
	return nil
}
