package labels

import (
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"quoin/impose/register"
	"quoin/impose/say"
)

// The codes of differences.
const (
	PartChanged    = "part-changed"
	JournalDiffers = "journal-differs"
	LedgerDiffers  = "ledger-differs"
	LabelLost      = "label-lost"
	LabelDoubled   = "label-doubled"
	DataDiffers    = "data-differs"
	SymbolUnread   = "symbol-unread"
	SymbolDiffers  = "symbol-differs"
)

// Codes is what the manual says of them.
var Codes = say.Codes{Title: "differences that verify finds in a run of variable data", List: []say.Meaning{
	{Code: PartChanged, Text: "a part's bytes are not those that were entered in the register"},
	{Code: JournalDiffers, Text: "journal and register know different parts"},
	{Code: LedgerDiffers, Text: "a ledger's bytes are not those that were entered, or it says something impossible"},
	{Code: LabelLost, Text: "a record is in no ledger of a run that is written whole"},
	{Code: LabelDoubled, Text: "a record is printed twice"},
	{Code: DataDiffers, Text: "the records are not those that were printed"},
	{Code: SymbolUnread, Text: "a symbol can't be read from its page"},
	{Code: SymbolDiffers, Text: "a symbol says something else than its record"},
}}

// Options say what is proved.
type Options struct {
	Register string
	Run      string  // its press file; "" where there is one run only
	Records  string  // CSV file to compare with what was printed; "" for none
	Parts    []int64 // only these, by their numbers; nil for the whole run
	All      bool    // decode the symbols of every frame; otherwise of each part's first and last
	// Glance reads symbols from what touches them on the page alone, and leaves to the
	// renderer what can't be read so for certain; of all parts but the last, those of
	// the first frame.
	Glance bool
	Say    func(string)
	// Lies returns where a file lies that is called so; nil: under its name.
	Lies func(path string) string
}

// Report is what was found.
type Report struct {
	Run         string    `json:"run"`
	Parts       int       `json:"parts"`
	Gone        int       `json:"parts_gone"`                   // no longer there, as when they went to the press
	Labels      int64     `json:"labels"`                       // that the ledgers name as printed
	Changes     int64     `json:"change_over_labels,omitempty"` // between rolls, each behind a full one
	Frames      int       `json:"frames_drawn"`
	Symbols     int       `json:"symbols_read"`
	Glanced     int       `json:"symbols_glanced,omitempty"`         // of those, the ones drawn without the renderer
	Unread      unread    `json:"symbols_without_decoder,omitempty"` // how many of each kind
	Differences say.Notes `json:"differences"`                       // what is not as it should be
}

// unread counts symbols by kinds that no decoder is there for.
type unread map[string]int

func (u *unread) add(kind string) {
	if *u == nil {
		*u = unread{}
	}
	(*u)[kind]++
}

// most bounds how many differences are listed.
const most = 100

func (r *Report) differs(code, format string, args ...any) {
	if len(r.Differences) < most {
		r.Differences = append(r.Differences, say.Note{Code: code, Text: say.Clip(fmt.Sprintf(format, args...), 600)})
	}
}

// Text writes the report for people.
func (r *Report) Text(w io.Writer) error {
	glanced := ""
	if r.Glanced > 0 {
		glanced = fmt.Sprintf(", %s of them from what touches them alone; quoin verify --run draws whole", say.Number(int64(r.Glanced)))
	}
	_, err := fmt.Fprintf(w, "Run        %s, %s, %d of them no longer there\nLedgers    %s printed, each record once\nPages      %s drawn, %s read back%s\n",
		r.Run, say.CountOf(r.Parts, "part", "parts"), r.Gone, say.CountOf(int(r.Labels), "label", "labels"),
		say.CountOf(r.Frames, "frame", "frames"), say.CountOf(r.Symbols, "symbol", "symbols"), glanced)
	if err == nil && r.Changes > 0 {
		_, err = fmt.Fprintf(w, "Rolls      %s, each behind a full roll\n", say.CountOf(r.Changes, "change-over label", "change-over labels"))
	}
	for _, kind := range slices.Sorted(maps.Keys(r.Unread)) {
		if err == nil {
			_, err = fmt.Fprintf(w, "Not read   %s of the kind %s, which there is no decoder for: scan a printed label\n", say.CountOf(r.Unread[kind], "symbol", "symbols"), kind)
		}
	}
	for _, d := range r.Differences {
		if err == nil {
			_, err = fmt.Fprintf(w, "differs: %s: %s\n", d.Code, d.Text)
		}
	}
	return err
}

// at returns where a file lies.
func (o *Options) at(path string) string {
	if o.Lies == nil {
		return path
	}
	return o.Lies(path)
}

// Files lists what Verify reads, as it is called: the register, and of the run the
// journal, the ledgers and the press files that are there, and the records.
func Files(o Options) ([]string, error) {
	reg, err := register.View(o.Register)
	if err != nil {
		return nil, err
	}
	defer reg.Close()
	r, err := open(reg, o)
	if err != nil {
		return nil, err
	}
	list := []string{o.Register}
	add := func(path string) {
		if info, err := os.Stat(path); err == nil && info.Mode().IsRegular() && !slices.Contains(list, path) {
			list = append(list, path)
		}
	}
	add(r.journalName())
	for _, p := range r.parts {
		add(r.path(p.Ledger))
		add(r.path(p.File))
	}
	if o.Records != "" {
		add(o.Records)
	}
	return list, nil
}

// run is a run of the register as this package reads it.
type run struct {
	register.Entry
	spec   spec
	places places
	parts  []register.Part
	folder string
	lies   func(path string) string
}

// open finds the run.
func open(reg *register.Register, o Options) (*run, error) {
	all, err := reg.Runs()
	if err != nil {
		return nil, err
	}
	folder, file := filepath.Dir(o.Register), ""
	if o.Run != "" {
		if file, err = filepath.Rel(folder, o.Run); err != nil {
			return nil, err
		}
	}
	var found []run
	for _, one := range all {
		if one.Issued && (file == one.File || file == "" && one.Of == 0) {
			found = append(found, run{Entry: one, folder: folder, lies: o.at})
		}
	}
	if len(found) != 1 {
		return nil, say.Refuse(say.BadFile, "name the press file of the run with --run, as quoin register lists them", "%s holds %d runs that could be meant", o.Register, len(found))
	}
	r := &found[0]
	if err := json.Unmarshal(r.Spec, &r.spec); err != nil {
		return nil, err
	}
	if err := json.Unmarshal(r.Places, &r.places); err != nil {
		return nil, err
	}
	r.parts, err = reg.Parts(r.ID)
	return r, err
}

// source is the number of the run that has the values: a reprint's are those of
// the run that it prints again.
func (r *run) source() uint32 {
	if r.Of != 0 {
		return r.Of
	}
	return r.ID
}

func (r *run) path(name string) string { return filepath.Join(r.folder, name) }

func (r *run) journalName() string { return r.path(strings.TrimSuffix(r.File, ".pdf") + ".journal") }
