package localpg

import (
	"archive/tar"
	"archive/zip"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"

	"github.com/ulikunitz/xz"
)

// errArchive means that an archive is not a build.
var errArchive = errors.New("not a build of the server programs")

// unpack makes dir and unpacks the only .txz of the jar into it. All files are readable by
// everybody, because the server may run as another account.
func unpack(jar, dir string) error {
	z, err := zip.OpenReader(jar)
	if err != nil {
		return fmt.Errorf("%w: %w", errArchive, err)
	}
	defer z.Close()
	inner, err := theTxz(z.File)
	if err != nil {
		return err
	}
	r, err := inner.Open()
	if err != nil {
		return err
	}
	defer r.Close()
	x, err := xz.NewReader(r)
	if err != nil {
		return fmt.Errorf("%w: %w", errArchive, err)
	}
	if err := makeDir(dir, 0o755); err != nil {
		return err
	}
	if err := untar(x, dir, maxTree, maxEntries); err != nil {
		return err
	}
	if !holdsPrograms(filepath.Join(dir, "bin")) {
		return fmt.Errorf("%w: no bin/initdb and bin/postgres in it", errArchive)
	}
	return nil
}

func theTxz(files []*zip.File) (*zip.File, error) {
	var found *zip.File
	for _, f := range files {
		if !strings.HasSuffix(f.Name, ".txz") {
			continue
		}
		if found != nil {
			return nil, fmt.Errorf("%w: more than one .txz in it", errArchive)
		}
		found = f
	}
	if found == nil {
		return nil, fmt.Errorf("%w: no .txz in it", errArchive)
	}
	return found, nil
}

// untar unpacks a tar into dir. It refuses names and links that lead out of dir, and os.Root
// refuses those that the name alone does not show.
func untar(r io.Reader, dir string, maxBytes int64, maxEntries int) error {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return err
	}
	defer root.Close()
	t := tar.NewReader(r)
	for range maxEntries {
		h, err := t.Next()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return fmt.Errorf("%w: %w", errArchive, err)
		}
		if maxBytes -= h.Size; maxBytes < 0 {
			return fmt.Errorf("%w: too large", errArchive)
		}
		if err := place(root, h, t); err != nil {
			return err
		}
	}
	return fmt.Errorf("%w: more than %d entries", errArchive, maxEntries)
}

// place writes one entry of a tar under root.
func place(root *os.Root, h *tar.Header, r io.Reader) error {
	name := path.Clean(h.Name)
	if !filepath.IsLocal(name) {
		return fmt.Errorf("%w: entry %q leads out of it", errArchive, h.Name)
	}
	if h.Typeflag == tar.TypeDir {
		return openFolder(root, name)
	}
	if err := openFolder(root, path.Dir(name)); err != nil {
		return err
	}
	switch h.Typeflag {
	case tar.TypeReg:
		return placeFile(root, name, h, r)
	case tar.TypeSymlink:
		if path.IsAbs(h.Linkname) || !filepath.IsLocal(path.Join(path.Dir(name), h.Linkname)) {
			return fmt.Errorf("%w: link %q leads out of it to %q", errArchive, h.Name, h.Linkname)
		}
		return root.Symlink(h.Linkname, name)
	default:
		return fmt.Errorf("%w: entry %q is of type %q", errArchive, h.Name, h.Typeflag)
	}
}

// openFolder makes a folder and its parents, open to everybody regardless of the umask.
func openFolder(root *os.Root, name string) error {
	if name == "." {
		return nil
	}
	if _, err := root.Stat(name); err == nil {
		return nil
	}
	if err := openFolder(root, path.Dir(name)); err != nil {
		return err
	}
	if err := root.Mkdir(name, 0o755); err != nil {
		return err
	}
	return root.Chmod(name, 0o755)
}

func placeFile(root *os.Root, name string, h *tar.Header, r io.Reader) error {
	mode := fs.FileMode(0o644)
	if h.Mode&0o111 != 0 {
		mode = 0o755
	}
	f, err := root.OpenFile(name, os.O_CREATE|os.O_EXCL|os.O_WRONLY, mode)
	if err != nil {
		return err
	}
	defer f.Close()
	if _, err := io.Copy(f, r); err != nil {
		return fmt.Errorf("%w: %s: %w", errArchive, h.Name, err)
	}
	if err := f.Chmod(mode); err != nil {
		return err
	}
	return f.Close()
}
