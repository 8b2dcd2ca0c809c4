package page

import (
	"errors"
	"os"
	"syscall"
)

// sharingViolation is ERROR_SHARING_VIOLATION: somebody has the file open.
const sharingViolation = syscall.Errno(32)

// openLock opens a file that nobody else may open meanwhile.
func openLock(path string) (*os.File, error) {
	name, err := syscall.UTF16PtrFromString(path)
	if err != nil {
		return nil, err
	}
	h, err := syscall.CreateFile(name, syscall.GENERIC_READ|syscall.GENERIC_WRITE, 0, nil, syscall.OPEN_ALWAYS, syscall.FILE_ATTRIBUTE_NORMAL, 0)
	if errors.Is(err, sharingViolation) {
		return nil, errLocked
	}
	if err != nil {
		return nil, err
	}
	return os.NewFile(uintptr(h), path), nil
}
