//go:build !linux

package localpg

import (
	"os/exec"
	"strconv"
	"strings"
	"syscall"
)

// processAttributes puts a child in a group of its own, so that ^C at a terminal reaches
// us alone. A server whose starter was killed lives until the next Start ends it.
func processAttributes(c *syscall.Credential) *syscall.SysProcAttr {
	return &syscall.SysProcAttr{Setpgid: true, Credential: c}
}

// serving returns the postmaster of data if it lives: ps shows its -D argument, which a
// zombie or a stranger under the same number does not have.
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
