package serve

import (
	"os/exec"
	"syscall"
)

// quiet has a command end with the desk, even if that is killed.
func quiet(cmd *exec.Cmd) {
	cmd.SysProcAttr = &syscall.SysProcAttr{Pdeathsig: syscall.SIGTERM, Setpgid: true}
}
