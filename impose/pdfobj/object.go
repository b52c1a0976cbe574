// Package pdfobj reads, copies and writes PDF objects and knows nothing of
// what they are for.
//
// A [Document] reads lazily over an io.ReaderAt: it loads the
// cross-reference table at once and every object when somebody asks for it.
// Streams are an offset and a length, never bytes in memory. Damaged files
// are mended on the way and [Damage.Notes] says what had to be mended.
//
// A [Writer] streams new objects to an io.Writer, and a [Copier] carries
// objects from one to the other, streams byte for byte.
//
// Section numbers in the comments are those of ISO 32000-1:2008.
package pdfobj

import (
	"maps"
	"slices"
)

// Object is one PDF object: nil (the null object), bool, [Integer], [Real],
// [String], [Name], [Array], [Dict], [*Stream] or [Ref].
type Object any

// Integer is a whole number.
type Integer int64

// Real is a number with a fraction.
type Real float64

// String holds the decoded bytes of a literal or hexadecimal string.
type String string

// Name holds the decoded bytes of a name, without its slash. The bytes need
// not be UTF-8.
type Name string

// Array is an ordered list of objects.
type Array []Object

// Dict maps names to objects. A missing key and a null value are the same
// thing, so the reader leaves null values out.
type Dict map[Name]Object

// Ref points to an indirect object. The zero Ref points to none.
type Ref struct {
	Num int
	Gen int
}

// IsZero reports whether r points to no object.
func (r Ref) IsZero() bool { return r.Num == 0 }

// Keys returns the keys of d in byte order: the one order in which anything
// here walks a dictionary.
func (d Dict) Keys() []Name {
	keys := make([]Name, 0, len(d))
	for k := range d {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// Clone returns a shallow copy of d. Objects that a [Document] hands out are
// shared, so clone a dictionary before changing it.
func (d Dict) Clone() Dict {
	c := make(Dict, len(d))
	maps.Copy(c, d)
	return c
}
