package register

import (
	"bytes"
	"encoding/binary"

	"go.etcd.io/bbolt"
)

// Code is a label's code by its hash; two codes may have the same, so that who
// finds one looks at the values too.
type Code struct {
	Hash   uint64
	Record int64
}

// Label is a record of a run.
type Label struct {
	Run    uint32
	Record int64
}

// batch is how many codes go into one transaction, which holds what it changes in
// memory: some 150 bytes for each.
const batch = 1 << 16

// Issue enters codes of a run, sorted by their hashes. Entering one again
// changes nothing, so that a run which was killed enters all of its codes anew.
func (r *Register) Issue(run uint32, codes []Code) error {
	for len(codes) > 0 {
		n := min(batch, len(codes))
		err := r.update(func(tx *bbolt.Tx) error {
			b := tx.Bucket(codesBucket)
			for _, c := range codes[:n] {
				if err := b.Put(key(c.Hash, run, c.Record), nil); err != nil {
					return err
				}
			}
			return nil
		})
		if err != nil {
			return err
		}
		codes = codes[n:]
	}
	return nil
}

// Taken hands out the labels of other runs that have the same hash as one of the
// codes, which are sorted.
func (r *Register) Taken(run uint32, codes []Code, see func(Code, Label) error) error {
	return r.db.View(func(tx *bbolt.Tx) error {
		c := tx.Bucket(codesBucket).Cursor()
		k, _ := c.First()
		for _, code := range codes {
			prefix := key(code.Hash)
			if k == nil {
				return nil
			}
			if bytes.Compare(k, prefix) < 0 {
				k, _ = c.Seek(prefix)
			}
			for ; k != nil && bytes.HasPrefix(k, prefix); k, _ = c.Next() {
				if l := labelOf(k); l.Run != run {
					if err := see(code, l); err != nil {
						return err
					}
				}
			}
		}
		return nil
	})
}

// With gives the labels whose codes have a hash.
func (r *Register) With(hash uint64) (list []Label, err error) {
	err = r.db.View(func(tx *bbolt.Tx) error {
		return each(tx.Bucket(codesBucket), key(hash), func(k, _ []byte) error {
			list = append(list, labelOf(k))
			return nil
		})
	})
	return list, err
}

func labelOf(k []byte) Label {
	return Label{binary.BigEndian.Uint32(k[8:]), int64(binary.BigEndian.Uint64(k[12:]))}
}
