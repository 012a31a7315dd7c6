package localpg

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
)

// processAttributes puts a child in a process group of its own, so that ^C at a terminal
// reaches only us and we can stop the server in order. Linux stops the child if we die.
func processAttributes(c *syscall.Credential) *syscall.SysProcAttr {
	return &syscall.SysProcAttr{Setpgid: true, Credential: c, Pdeathsig: syscall.SIGINT}
}

// serving returns the postgres processes whose working folder is data: the postmaster and its
// children. Zombies have no working folder and are left out.
func serving(data string) (out []int) {
	links, _ := filepath.Glob("/proc/[0-9]*/cwd")
	for _, l := range links {
		proc := filepath.Dir(l)
		if d, err := os.Readlink(l); err != nil || d != data {
			continue
		}
		exe, err := os.Readlink(filepath.Join(proc, "exe"))
		if err != nil || !strings.Contains(filepath.Base(exe), "postgres") {
			continue // such as a shell in the folder
		}
		if pid, err := strconv.Atoi(filepath.Base(proc)); err == nil {
			out = append(out, pid)
		}
	}
	return out
}
