package vary

import (
	"bufio"
	"bytes"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"strings"

	"quoin/impose/say"
	"quoin/impose/wholefile"
)

// journalSchema names the form of the journal.
const journalSchema = "quoin-run-journal-1"

// journal is a file beside the output with one line for the run and two for
// each part: files of parts that it knows nothing of are left alone. A line counts once its end is there; one that a power cut
// tore is written anew.
type journal struct {
	file  *os.File
	begun map[int64]bool // parts whose files may be there, whole or not
	parts map[int64]Part // that are written
	again []reprinted    // without a register

	identity string // of the run
	made     string // see Run.made; "" in journals of before
}

// entry is a line behind the first: a part is begun, or written, or labels are
// printed again.
type entry struct {
	Begun   int64 `json:"begun,omitempty"`
	Written *Part `json:"written,omitempty"`

	Again *reprinted `json:"reprinted,omitempty"`
}

type journalHead struct {
	Schema   string `json:"schema"`
	Identity string `json:"identity"`
	Made     string `json:"made,omitempty"`
}

func journalPath(out string) string {
	return strings.TrimSuffix(out, filepath.Ext(out)) + ".journal"
}

// readHead reads the first line of a journal, which may be under way.
func readHead(path string) (head journalHead, err error) {
	f, err := os.Open(path)
	if err != nil {
		return head, err
	}
	defer f.Close()
	line, err := bufio.NewReader(f).ReadBytes('\n')
	if err == nil {
		err = json.Unmarshal(line, &head)
	}
	return head, err
}

// openJournal opens or begins the journal of a run, and keeps others from
// writing the same run at once.
func openJournal(out, identity, made string) (*journal, error) {
	path := journalPath(out)
	j, err := lockJournal(path, os.O_RDWR|os.O_CREATE)
	if err != nil {
		return nil, err
	}
	switch {
	case j.identity == "":
		j.identity, j.made = identity, made
		err = j.line(journalHead{journalSchema, identity, made})
	case j.identity != identity:
		err = say.Refuse(say.Failed, "choose another name for this run; to begin anew under this one, take the journal and its files away", "%s is the journal of another run: job, artwork or records have changed", path)
	}
	if err != nil {
		j.close()
		return nil, err
	}
	return j, nil
}

// readJournal opens the journal of a run that has begun.
func readJournal(path string) (*journal, error) {
	j, err := lockJournal(path, os.O_RDWR)
	if err == nil && j.identity == "" {
		j.close()
		return nil, say.Refuse(say.BadFile, "bring the journal back", "%s is empty", path)
	}
	return j, err
}

func lockJournal(path string, how int) (*journal, error) {
	f, err := os.OpenFile(path, how, 0o666)
	if err != nil {
		return nil, err
	}
	j := &journal{file: f, begun: map[int64]bool{}, parts: map[int64]Part{}}
	if err := j.read(path); err != nil {
		f.Close()
		return nil, err
	}
	return j, nil
}

func (j *journal) read(path string) error {
	if err := wholefile.Lock(j.file); err != nil {
		return say.Refuse(say.Failed, "wait until it has ended", "another run is writing %s", path)
	}
	data, err := io.ReadAll(j.file)
	if err != nil {
		return err
	}
	whole := bytes.LastIndexByte(data, '\n') + 1
	if err := j.file.Truncate(int64(whole)); err != nil {
		return err
	}
	if _, err := j.file.Seek(int64(whole), io.SeekStart); err != nil {
		return err
	}
	lines := bufio.NewScanner(bytes.NewReader(data[:whole]))
	lines.Buffer(nil, whole+1) // a reprint may list many records
	for n := 1; lines.Scan(); n++ {
		if n == 1 {
			var head journalHead
			if err := json.Unmarshal(lines.Bytes(), &head); err != nil || head.Schema != journalSchema || head.Identity == "" {
				return say.Refuse(say.Failed, "choose another name for the run", "%s is no journal of a run", path)
			}
			j.identity, j.made = head.Identity, head.Made
			continue
		}
		var e entry
		if err := json.Unmarshal(lines.Bytes(), &e); err != nil || e.Begun < 1 && e.Again == nil && (e.Written == nil || e.Written.Number < 1) {
			return say.Refuse(say.Failed, "take the journal and the files of the run away, and begin anew", "%s: line %d is damaged", path, n)
		}
		switch {
		case e.Written != nil:
			j.parts[e.Written.Number] = *e.Written
		case e.Again != nil:
			j.again = append(j.again, *e.Again)
		default:
			j.begun[e.Begun] = true
		}
	}
	return lines.Err()
}

// begin enters that a part is begun.
func (j *journal) begin(number int64) error {
	if j.begun[number] {
		return nil
	}
	return j.line(entry{Begun: number})
}

// enter adds a part that is written.
func (j *journal) enter(p Part) error { return j.line(entry{Written: &p}) }

func (j *journal) line(v any) error {
	b, err := json.Marshal(v)
	if err != nil {
		return err
	}
	if _, err := j.file.Write(append(b, '\n')); err != nil {
		return err
	}
	return j.file.Sync()
}

func (j *journal) close() error { return j.file.Close() }

// drop takes the journal away. It stays locked until it is gone, but on Windows,
// where nothing that is open can go.
func (j *journal) drop(out string) {
	if os.Remove(journalPath(out)) != nil {
		j.close()
		os.Remove(journalPath(out))
	}
}
