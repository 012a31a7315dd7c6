package localpg_test

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// postmaster returns the process id of the server of the cluster in dir.
func postmaster(t *testing.T, dir string) int {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(dir, "data", "postmaster.pid"))
	if err != nil {
		t.Fatal(err)
	}
	line, _, _ := strings.Cut(string(b), "\n")
	pid, err := strconv.Atoi(line)
	if err != nil {
		t.Fatal(err)
	}
	return pid
}

// socketFolder returns the folder of the socket of the cluster in dir.
func socketFolder(t *testing.T, dir string) string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(dir, "socket"))
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}
