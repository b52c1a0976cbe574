package broker

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"quoin/impose/say"
	"quoin/impose/wholefile"
)

// lockName is the file in a store that its broker keeps locked.
const lockName = "lock"

// ErrHeld says that another broker has the store.
var ErrHeld = errors.New("another quoin has it")

// holdStore makes a store's folder and keeps it to one broker until the file is
// closed or the process ends, however it ends. The engine itself looks at nobody: of
// two over one folder neither knows what the other writes, takes out and hands out.
func holdStore(folder string) (*os.File, error) {
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return nil, err
	}
	f, err := os.OpenFile(filepath.Join(folder, lockName), os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return nil, err
	}
	err = wholefile.Lock(f)
	if err == nil {
		return f, nil
	}
	f.Close()
	if errors.Is(err, wholefile.ErrLocked) {
		return nil, &say.Refusal{Kind: say.Away, Err: ErrHeld, Text: fmt.Sprintf("the queue in %s can't be opened", folder),
			Way: "wait until that ends; several use one queue at a time where quoin queue --store has it, and are given the address that it prints"}
	}
	return nil, fmt.Errorf("the queue's store: %w", err)
}
