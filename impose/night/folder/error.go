package folder

import (
	"fmt"

	"quoin/impose/say"
	"quoin/impose/wholefile"
)

// ErrBusy says that another process builds the folder.
var ErrBusy error = &say.Refusal{Text: "another start is building this folder",
	Way: "wait until it has ended; a start that was killed does not stand in the way"}

// taken says that something else is where the folder would appear.
func taken(path, text string) error {
	return say.Refuse(say.Taken, "name another folder, or move this one away; it is left as it is", "%s %s", path, text)
}

// failed says that the disk did not take what was written.
func failed(path string, err error) error {
	return &say.Refusal{Kind: say.Disk, Text: "building " + path, Err: wholefile.Cause(err), Way: "make room or mend the disk and start again: what is finished is kept"}
}

func wrap(what string, err error) error { return fmt.Errorf("%s: %w", what, wholefile.Cause(err)) }
