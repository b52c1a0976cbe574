package wholefile

import (
	"crypto/sha256"
	"encoding/hex"
	"hash"
	"io"
	"os"
)

// digest gathers what is written in chunks, and hashes them beside the writing,
// on another core: hashing a file takes about as long as copying it. A file of
// one chunk is hashed at its end.
type digest struct {
	hash  hash.Hash
	chunk []byte      // that is being filled
	todo  chan []byte // filled, in order; nil while there was but one
	free  chan []byte // to be filled again
	done  chan struct{}
	made  int
	bytes int64
}

const (
	chunkBytes = 1 << 17
	mostChunks = 4
)

func newDigest() digest {
	return digest{hash: sha256.New(), chunk: make([]byte, 0, chunkBytes)}
}

// fill takes as much as the chunk holds.
func (d *digest) fill(b []byte) int {
	n := min(len(b), chunkBytes-len(d.chunk))
	d.chunk = append(d.chunk, b[:n]...)
	return n
}

func (d *digest) full() bool { return len(d.chunk) == chunkBytes }

// next hands the chunk over to be hashed, and gives it to be written before
// anything else is gathered.
func (d *digest) next() []byte {
	chunk := d.chunk
	d.bytes += int64(len(chunk))
	if d.todo == nil {
		if !d.full() {
			d.hash.Write(chunk) // not worth another core
			d.chunk = chunk[:0]
			return chunk
		}
		d.begin()
	}
	d.todo <- chunk
	select {
	case d.chunk = <-d.free:
	default:
		if d.made < mostChunks {
			d.made++
			d.chunk = make([]byte, 0, chunkBytes)
		} else {
			d.chunk = <-d.free
		}
	}
	return chunk
}

func (d *digest) begin() {
	d.todo, d.free, d.done = make(chan []byte, mostChunks), make(chan []byte, mostChunks), make(chan struct{})
	d.made = 1
	go func() {
		defer close(d.done)
		for chunk := range d.todo {
			d.hash.Write(chunk)
			d.free <- chunk[:0]
		}
	}()
}

// sum waits for the hash of all chunks; it is the last call.
func (d *digest) sum() Sum {
	if d.todo != nil {
		close(d.todo)
		<-d.done
	}
	return Sum{hex.EncodeToString(d.hash.Sum(nil)), d.bytes}
}

// SHA256 reads a file from end to end and gives its hash in hexadecimal.
func SHA256(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}
