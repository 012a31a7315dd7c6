package localpg

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
)

// processAttributes puts a child in a group of its own, so that ^C at a terminal reaches
// us alone and we stop the server in order, and has Linux stop it when we die.
func processAttributes(c *syscall.Credential) *syscall.SysProcAttr {
	return &syscall.SysProcAttr{Setpgid: true, Credential: c, Pdeathsig: syscall.SIGINT}
}

// serving lists the postgres processes that have data as their working folder: the
// postmaster and all its children. A zombie has no working folder and is not among them.
func serving(data string) (out []int) {
	links, _ := filepath.Glob("/proc/[0-9]*/cwd")
	for _, l := range links {
		proc := filepath.Dir(l)
		if d, err := os.Readlink(l); err != nil || d != data {
			continue
		}
		exe, err := os.Readlink(filepath.Join(proc, "exe"))
		if err != nil || !strings.Contains(filepath.Base(exe), "postgres") {
			continue // somebody's shell, standing in the folder
		}
		if pid, err := strconv.Atoi(filepath.Base(proc)); err == nil {
			out = append(out, pid)
		}
	}
	return out
}
