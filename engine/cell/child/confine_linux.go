package child

import (
	"os/exec"
	"runtime"
	"syscall"
	"unsafe"

	"golang.org/x/sys/unix"
)

// startConfined starts a child that can change no file and disturb no other
// process, whatever runs in it, where the kernel has Landlock (landlock(7)).
// The thread that starts it gives up these rights first, and ends.
func startConfined(cmd *exec.Cmd) (err error) {
	onThreadOfItsOwn(func() {
		_ = giveUpChanging() // an older kernel has no means for it
		err = cmd.Start()
	})
	return err
}

// onThreadOfItsOwn calls do on a thread that ends with it. The first thread of
// a process never ends, so that it is not taken.
func onThreadOfItsOwn(do func()) {
	done := make(chan struct{})
	go func() {
		defer close(done)
		runtime.LockOSThread() // a goroutine that ends locked takes its thread along
		if unix.Gettid() == unix.Getpid() {
			onThreadOfItsOwn(do)
			runtime.UnlockOSThread()
			return
		}
		do()
	}()
	<-done
}

// giveUpChanging takes from this thread, and from what it starts, the rights
// to write, make, move or remove any file, to use TCP, and to send signals to
// processes that have kept them: as many of these as the kernel's version of
// Landlock knows. Reading and starting is left, which a program needs to begin.
func giveUpChanging() error {
	version, _, errno := unix.RawSyscall(unix.SYS_LANDLOCK_CREATE_RULESET, 0, 0, unix.LANDLOCK_CREATE_RULESET_VERSION)
	if errno != 0 {
		return errno
	}
	rules := unix.LandlockRulesetAttr{Handled_access_fs: unix.LANDLOCK_ACCESS_FS_WRITE_FILE |
		unix.LANDLOCK_ACCESS_FS_REMOVE_DIR | unix.LANDLOCK_ACCESS_FS_REMOVE_FILE |
		unix.LANDLOCK_ACCESS_FS_MAKE_CHAR | unix.LANDLOCK_ACCESS_FS_MAKE_DIR | unix.LANDLOCK_ACCESS_FS_MAKE_REG |
		unix.LANDLOCK_ACCESS_FS_MAKE_SOCK | unix.LANDLOCK_ACCESS_FS_MAKE_FIFO | unix.LANDLOCK_ACCESS_FS_MAKE_BLOCK |
		unix.LANDLOCK_ACCESS_FS_MAKE_SYM}
	if version >= 2 {
		rules.Handled_access_fs |= unix.LANDLOCK_ACCESS_FS_REFER
	}
	if version >= 3 {
		rules.Handled_access_fs |= unix.LANDLOCK_ACCESS_FS_TRUNCATE
	}
	if version >= 4 {
		rules.Handled_access_net = unix.LANDLOCK_ACCESS_NET_BIND_TCP | unix.LANDLOCK_ACCESS_NET_CONNECT_TCP
	}
	if version >= 6 {
		rules.Scoped = unix.LANDLOCK_SCOPE_ABSTRACT_UNIX_SOCKET | unix.LANDLOCK_SCOPE_SIGNAL
	}
	fd, _, errno := unix.RawSyscall(unix.SYS_LANDLOCK_CREATE_RULESET, uintptr(unsafe.Pointer(&rules)), unsafe.Sizeof(rules), 0)
	if errno != 0 {
		return errno
	}
	defer unix.Close(int(fd))
	if err := unix.Prctl(unix.PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0); err != nil {
		return err
	}
	if _, _, errno := syscall.RawSyscall(unix.SYS_LANDLOCK_RESTRICT_SELF, fd, 0, 0); errno != 0 {
		return errno
	}
	return nil
}
