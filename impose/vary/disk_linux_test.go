package vary_test

import (
	"bytes"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"syscall"
	"testing"
)

// A disk of its own, too small by a random amount, fills while a run is written;
// with room, the same command ends the run, and nothing is lost or doubled. It
// needs the right to mount.
func TestRunOnASmallDisk(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(7, 8))
	full := 0
	for range moments(t) {
		disk := filepath.Join(t.TempDir(), "disk")
		if err := os.Mkdir(disk, 0o700); err != nil {
			t.Fatal(err)
		}
		kib := 40 + random.IntN(900)
		if err := syscall.Mount("tmpfs", disk, "tmpfs", 0, "size="+strconv.Itoa(kib)+"k"); err != nil {
			t.Skip("no disk can be mounted: ", err)
		}
		func() {
			// Children that other tests start hold its files for a moment.
			defer syscall.Unmount(disk, syscall.MNT_DETACH)
			child := exec.Command(os.Args[0], "-test.run", "^TestChild$")
			child.Env = append(os.Environ(), childKey+"="+disk, registerKey+"="+filepath.Join(disk, "r"))
			if out, err := child.CombinedOutput(); err != nil {
				full++
				if bytes.Contains(out, []byte("panic")) || bytes.Contains(out, []byte("SIGBUS")) {
					t.Fatalf("%d KiB: %s", kib, out)
				}
			}
			if err := syscall.Mount("tmpfs", disk, "tmpfs", syscall.MS_REMOUNT, "size=64m"); err != nil {
				t.Fatal(err)
			}
			agrees(t, disk, ended(t, disk))
		}()
	}
	if full == 0 {
		t.Error("no disk was full: the test looks at nothing")
	}
	t.Logf("%d disks were full", full)
}
