package register

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"fmt"
	"io"

	"go.etcd.io/bbolt"
)

// Block is how many records' values are kept together.
const Block = 4096

// Keep enters the values of whole blocks of records, the first of which is
// number first, counted from 0; each is a list of records. Entering one again
// changes nothing.
func (r *Register) Keep(run uint32, first int64, blocks [][][]string) error {
	return r.update(func(tx *bbolt.Tx) error {
		b := tx.Bucket(valuesBucket)
		for i, rows := range blocks {
			packed, err := pack(rows)
			if err != nil {
				return err
			}
			if err := b.Put(key(run, first+int64(i)), packed); err != nil {
				return err
			}
		}
		return nil
	})
}

// Values hands out the values of a run's records from number from on, counted
// from 1, until see says that it has enough.
func (r *Register) Values(run uint32, from int64, see func(record int64, values []string) (more bool, err error)) error {
	return r.db.View(func(tx *bbolt.Tx) error {
		c := tx.Bucket(valuesBucket).Cursor()
		for k, v := c.Seek(key(run, (from-1)/Block)); k != nil && bytes.HasPrefix(k, key(run)); k, v = c.Next() {
			rows, err := unpack(v)
			if err != nil {
				return fmt.Errorf("the register %s: %w", r.path, err)
			}
			record := int64(binary.BigEndian.Uint64(k[4:]))*Block + 1
			for _, values := range rows {
				if record >= from {
					if more, err := see(record, values); err != nil || !more {
						return err
					}
				}
				record++
			}
		}
		return nil
	})
}

// pack writes how many values a record has, then each value behind its length.
func pack(rows [][]string) ([]byte, error) {
	var plain []byte
	for _, values := range rows {
		plain = binary.AppendUvarint(plain, uint64(len(values)))
		for _, v := range values {
			plain = append(binary.AppendUvarint(plain, uint64(len(v))), v...)
		}
	}
	var b bytes.Buffer
	w, err := flate.NewWriter(&b, flate.BestSpeed)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(plain); err != nil {
		return nil, err
	}
	err = w.Close()
	return b.Bytes(), err
}

func unpack(packed []byte) (rows [][]string, err error) {
	plain, err := io.ReadAll(flate.NewReader(bytes.NewReader(packed)))
	if err != nil {
		return nil, err
	}
	number := func() uint64 {
		n, size := binary.Uvarint(plain)
		if size <= 0 || n > 1<<40 {
			err = io.ErrUnexpectedEOF
			return 0
		}
		plain = plain[size:]
		return n
	}
	for len(plain) > 0 && err == nil {
		var values []string
		for n := number(); n > 0 && err == nil; n-- {
			size := number()
			if size > uint64(len(plain)) {
				err = io.ErrUnexpectedEOF
				break
			}
			values = append(values, string(plain[:size]))
			plain = plain[size:]
		}
		rows = append(rows, values)
	}
	return rows, err
}
