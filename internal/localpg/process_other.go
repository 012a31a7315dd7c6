//go:build !linux

package localpg

import (
	"os/exec"
	"strconv"
	"strings"
	"syscall"
)

// processAttributes puts a child in a process group of its own, so that ^C at a terminal
// reaches only us. If we are killed, the server runs until the next Start ends it.
func processAttributes(c *syscall.Credential) *syscall.SysProcAttr {
	return &syscall.SysProcAttr{Setpgid: true, Credential: c}
}

// serving returns the postmaster of data if it is alive. Zombies, and other processes with a
// reused id, do not show its -D argument in ps.
func serving(data string) []int {
	pid := pidIn(data)
	if pid <= 0 {
		return nil
	}
	out, err := exec.Command("ps", "-o", "command=", "-p", strconv.Itoa(pid)).Output()
	if err != nil || !strings.Contains(string(out), "-D "+data) {
		return nil
	}
	return []int{pid}
}
