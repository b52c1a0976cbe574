package register

import (
	"bytes"
	"encoding/binary"
	"slices"

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

// Codes stand in sheaves: a run's codes, sorted by their hashes, some thousand
// behind each other under the first of the hashes. A key for each code would take
// five times the room, and the time of a run that prints text alone.
const (
	codeSize = 16  // bytes, of hash and record
	batch    = 128 // sheaves in one transaction, which holds what it changes in memory
)

// sheaf is how many codes stand together, or some more: those of one hash are never
// parted. Tests make it small.
var sheaf = 2048

// Issue enters codes of a run, sorted by their hashes: all of them, or all within a
// range of hashes. Entering the same again changes nothing, so that a run which was
// killed enters all of its codes anew.
func (r *Register) Issue(run uint32, codes []Code) error {
	for len(codes) > 0 {
		err := r.update(func(tx *bbolt.Tx) error {
			b, err := tx.CreateBucketIfNotExists(sheavesBucket)
			if err != nil {
				return err
			}
			if err := tx.Bucket(aboutBucket).Put([]byte("schema"), []byte(schema)); err != nil {
				return err
			}
			for n := 0; n < batch && len(codes) > 0; n++ {
				end := min(sheaf, len(codes))
				for end < len(codes) && codes[end].Hash == codes[end-1].Hash {
					end++
				}
				bound := make([]byte, 0, end*codeSize)
				for _, c := range codes[:end] {
					bound = binary.BigEndian.AppendUint64(binary.BigEndian.AppendUint64(bound, c.Hash), uint64(c.Record))
				}
				if err := b.Put(key(run, codes[0].Hash), bound); err != nil {
					return err
				}
				codes = codes[end:]
			}
			return nil
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// bound is a sheaf as it is read.
type bound struct {
	run  uint32
	list []byte
}

func (b bound) len() int          { return len(b.list) / codeSize }
func (b bound) hash(i int) uint64 { return binary.BigEndian.Uint64(b.list[i*codeSize:]) }
func (b bound) label(i int) Label {
	return Label{b.run, int64(binary.BigEndian.Uint64(b.list[i*codeSize+8:]))}
}

// at returns the sheaf of a run that holds a hash, or else the first behind it; false
// where there is none.
func at(c *bbolt.Cursor, run uint32, hash uint64) (bound, bool) {
	k, v := c.Seek(key(run, hash))
	behind, ok := bound{run, v}, k != nil && bytes.HasPrefix(k, key(run))
	if ok && bytes.Equal(k, key(run, hash)) {
		return behind, true
	}
	if k == nil {
		k, v = c.Last()
	} else {
		k, v = c.Prev()
	}
	if k != nil && bytes.HasPrefix(k, key(run)) {
		if b := (bound{run, v}); b.hash(b.len()-1) >= hash {
			return b, true
		}
	}
	return behind, ok
}

// eachIssued hands out the runs that have sheaves.
func eachIssued(c *bbolt.Cursor, see func(run uint32) error) error {
	for k, _ := c.First(); k != nil; {
		run := binary.BigEndian.Uint32(k)
		if err := see(run); err != nil {
			return err
		}
		if run == ^uint32(0) {
			return nil
		}
		k, _ = c.Seek(key(run + 1))
	}
	return nil
}

// Taken hands out the labels of other runs that have the same hash as one of the
// codes, which are sorted.
func (r *Register) Taken(run uint32, codes []Code, see func(Code, Label) error) error {
	return r.db.View(func(tx *bbolt.Tx) error {
		if err := takenBefore(tx, run, codes, see); err != nil {
			return err
		}
		sheaves := tx.Bucket(sheavesBucket)
		if sheaves == nil {
			return nil
		}
		return eachIssued(sheaves.Cursor(), func(other uint32) error {
			if other == run {
				return nil
			}
			c := sheaves.Cursor()
			for rest := codes; len(rest) > 0; {
				b, ok := at(c, other, rest[0].Hash)
				if !ok {
					return nil
				}
				i := 0
				for ; len(rest) > 0 && rest[0].Hash <= b.hash(b.len()-1); rest = rest[1:] {
					for i < b.len() && b.hash(i) < rest[0].Hash {
						i++
					}
					for k := i; k < b.len() && b.hash(k) == rest[0].Hash; k++ {
						if err := see(rest[0], b.label(k)); err != nil {
							return err
						}
					}
				}
			}
			return nil
		})
	})
}

// takenBefore is Taken in a register of the first form, with a key for each code.
func takenBefore(tx *bbolt.Tx, run uint32, codes []Code, see func(Code, Label) error) error {
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
}

// With returns the labels whose codes have a hash.
func (r *Register) With(hash uint64) (list []Label, err error) {
	err = r.db.View(func(tx *bbolt.Tx) error {
		err := each(tx.Bucket(codesBucket), key(hash), func(k, _ []byte) error {
			list = append(list, labelOf(k))
			return nil
		})
		sheaves := tx.Bucket(sheavesBucket)
		if err != nil || sheaves == nil {
			return err
		}
		return eachIssued(sheaves.Cursor(), func(run uint32) error {
			b, ok := at(sheaves.Cursor(), run, hash)
			for i := 0; ok && i < b.len(); i++ {
				if l := b.label(i); b.hash(i) == hash && !slices.Contains(list, l) {
					list = append(list, l)
				}
			}
			return nil
		})
	})
	return list, err
}

func labelOf(k []byte) Label {
	return Label{binary.BigEndian.Uint32(k[8:]), int64(binary.BigEndian.Uint64(k[12:]))}
}
