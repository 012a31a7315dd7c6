package pgtest

import (
	"archive/tar"
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"hash"
	"hash/crc32"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// errDamaged means that an archive is not as it was written.
var errDamaged = errors.New("archive is damaged")

// An archive is a checksum of four bytes and a tar file.
const sumSize = 4

func newSum() hash.Hash32 { return crc32.New(crc32.MakeTable(crc32.Castagnoli)) }

// pack writes the files under dir to a new archive.
func pack(archive, dir string) error {
	f, err := os.OpenFile(archive, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	if err := packTo(f, dir); err != nil {
		return errors.Join(err, f.Close())
	}
	return f.Close()
}

func packTo(f *os.File, dir string) error {
	if _, err := f.Seek(sumSize, io.SeekStart); err != nil {
		return err
	}
	sum := newSum()
	out := bufio.NewWriterSize(io.MultiWriter(f, sum), 1<<20)
	files := tar.NewWriter(out)
	if err := errors.Join(files.AddFS(os.DirFS(dir)), files.Close(), out.Flush()); err != nil {
		return err
	}
	_, err := f.WriteAt(binary.BigEndian.AppendUint32(nil, sum.Sum32()), 0)
	return err
}

// unpack makes the folder dir and the files of the archive in it. When it fails, part of
// them may be there.
func unpack(dir, archive string) error {
	f, err := os.Open(archive)
	if err != nil {
		return err
	}
	defer f.Close()
	want := make([]byte, sumSize)
	if _, err := io.ReadFull(f, want); err != nil {
		return fmt.Errorf("%w: %w", errDamaged, err)
	}
	if err := os.Mkdir(dir, 0o700); err != nil {
		return err
	}
	sum := newSum()
	from := io.TeeReader(bufio.NewReaderSize(f, 1<<20), sum)
	err = unpackFrom(from, dir)
	if errors.Is(err, io.ErrUnexpectedEOF) {
		return fmt.Errorf("%w: %w", errDamaged, err)
	}
	if err != nil {
		return err
	}
	if _, err := io.Copy(io.Discard, from); err != nil { // what stands behind the last file
		return err
	}
	if sum.Sum32() != binary.BigEndian.Uint32(want) {
		return fmt.Errorf("%w: wrong checksum", errDamaged)
	}
	return nil
}

func unpackFrom(from io.Reader, dir string) error {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return err
	}
	defer root.Close()
	files := tar.NewReader(from)
	buffer := make([]byte, 256<<10)
	for {
		head, err := files.Next()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return fmt.Errorf("%w: %w", errDamaged, err)
		}
		name := filepath.FromSlash(head.Name)
		if head.FileInfo().IsDir() {
			err = root.Mkdir(filepath.Clean(name), 0o700)
		} else {
			err = writeFile(root, name, files, buffer)
		}
		if err != nil {
			return err
		}
	}
}

func writeFile(root *os.Root, name string, from io.Reader, buffer []byte) error {
	f, err := root.OpenFile(name, os.O_CREATE|os.O_EXCL|os.O_WRONLY, fs.FileMode(0o600))
	if err != nil {
		return err
	}
	_, err = io.CopyBuffer(onlyWriter{f}, from, buffer)
	return errors.Join(err, f.Close())
}

// onlyWriter hides ReadFrom, which would not use the buffer.
type onlyWriter struct{ io.Writer }
