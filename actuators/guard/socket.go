package guard

import (
	"errors"
	"fmt"
	"io/fs"
	"net"
	"os"
	"path/filepath"
	"strings"

	"golang.org/x/sys/unix"
)

// Listen makes the guard's socket, for its own user alone. A socket that an
// earlier guard has left is replaced; call it once the outputs are held, which
// no second guard can do.
func Listen(path string) (*net.UnixListener, error) {
	info, err := os.Lstat(path)
	if err == nil && info.Mode()&fs.ModeSocket == 0 {
		return nil, fmt.Errorf("%s is no socket: name a place for the guard's socket where nothing else lies", path)
	}
	if err == nil {
		err = os.Remove(path)
	}
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("the guard's socket of before can't be taken away: %w; let the guard's user write to its folder", err)
	}
	l, err := net.ListenUnix("unixpacket", &net.UnixAddr{Name: path, Net: "unixpacket"})
	if err != nil {
		return nil, fmt.Errorf("the guard's socket can't be made: %w; make the folder %s and let the guard's user write to it", err, filepath.Dir(path))
	}
	if err := os.Chmod(path, 0o600); err != nil {
		return nil, errors.Join(fmt.Errorf("the guard's socket can't be kept from other users: %w", err), l.Close())
	}
	return l, nil
}

// peerOf names the program at the other end.
func peerOf(conn *net.UnixConn) string {
	const unknown = "a program that the kernel does not name"
	raw, err := conn.SyscallConn()
	if err != nil {
		return unknown
	}
	var peer *unix.Ucred
	var told error
	err = raw.Control(func(fd uintptr) { peer, told = unix.GetsockoptUcred(int(fd), unix.SOL_SOCKET, unix.SO_PEERCRED) })
	if err != nil || told != nil {
		return unknown
	}
	name := "a program"
	if text, err := os.ReadFile(fmt.Sprintf("/proc/%d/comm", peer.Pid)); err == nil {
		name = strings.TrimSpace(string(text))
	}
	return fmt.Sprintf("%s (process %d of user %d)", name, peer.Pid, peer.Uid)
}
