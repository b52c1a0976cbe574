package pdfobj

import (
	"bytes"
	"crypto/aes"
	"crypto/cipher"
	"crypto/rc4"
	"fmt"
	"io"
)

// padding returns how many bytes of padding end plain (RFC 2898), 0 if that
// makes no sense.
func padding(plain []byte) int {
	n := int(plain[len(plain)-1])
	if n < 1 || n > aes.BlockSize || n > len(plain) {
		return 0
	}
	return n
}

// streamCipher decrypts one stream.
type streamCipher struct {
	method method
	key    []byte
	length int64 // decrypted, -1 if not yet known
}

// attach decides how a stream is encrypted and takes the Crypt filter out of
// its dictionary, for what Raw yields no longer is.
func (c *crypt) attach(d *Document, s *Stream) error {
	if d.Name(s.Dict["Type"]) == "XRef" {
		return nil // always in the clear (7.5.8.2)
	}
	s.Dict = c.decryptStrings(s.Dict, s.Ref).(Dict)
	m := c.streams
	stages, err := d.Stages(s)
	if err != nil {
		stages = nil
	}
	switch {
	case len(stages) > 0 && stages[0].Filter == "Crypt":
		name := d.Name(stages[0].Parms["Name"])
		if name == "" {
			name = "Identity"
		}
		var ok bool
		if m, ok = c.filters[name]; !ok {
			return fmt.Errorf("%w: crypt filter %q", ErrEncryption, name)
		}
		s.Dict = withoutFirstStage(s.Dict, stages)
	case !c.encryptMetadata && d.Name(s.Dict["Type"]) == "Metadata":
		m = methodNone
	}
	if m != methodNone {
		s.cipher = &streamCipher{method: m, key: c.objectKey(m, s.Ref), length: -1}
	}
	return nil
}

func withoutFirstStage(dict Dict, stages []Stage) Dict {
	dict = dict.Clone()
	delete(dict, "Filter")
	delete(dict, "DecodeParms")
	if len(stages) == 1 {
		return dict
	}
	filters, parms := Array{}, Array{}
	for _, s := range stages[1:] {
		filters = append(filters, s.Filter)
		if s.Parms == nil {
			parms = append(parms, nil)
		} else {
			parms = append(parms, s.Parms)
		}
	}
	dict["Filter"], dict["DecodeParms"] = filters, parms
	return dict
}

// plainLength returns the length of the decrypted stream. For AES it reads
// the last two blocks.
func (c *streamCipher) plainLength(s *Stream) int64 {
	if c.method == methodRC4 {
		return s.n
	}
	if c.length >= 0 {
		return c.length
	}
	c.length = 0
	whole := s.n - s.n%aes.BlockSize
	if whole < 2*aes.BlockSize {
		return 0
	}
	var last [2 * aes.BlockSize]byte
	block, err := aes.NewCipher(c.key)
	if err != nil {
		return 0
	}
	if _, err := s.src.ReadAt(last[:], s.off+whole-int64(len(last))); err != nil && err != io.EOF {
		return 0 // Raw will fail the same way
	}
	plain := last[aes.BlockSize:]
	cipher.NewCBCDecrypter(block, last[:aes.BlockSize]).CryptBlocks(plain, plain)
	c.length = whole - aes.BlockSize - int64(padding(plain))
	return c.length
}

func (c *streamCipher) reader(stored *io.SectionReader) (io.Reader, error) {
	if c.method == methodRC4 {
		rc, err := rc4.NewCipher(c.key)
		if err != nil {
			return nil, err
		}
		return cipher.StreamReader{S: rc, R: stored}, nil
	}
	block, err := aes.NewCipher(c.key)
	if err != nil {
		return nil, err
	}
	whole := stored.Size() - stored.Size()%aes.BlockSize
	if whole < 2*aes.BlockSize {
		return bytes.NewReader(nil), nil
	}
	iv := make([]byte, aes.BlockSize)
	if _, err := io.ReadFull(stored, iv); err != nil {
		return nil, err
	}
	return &cbcReader{r: stored, left: whole - aes.BlockSize, mode: cipher.NewCBCDecrypter(block, iv)}, nil
}

// cbcReader decrypts whole blocks and drops the padding at the end.
type cbcReader struct {
	r    io.Reader
	left int64 // encrypted bytes to come
	mode cipher.BlockMode
	buf  []byte
	out  []byte // decrypted and not yet read
}

func (c *cbcReader) Read(p []byte) (int, error) {
	for len(c.out) == 0 {
		if c.left == 0 {
			return 0, io.EOF
		}
		if c.buf == nil {
			c.buf = make([]byte, min(c.left, 32<<10))
		}
		chunk := c.buf[:min(c.left, int64(len(c.buf)))]
		if _, err := io.ReadFull(c.r, chunk); err != nil {
			return 0, err
		}
		c.mode.CryptBlocks(chunk, chunk)
		if c.left -= int64(len(chunk)); c.left == 0 {
			chunk = chunk[:len(chunk)-padding(chunk)]
		}
		c.out = chunk
	}
	n := copy(p, c.out)
	c.out = c.out[n:]
	return n, nil
}
