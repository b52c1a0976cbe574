package wholefile

import (
	"errors"
	"os"
	"path/filepath"
	"strings"

	"quoin/impose/say"
)

// Refuse looks at the files that are to be written before anything is read, and
// refuses what can't go well: as a usage two of one name, one that is also an
// input, and what is no regular file; as trouble of the disk one whose folder isn't
// there. Paths that lead to one file are one file, be it over links or, where no
// file tells them apart, in capitals. Empty names and "-" are passed over.
func Refuse(outputs, inputs []string) error {
	if err := RefuseInNew(outputs, inputs); err != nil {
		return err
	}
	for _, path := range outputs {
		if path == "" || path == "-" {
			continue
		}
		if _, err := os.Stat(filepath.Dir(followed(path))); errors.Is(err, os.ErrNotExist) {
			return notBeside(path, err)
		}
	}
	return nil
}

// notBeside says why no file can be begun for path.
func notBeside(path string, err error) error {
	if errors.Is(err, os.ErrNotExist) {
		for _, at := range []string{path, filepath.Dir(path)} {
			if link := say.Dangling(at); link != "" {
				return ofDisk("can't write "+path+": "+at+" is "+link, err)
			}
		}
	}
	return ofDisk("can't write beside "+path, err)
}

// RefuseInNew is Refuse for outputs whose folder may be made only afterwards.
func RefuseInNew(outputs, inputs []string) error {
	var met []string
	for _, path := range outputs {
		if path == "" || path == "-" {
			continue
		}
		for _, other := range met {
			if same(path, other) {
				if path == other {
					return say.Refuse(say.Usage, "give each output a name of its own", "two outputs are one file, %s", path)
				}
				return say.Refuse(say.Usage, "give each output a name of its own", "the outputs %s and %s are one file", other, path)
			}
		}
		if err := checkTarget(path, inputs); err != nil {
			return err
		}
		met = append(met, path)
	}
	return nil
}

// checkTarget refuses targets that no file may appear at.
func checkTarget(path string, inputs []string) error {
	for _, in := range inputs {
		if a, err := os.Stat(path); err == nil {
			if b, err := os.Stat(in); err == nil && os.SameFile(a, b) {
				if filepath.Clean(in) == filepath.Clean(path) {
					return say.Refuse(say.Usage, "name another file for it", "the output %s is also an input", path)
				}
				return say.Refuse(say.Usage, "name another file for it", "the output %s is also an input, as %s", path, in)
			}
		}
	}
	there, err := os.Stat(path)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return nil // nothing is replaced
	case err != nil:
		return &say.Refusal{Kind: say.Usage, Text: "the output " + path, Err: Cause(err), Way: "name a file that can be written"}
	case there.IsDir():
		return say.Refuse(say.Usage, "name a file in it", "the output %s is a folder", path)
	case !there.Mode().IsRegular():
		return say.Refuse(say.Usage, "name a file: only those appear whole or not at all; where a verb takes -, it writes to standard output",
			"the output %s is %s, not a file", path, kind(there.Mode()))
	}
	return nil
}

// kind names what stands where a file should.
func kind(m os.FileMode) string {
	switch {
	case m&os.ModeNamedPipe != 0:
		return "a pipe"
	case m&os.ModeSocket != 0:
		return "a socket"
	}
	return "a device"
}

// same reports whether two paths lead to one file, which may not be there yet.
func same(a, b string) bool {
	one, err := os.Stat(a)
	two, err2 := os.Stat(b)
	if err == nil && err2 == nil {
		return os.SameFile(one, two)
	}
	a, b = followed(a), followed(b)
	if !strings.EqualFold(filepath.Base(a), filepath.Base(b)) {
		return false
	}
	a, b = filepath.Dir(a), filepath.Dir(b)
	one, err = os.Stat(a)
	two, err2 = os.Stat(b)
	if err == nil && err2 == nil {
		return os.SameFile(one, two)
	}
	return a == b
}

// followed returns where a symbolic link leads, also where nothing stands there
// yet: it is the file that is replaced, never the link. Other paths are
// returned as they are.
func followed(path string) string {
	for range 40 { // more is a ring, which no system follows
		to, err := os.Readlink(path)
		if err != nil {
			break
		}
		if !filepath.IsAbs(to) {
			to = filepath.Join(filepath.Dir(path), to)
		}
		path = to
	}
	return path
}
