package site

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
)

// ManifestName is the file by which we know a folder as ours.
const ManifestName = "loopdrill.json"

// manifest lists every file of a published folder but itself.
type manifest struct {
	Loopdrill string  `json:"loopdrill"` // "folder"
	Version   int     `json:"version"`   // of this format: 1
	Files     []entry `json:"files"`     // sorted by path
}

type entry struct {
	Path   string `json:"path"` // with slashes
	Bytes  int64  `json:"bytes"`
	SHA256 string `json:"sha256"` // hexadecimal
}

func (m manifest) bytes() ([]byte, error) {
	b, err := json.MarshalIndent(m, "", "  ")
	return append(b, '\n'), err
}

// readManifest reads the manifest of a folder. A folder without one gives an
// error that wraps fs.ErrNotExist.
func readManifest(dir string) (manifest, error) {
	var m manifest
	b, err := os.ReadFile(filepath.Join(dir, ManifestName))
	if err != nil {
		return m, err
	}
	d := json.NewDecoder(bytes.NewReader(b))
	d.DisallowUnknownFields()
	if err := d.Decode(&m); err != nil {
		return m, err
	}
	if m.Loopdrill != "folder" || m.Version != 1 {
		return m, fmt.Errorf("it is not the list of a folder of version 1")
	}
	for _, e := range m.Files {
		if !fs.ValidPath(e.Path) {
			return m, fmt.Errorf("it lists %q, which is no path inside the folder", e.Path)
		}
	}
	return m, nil
}

// litter are files that operating systems leave in folders that were looked
// at. They do not count as somebody's work.
var litter = []string{".DS_Store", "Thumbs.db", "desktop.ini"}

// strangers lists what in dir is not as m left it: files and folders that m
// does not know, and files whose content is another one. Files that were taken
// away do not count: nothing is lost with them.
func (m manifest) strangers(dir string) ([]string, error) {
	known := map[string]entry{}
	folders := map[string]bool{".": true}
	for _, e := range m.Files {
		known[e.Path] = e
		for d := path.Dir(e.Path); d != "."; d = path.Dir(d) {
			folders[d] = true
		}
	}
	var out []string
	err := filepath.WalkDir(dir, func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(dir, p)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		switch {
		case d.IsDir():
			if !folders[rel] {
				out = append(out, rel+"/ was added")
				return fs.SkipDir
			}
		case rel == ManifestName || slices.Contains(litter, d.Name()):
		case !d.Type().IsRegular():
			out = append(out, rel+" is not a plain file")
		default:
			e, ok := known[rel]
			if !ok {
				out = append(out, rel+" was added")
				return nil
			}
			same, err := unchanged(p, e)
			if err != nil {
				return err
			}
			if !same {
				out = append(out, rel+" was changed")
			}
		}
		return nil
	})
	return out, err
}

func unchanged(name string, e entry) (bool, error) {
	f, err := os.Open(name)
	if err != nil {
		return false, err
	}
	defer f.Close()
	h := sha256.New()
	n, err := io.Copy(h, f)
	if err != nil {
		return false, err
	}
	return n == e.Bytes && hex.EncodeToString(h.Sum(nil)) == e.SHA256, nil
}

// remove takes away the files that m lists, one by one and only while they are
// as m left them, then the empty folders. Whatever else is there stays, and so
// do the folders around it; the result then says so.
func (m manifest) remove(dir string) error {
	if left, err := m.strangers(dir); err != nil {
		return err
	} else if len(left) > 0 {
		return fmt.Errorf("%s", strings.Join(left, ", "))
	}
	folders := map[string]bool{}
	for _, e := range m.Files {
		if err := os.Remove(filepath.Join(dir, filepath.FromSlash(e.Path))); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		for d := path.Dir(e.Path); d != "."; d = path.Dir(d) {
			folders[d] = true
		}
	}
	var deepest []string
	for d := range folders {
		deepest = append(deepest, d)
	}
	slices.SortFunc(deepest, func(a, b string) int { return len(b) - len(a) })
	for _, d := range append(deepest, ".") {
		for _, name := range litter {
			_ = os.Remove(filepath.Join(dir, filepath.FromSlash(d), name))
		}
		if d == "." {
			if err := os.Remove(filepath.Join(dir, ManifestName)); err != nil {
				return err
			}
		}
		if err := os.Remove(filepath.Join(dir, filepath.FromSlash(d))); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return nil
}
