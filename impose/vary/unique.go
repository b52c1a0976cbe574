package vary

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"io"
	"slices"

	"quoin/impose/data"
	"quoin/impose/gs1"
	"quoin/impose/register"
	"quoin/impose/say"
)

// code is the text that tells one label from all others, made of parts.
type code struct {
	parts []*content
}

// newCode finds what tells the labels apart: the values that the plan names; or
// a GS1 serial with its item, or a logistic unit's number, where the label
// carries one; or else everything that differs. A code without parts tells
// nothing apart.
func newCode(r *Run) (code, error) {
	names := r.plan.Records.Names
	if r.plan.Unique != nil {
		var c code
		for _, name := range r.plan.Unique {
			t, err := data.ParseTemplate("{"+name+"}", names)
			if err != nil {
				return c, fieldFault("unique", "", err)
			}
			c.parts = append(c.parts, &content{text: t})
		}
		return c, nil
	}
	serial := &content{}
	for _, ai := range []string{"00", "01", "21"} {
		for _, f := range r.fields {
			if i := slices.Index(f.ais, ai); i >= 0 && !slices.Contains(serial.ais, ai) {
				serial.ais, serial.each = append(serial.ais, ai), append(serial.each, f.each[i])
			}
		}
	}
	if slices.Contains(serial.ais, "21") || slices.Contains(serial.ais, "00") {
		return code{[]*content{serial}}, nil
	}
	var c code
	for _, f := range r.fields {
		if len(f.values()) > 0 {
			c.parts = append(c.parts, &f.content)
		}
	}
	return c, nil
}

// text returns a record's code. Parts stand behind each other with a tab, which no
// label shows.
func (c code) text(values []string) string {
	var b []byte
	for i, p := range c.parts {
		if i > 0 {
			b = append(b, '\t')
		}
		if p.each != nil {
			b = append(b, gs1.Text(p.list(values))...)
		} else {
			b = p.text.Append(b, values)
		}
	}
	return string(b)
}

// Hash returns what codes are sorted and found by; two codes can have the same.
func Hash(code string) uint64 {
	sum := sha256.Sum256([]byte(code))
	return binary.BigEndian.Uint64(sum[:])
}

// tellApart refuses records whose codes repeat, with both places.
func tellApart(ctx context.Context, r *Run) error {
	var err error
	if r.code, err = newCode(r); err != nil || len(r.code.parts) == 0 {
		return err
	}
	var first int64 // the record to be named
	var wrong error
	err = codeHashes(ctx, r, func(list []register.Code) error {
		for i, h := range list[1:] {
			if before := list[i]; before.Hash == h.Hash && (wrong == nil || h.Record < first) {
				if err := codesDiffer(r, before.Record, h.Record); err != nil {
					first, wrong = h.Record, err
				}
			}
		}
		return nil
	})
	return cmp.Or(err, wrong)
}

// codeHashes hands out the hashes of all records' codes, sorted, in lists of a
// bounded length that are used again. The records are read for them once.
func codeHashes(ctx context.Context, r *Run, see func([]register.Code) error) error {
	if r.codes == nil || !r.codes.done {
		r.codes.close()
		r.codes = &sortedCodes{held: make([]register.Code, 0, min(r.plan.Records.Count, int64(atOnce)))}
		err := eachRecord(ctx, r, func(record int64, values []string, again bool) error {
			if again {
				return nil // a copy has the code of the record before, as was asked for
			}
			return r.codes.add(register.Code{Hash: Hash(r.code.text(values)), Record: record})
		})
		if err == nil {
			err = r.codes.finish()
		}
		if err != nil {
			return err
		}
	}
	return r.codes.lists(see)
}

// Close lets go of what the run holds on disk. It can still write frames, and no
// more be entered in a register.
func (r *Run) Close() { r.codes.close() }

// eachRecord walks through all records.
func eachRecord(ctx context.Context, r *Run, see func(record int64, values []string, again bool) error) error {
	rd, err := r.plan.Records.From(1)
	if err != nil {
		return err
	}
	for n := int64(1); ; n++ {
		values, err := rd.Next()
		if err == io.EOF {
			return nil
		}
		if err == nil && n%(1<<14) == 0 {
			err = ctx.Err()
		}
		if err == nil {
			err = see(n, values, rd.Again())
		}
		if err != nil {
			return err
		}
	}
}

// codeOf returns the code of a record by its number.
func codeOf(r *Run, record int64) (string, error) {
	rd, err := r.plan.Records.From(record)
	if err != nil {
		return "", err
	}
	values, err := rd.Next()
	if err != nil {
		return "", err
	}
	return r.code.text(values), nil
}

// codesDiffer refuses two records that have the same code.
func codesDiffer(r *Run, a, b int64) error {
	first, err := codeOf(r, a)
	if err != nil {
		return err
	}
	second, err := codeOf(r, b)
	if err != nil || first != second {
		return err
	}
	where := fmt.Sprintf("record %d", a)
	if f, ok := r.plan.Records.Place(a, errPlace).(*data.Fault); ok && f.Line > 0 {
		where = fmt.Sprintf("record %d in line %d", a, f.Line)
	}
	return r.plan.Records.Place(b, say.Refuse(say.BadFile, "give each label a code of its own; where labels may be alike, say unique: none in the job's data, or name the values that differ",
		"%q is the code of %s too, and no code is printed twice", say.Clip(first, 200), where))
}

// errPlace asks Records.Place for a place and nothing else.
var errPlace = fmt.Errorf("")
