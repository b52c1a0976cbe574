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

// Packed are the values of records as they are kept: whole blocks, deflated.
type Packed struct {
	plain  []byte
	rows   int
	out    bytes.Buffer
	writer *flate.Writer
	blocks [][]byte
}

// Add takes the values of the next record.
func (p *Packed) Add(values []string) error {
	p.plain = binary.AppendUvarint(p.plain, uint64(len(values)))
	for _, v := range values {
		p.plain = append(binary.AppendUvarint(p.plain, uint64(len(v))), v...)
	}
	if p.rows++; p.rows < Block {
		return nil
	}
	return p.End()
}

// End closes the last block, which may be short.
func (p *Packed) End() (err error) {
	if p.rows == 0 {
		return nil
	}
	if p.out.Reset(); p.writer == nil {
		p.writer, err = flate.NewWriter(&p.out, flate.BestSpeed)
	} else {
		p.writer.Reset(&p.out)
	}
	if err == nil {
		_, err = p.writer.Write(p.plain)
	}
	if err == nil {
		err = p.writer.Close()
	}
	p.blocks = append(p.blocks, bytes.Clone(p.out.Bytes()))
	p.plain, p.rows = p.plain[:0], 0
	return err
}

// Take returns the blocks that are closed, and lets go of them.
func (p *Packed) Take() [][]byte {
	blocks := p.blocks
	p.blocks = nil
	return blocks
}

// Blocks is how many there are to be taken.
func (p *Packed) Blocks() int { return len(p.blocks) }

// Keep enters packed blocks of records' values, the first of which is number first,
// counted from 0. Entering one again changes nothing.
func (r *Register) Keep(run uint32, first int64, blocks [][]byte) error {
	return r.update(func(tx *bbolt.Tx) error {
		b := tx.Bucket(valuesBucket)
		for i, packed := range blocks {
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

// unpack reads how many values a record has, then each value behind its length.
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
