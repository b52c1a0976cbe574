package data

import (
	"cmp"
	"crypto/aes"
	"crypto/cipher"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"math"
	"math/bits"
	"strings"
)

// Random gives each record a code that nobody can guess from another, and that no
// other record of the same key has.
//
// The codes are the records' numbers, shuffled by a cipher over all codes of the
// length: a Feistel network of AES, walked until it lands on a code (the method
// of "cycle walking", Black and Rogaway, Ciphers with Arbitrary Finite Domains,
// 2002). So any record's code is worked out alone, and none has to be remembered.
type Random struct {
	Name    string
	Letters string // as of a Counter; "" for Clear
	Length  int    // letters in a code
	Key     []byte // what the codes depend on; whoever has it can work them out
	Start   int64  // the number of the first record, for runs that go on with a key; the first is 0

	alphabet []rune
	codes    int64 // that there are
	half     int   // bits
	cipher   cipher.Block
}

// rounds is twice what makes such a network as good as a random one against who
// sees fewer codes than the root of all (Luby and Rackoff, 1988).
const rounds = 8

// prepare works out what all codes need. Records says how many there will be.
func (r *Random) prepare(records int64) error {
	fault := func(way, format string, args ...any) error {
		return &Fault{Column: r.Name, Err: fmt.Errorf(format, args...), Way: way}
	}
	alphabet := cmp.Or(r.Letters, Clear)
	if err := checkLetters(alphabet); err != nil {
		return &Fault{Column: r.Name, Err: err, Way: "give two letters at least, each once"}
	}
	if len(r.Key) == 0 {
		return fault("give a seed or a key file", "random codes need something to begin with")
	}
	r.alphabet, r.codes = []rune(alphabet), 1
	for range r.Length {
		if r.codes > math.MaxInt64/2/int64(len(r.alphabet)) {
			return fault("make them shorter", "%d letters of %d make more codes than can be counted", r.Length, len(r.alphabet))
		}
		r.codes *= int64(len(r.alphabet))
	}
	if r.Length < 1 || r.Start < 0 || records > r.codes-r.Start {
		return fault("make them longer", "%d letters of %d make %d codes, and %d are asked for from number %d on", r.Length, len(r.alphabet), r.codes, records, r.Start)
	}
	r.half = max(1, (bits.Len64(uint64(r.codes-1))+1)/2)
	key := sha256.Sum256(r.Key)
	var err error
	r.cipher, err = aes.NewCipher(key[:])
	return err
}

// text returns the code of record n, the first is 0.
func (r *Random) text(n int64) string {
	v := uint64(n + r.Start)
	for {
		if v = r.shuffle(v); v < uint64(r.codes) {
			break
		}
	}
	code := letters(int64(v), r.alphabet)
	return strings.Repeat(string(r.alphabet[:1]), r.Length-len([]rune(code))) + code
}

// shuffle returns the number that another stands for: each of twice half bits once.
func (r *Random) shuffle(v uint64) uint64 {
	mask := uint64(1)<<r.half - 1
	left, right := v>>r.half, v&mask
	var block [aes.BlockSize]byte
	for round := range rounds {
		clear(block[:])
		binary.BigEndian.PutUint64(block[:], right)
		block[8] = byte(round)
		r.cipher.Encrypt(block[:], block[:])
		left, right = right, (left^binary.BigEndian.Uint64(block[:]))&mask
	}
	return left<<r.half | right
}
