package site

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
)

// replaced is where an older folder stands while the new one takes its place.
// The name is fixed, so that a run that was cut off between two renames can be
// mended by the next.
func replaced(dir string) string {
	return filepath.Join(filepath.Dir(dir), filepath.Base(dir)+".being-replaced")
}

// swap puts temp in the place of dir: the old folder aside, the new one in. If
// the second step fails the first is taken back.
func swap(temp, dir string) error {
	// Look again: writing took a while, and somebody may have put work there.
	exists, err := mayReplace(dir)
	if err != nil {
		return err
	}
	aside := replaced(dir)
	if exists {
		if err := os.Rename(dir, aside); err != nil {
			return &Failure{What: "the older folder could not be put aside", Path: dir, Err: err,
				Hint: "close the programs that have files in it open"}
		}
	}
	if err := os.Rename(temp, dir); err != nil {
		f := &Failure{What: "the finished folder could not be put in its place", Path: dir, Err: err}
		if exists {
			if back := os.Rename(aside, dir); back != nil {
				f.Hint = "the older folder now stands as " + aside
			}
		}
		return f
	}
	return nil
}

// removeReplaced takes the older folder away, file by file. What somebody put
// there in the meantime stays.
func removeReplaced(dir string) error {
	aside := replaced(dir)
	info, err := os.Lstat(aside)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err == nil && info.IsDir() {
		if err = os.Remove(aside); err == nil { // it was empty
			return nil
		}
		var m manifest
		if m, err = readManifest(aside); err == nil {
			err = m.remove(aside)
		}
	}
	if err != nil {
		return &Failure{What: "the new folder is in its place, but the older one could not be taken away whole", Path: aside, Err: err,
			Hint: "look through " + aside + " and delete it"}
	}
	return nil
}

// recoverCut mends what a run that was cut off between two renames left: the
// older folder goes back if there is no new one, else it is taken away.
func recoverCut(dir string) error {
	aside := replaced(dir)
	if _, err := os.Lstat(aside); err != nil {
		return nil
	}
	_, err := os.Lstat(dir)
	if errors.Is(err, fs.ErrNotExist) {
		if err := os.Rename(aside, dir); err != nil {
			return &Failure{What: "an earlier run was cut off, and the older folder could not be put back", Path: aside, Err: err}
		}
		return nil
	}
	if err := removeReplaced(dir); err != nil {
		return &Failure{What: "this is left of an earlier run and cannot be taken away", Path: aside, Err: errors.Unwrap(err),
			Hint: "look through it and delete it"}
	}
	return nil
}
