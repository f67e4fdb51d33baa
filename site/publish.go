package site

import (
	"bufio"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"sync"
)

// File is one file of a folder to be published. Write may be called from
// another goroutine, once.
type File struct {
	Path  string // with slashes, seen from the top of the folder
	Write func(io.Writer) error
}

// Publish writes files as the folder dir, with workers of them at a time
// (below 1 means one), and lists them in [ManifestName].
//
// The folder appears whole or not at all: it is written beside dir under
// another name and then renamed. A dir that exists is replaced only if we
// published it and nobody has added or changed anything in it since, or if it
// is empty; otherwise nothing is touched and the [Failure] names what stands
// in the way. An error, a panic of a Write, or the end of ctx leaves everything
// as it was.
func Publish(ctx context.Context, dir string, files []File, workers int) error {
	dir, err := checked(dir, files)
	if err != nil {
		return err
	}
	if err := recoverCut(dir); err != nil {
		return err
	}
	if _, err := mayReplace(dir); err != nil {
		return err
	}
	parent := filepath.Dir(dir)
	undo, err := makeParents(parent)
	if err != nil {
		return &Failure{What: "the folder around it could not be made", Path: parent, Err: err}
	}
	done := false
	defer func() {
		if !done {
			undo()
		}
	}()
	temp, err := os.MkdirTemp(parent, "."+filepath.Base(dir)+".unfinished-")
	if err != nil {
		return &Failure{What: "no folder can be made here", Path: parent, Err: err}
	}
	defer func() {
		if !done {
			_ = os.RemoveAll(temp) // holds nothing but what we have just written
		}
	}()
	if err := os.Chmod(temp, 0o755); err != nil {
		return &Failure{What: "the folder could not be opened for reading", Path: temp, Err: err}
	}
	if err := writeAll(ctx, temp, files, workers); err != nil {
		return err
	}
	if err := swap(temp, dir); err != nil {
		return err
	}
	done = true
	return removeReplaced(dir)
}

// checked looks at the request before anything is touched.
func checked(dir string, files []File) (string, error) {
	if dir == "" {
		return "", &Failure{What: "no output folder is named"}
	}
	abs, err := filepath.Abs(dir)
	if err != nil {
		return "", &Failure{What: "the folder has no place", Path: dir, Err: err}
	}
	if filepath.Dir(abs) == abs {
		return "", &Failure{What: "the output cannot be the root of a disk", Path: dir, Hint: "name a folder on it"}
	}
	seen := map[string]string{}
	for _, f := range files {
		if !fs.ValidPath(f.Path) || f.Path == "." || strings.ContainsAny(f.Path, `\:`) || f.Path == ManifestName {
			return "", &Failure{What: "this is no name for a file of the folder", Path: f.Path}
		}
		// Some disks do not tell capitals from small letters.
		low := strings.ToLower(f.Path)
		if first, dup := seen[low]; dup {
			return "", &Failure{What: fmt.Sprintf("two files would have the same name (the other is %s)", first), Path: f.Path}
		}
		seen[low] = f.Path
	}
	return abs, nil
}

// mayReplace says whether dir is there and may go: it is ours and as we left
// it, or empty. The error says what stands in the way.
func mayReplace(dir string) (exists bool, err error) {
	info, err := os.Lstat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return false, nil
	case err != nil:
		return false, &Failure{What: "the folder cannot be looked at", Path: dir, Err: err}
	case info.Mode()&fs.ModeSymlink != 0:
		return true, &Failure{What: "this is a link, and replacing it would leave its folder behind", Path: dir, Hint: "name the folder itself"}
	case !info.IsDir():
		return true, &Failure{What: "there is a file of that name", Path: dir, Hint: "choose another folder with --out"}
	}
	m, err := readManifest(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		in, err := os.ReadDir(dir)
		if err != nil {
			return true, &Failure{What: "the folder cannot be read", Path: dir, Err: err}
		}
		if len(in) == 0 {
			return true, nil
		}
		return true, &Failure{
			What: fmt.Sprintf("the folder was not made by loopdrill (it holds %s) and stays as it is", in[0].Name()),
			Path: dir, Hint: "choose a folder that does not exist yet"}
	case err != nil:
		return true, &Failure{What: ManifestName + " in it cannot be understood, so the folder stays as it is", Path: dir, Err: err,
			Hint: "choose another folder, or move this one away"}
	}
	strange, err := m.strangers(dir)
	if err != nil {
		return true, &Failure{What: "the folder cannot be read", Path: dir, Err: err}
	}
	if len(strange) > 0 {
		const most = 5
		more := ""
		if len(strange) > most {
			more = fmt.Sprintf(" and %d more", len(strange)-most)
			strange = strange[:most]
		}
		return true, &Failure{
			What: "the folder was made by loopdrill, but " + strings.Join(strange, ", ") + more + "; it stays as it is",
			Path: dir, Hint: "move that out of the folder, or choose another one"}
	}
	return true, nil
}

// makeParents makes the folders above the output and gives what takes them
// away again while they are empty.
func makeParents(parent string) (undo func(), err error) {
	var made []string
	for d := parent; ; d = filepath.Dir(d) {
		if _, err := os.Stat(d); err == nil || filepath.Dir(d) == d {
			break
		}
		made = append(made, d)
	}
	undo = func() {
		for _, d := range made {
			_ = os.Remove(d)
		}
	}
	if err := os.MkdirAll(parent, 0o755); err != nil {
		undo()
		return nil, err
	}
	return undo, nil
}

// writeAll writes files and the manifest below temp.
func writeAll(ctx context.Context, temp string, files []File, workers int) error {
	entries := make([]entry, len(files))
	faults := make([]error, len(files))
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	next := make(chan int)
	var wg sync.WaitGroup
	for range max(1, min(workers, len(files))) {
		wg.Go(func() {
			for i := range next {
				entries[i], faults[i] = writeOne(temp, files[i])
				if faults[i] != nil {
					stop()
				}
			}
		})
	}
feed:
	for i := range files {
		select {
		case next <- i:
		case <-ctx.Done():
			break feed
		}
	}
	close(next)
	wg.Wait()
	for _, err := range faults {
		if err != nil {
			return err
		}
	}
	if err := ctx.Err(); err != nil {
		return &Failure{What: "writing was broken off, nothing was changed", Err: context.Cause(ctx)}
	}
	slices.SortFunc(entries, func(a, b entry) int { return strings.Compare(a.Path, b.Path) })
	b, err := manifest{Loopdrill: "folder", Version: 1, Files: entries}.bytes()
	if err != nil {
		return &Failure{What: "the list of files could not be written", Path: ManifestName, Err: err}
	}
	_, err = writeOne(temp, File{ManifestName, func(w io.Writer) error {
		_, err := w.Write(b)
		return err
	}})
	return err
}

// writeOne writes one file. A panic of its Write becomes an error, so that the
// half-written folder is taken away like any other.
func writeOne(temp string, f File) (e entry, err error) {
	fail := func(cause error) (entry, error) {
		return entry{}, &Failure{What: "the file could not be written", Path: f.Path, Err: cause}
	}
	defer func() {
		if p := recover(); p != nil {
			e, err = fail(fmt.Errorf("a fault in loopdrill: %v", p))
		}
	}()
	name := filepath.Join(temp, filepath.FromSlash(f.Path))
	if dir := path.Dir(f.Path); dir != "." {
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			return fail(err)
		}
	}
	out, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return fail(err)
	}
	defer out.Close() // a second time, harmless, where all went well
	hash := sha256.New()
	size := &counter{w: io.MultiWriter(out, hash)}
	buf := bufio.NewWriterSize(size, 64<<10)
	if err := f.Write(buf); err != nil {
		return fail(err)
	}
	if err := buf.Flush(); err != nil {
		return fail(err)
	}
	// The folder is often a USB stick that is pulled at once.
	if err := out.Sync(); err != nil {
		return fail(err)
	}
	if err := out.Close(); err != nil {
		return fail(err)
	}
	return entry{Path: f.Path, Bytes: size.n, SHA256: hex.EncodeToString(hash.Sum(nil))}, nil
}

type counter struct {
	w io.Writer
	n int64
}

func (c *counter) Write(p []byte) (int, error) {
	n, err := c.w.Write(p)
	c.n += int64(n)
	return n, err
}
