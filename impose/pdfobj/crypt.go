package pdfobj

import (
	"bytes"
	"crypto/aes"
	"crypto/cipher"
	"crypto/md5"
	"crypto/rc4"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
)

// method is how strings or streams are encrypted.
type method uint8

const (
	methodNone method = iota
	methodRC4
	methodAES128
	methodAES256
)

// crypt undoes the standard security handler (7.6; ISO 32000-2, 7.6.4 for
// revisions 5 and 6).
type crypt struct {
	ref             Ref // of the encryption dictionary, whose strings are clear
	key             []byte
	strings         method
	streams         method
	filters         map[Name]method
	encryptMetadata bool
}

// security is how the file is locked, and what it permits.
type security struct {
	doc        *Document
	crypt      *crypt // nil if it is not encrypted
	restricted bool   // see Restricted
}

// open sets up decryption if the trailer asks for it.
func (k *security) open() error {
	o := k.doc.trailer["Encrypt"]
	if o == nil {
		return nil
	}
	v, err := k.doc.Resolve(o)
	if err != nil {
		return err
	}
	dict, ok := v.(Dict)
	if !ok {
		if v == nil && k.doc.mender.scanned == nil {
			return fmt.Errorf("%w: its encryption dictionary is missing", errXref)
		}
		return fmt.Errorf("%w: it has no encryption dictionary", ErrEncryption)
	}
	if f := k.doc.Name(dict["Filter"]); f != "Standard" {
		return fmt.Errorf("%w: security handler %q", ErrEncryption, f)
	}
	c := &crypt{filters: map[Name]method{"Identity": methodNone}, encryptMetadata: true}
	c.ref, _ = o.(Ref)
	h, err := k.handler(dict)
	if err != nil {
		return err
	}
	if b, ok := k.doc.Bool(dict["EncryptMetadata"]); ok && h.version >= 4 {
		c.encryptMetadata = b
		h.encryptMetadata = b
	}
	if err := k.chooseMethods(c, dict, h.version); err != nil {
		return err
	}
	key, owner, err := h.open([]byte(k.doc.file.opt.Password))
	if errors.Is(err, ErrPassword) && k.doc.file.opt.Password != "" {
		// One of several files may be locked and the others only restricted.
		if key, owner, err = h.open(nil); err != nil {
			return fmt.Errorf("%w: the one given doesn't open it", ErrPassword)
		}
	}
	if err != nil {
		return err
	}
	k.restricted = !owner && !h.permits()
	if k.restricted && !k.doc.file.opt.Permitted {
		return ErrNotPermitted
	}
	c.key = key
	k.crypt = c
	return nil
}

// chooseMethods reads the crypt filters (7.6.5).
func (k *security) chooseMethods(c *crypt, dict Dict, version int64) error {
	if version < 4 {
		c.strings, c.streams = methodRC4, methodRC4
		return nil
	}
	for name, f := range k.doc.Dict(dict["CF"]) {
		switch cfm := k.doc.Name(k.doc.Dict(f)["CFM"]); cfm {
		case "None", "":
			c.filters[name] = methodNone
		case "V2":
			c.filters[name] = methodRC4
		case "AESV2":
			c.filters[name] = methodAES128
		case "AESV3":
			c.filters[name] = methodAES256
		}
	}
	for key, field := range map[Name]*method{"StrF": &c.strings, "StmF": &c.streams} {
		name := k.doc.Name(dict[key])
		if name == "" {
			name = "Identity"
		}
		m, ok := c.filters[name]
		if !ok {
			return fmt.Errorf("%w: crypt filter %q", ErrEncryption, name)
		}
		*field = m
	}
	return nil
}

// objectKey derives the key of one object (algorithm 1 of 7.6.2).
func (c *crypt) objectKey(m method, r Ref) []byte {
	if m == methodAES256 {
		return c.key
	}
	h := md5.New()
	h.Write(c.key)
	h.Write([]byte{byte(r.Num), byte(r.Num >> 8), byte(r.Num >> 16), byte(r.Gen), byte(r.Gen >> 8)})
	if m == methodAES128 {
		h.Write([]byte("sAlT"))
	}
	return h.Sum(nil)[:min(len(c.key)+5, 16)]
}

// decryptStrings returns o with its strings in the clear. It descends only
// into direct objects, whose nesting the parser has bounded.
func (c *crypt) decryptStrings(o Object, r Ref) Object {
	if c.strings == methodNone {
		return o
	}
	key := c.objectKey(c.strings, r)
	var walk func(Object) Object
	walk = func(o Object) Object {
		switch v := o.(type) {
		case String:
			return c.decryptString(v, key)
		case Array:
			for i := range v {
				v[i] = walk(v[i])
			}
		case Dict:
			for k := range v {
				v[k] = walk(v[k])
			}
		}
		return o
	}
	return walk(o)
}

// decryptString leaves a string as it is if it cannot have been encrypted.
func (c *crypt) decryptString(s String, key []byte) String {
	data := []byte(s)
	if c.strings == methodRC4 {
		rc, err := rc4.NewCipher(key)
		if err != nil {
			return s
		}
		rc.XORKeyStream(data, data)
		return String(data)
	}
	if len(data) < 2*aes.BlockSize || len(data)%aes.BlockSize != 0 {
		return s
	}
	block, err := aes.NewCipher(key)
	if err != nil {
		return s
	}
	plain := data[aes.BlockSize:]
	cipher.NewCBCDecrypter(block, data[:aes.BlockSize]).CryptBlocks(plain, plain)
	return String(plain[:len(plain)-padding(plain)])
}

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

// securityHandler holds what the encryption dictionary says (Tables 20, 21).
type securityHandler struct {
	version, revision int64
	keyBytes          int
	o, u, oe, ue      []byte
	permissions       uint32
	id                []byte
	encryptMetadata   bool
}

func (k *security) handler(dict Dict) (*securityHandler, error) {
	h := &securityHandler{encryptMetadata: true}
	h.version, _ = k.doc.Int(dict["V"])
	h.revision, _ = k.doc.Int(dict["R"])
	if h.version < 1 || h.version == 3 || h.version > 5 || h.revision < 2 || h.revision > 6 {
		return nil, fmt.Errorf("%w: version %d, revision %d", ErrEncryption, h.version, h.revision)
	}
	bits, ok := k.doc.Int(dict["Length"])
	switch {
	case h.version == 1:
		bits = 40
	case h.version == 4:
		bits = 128
	case !ok:
		bits = 40
	case bits < 40 && bits >= 5 && bits <= 16:
		bits *= 8 // some writers count bytes
	}
	h.keyBytes = int(min(max(bits, 40), 128) / 8)
	p, _ := k.doc.Int(dict["P"])
	h.permissions = uint32(p)
	for key, field := range map[Name]*[]byte{"O": &h.o, "U": &h.u, "OE": &h.oe, "UE": &h.ue} {
		s, _ := k.doc.String(dict[key])
		*field = []byte(s)
	}
	if ids := k.doc.Array(k.doc.trailer["ID"]); len(ids) > 0 {
		s, _ := k.doc.String(ids[0])
		h.id = []byte(s)
	}
	want := 32
	if h.revision >= 5 {
		want = 48
		if len(h.oe) < 32 || len(h.ue) < 32 {
			return nil, fmt.Errorf("%w: a key is missing", ErrEncryption)
		}
	}
	if len(h.o) < want || len(h.u) < want {
		return nil, fmt.Errorf("%w: a key is missing", ErrEncryption)
	}
	return h, nil
}

// permits says whether the permissions (Table 22) allow placing: bit 4 allows
// any change, bit 11 assembling, which revision 2 does not know.
func (h *securityHandler) permits() bool {
	modify := h.permissions&(1<<3) != 0
	assemble := h.permissions&(1<<10) != 0
	return modify || assemble && h.revision >= 3
}

// open returns the file key and whether the password is the owner's, who may
// do everything. A file may have the same password for both, even the empty
// one: it then restricts nothing.
func (h *securityHandler) open(password []byte) (key []byte, owner bool, err error) {
	if h.revision >= 5 {
		return h.open256(password)
	}
	// Some files state a wrong length, or none, and use one of these.
	for _, n := range []int{h.keyBytes, 16, 5} {
		h.keyBytes = n
		if key := h.userKey(h.userPassword(password)); h.isUser(key) {
			return key, true, nil
		}
		if key := h.userKey(password); h.isUser(key) {
			return key, false, nil
		}
	}
	return nil, false, ErrPassword
}

var passwordPadding = []byte("\x28\xBF\x4E\x5E\x4E\x75\x8A\x41\x64\x00\x4E\x56\xFF\xFA\x01\x08" +
	"\x2E\x2E\x00\xB6\xD0\x68\x3E\x80\x2F\x0C\xA9\xFE\x64\x53\x69\x7A")

func pad(password []byte) []byte {
	return append(password[:min(len(password), 32):min(len(password), 32)], passwordPadding...)[:32]
}

// userKey is algorithm 2 of 7.6.3.3.
func (h *securityHandler) userKey(password []byte) []byte {
	m := md5.New()
	m.Write(pad(password))
	m.Write(h.o[:32])
	m.Write(binary.LittleEndian.AppendUint32(nil, h.permissions))
	m.Write(h.id)
	if h.revision >= 4 && !h.encryptMetadata {
		m.Write([]byte{0xff, 0xff, 0xff, 0xff})
	}
	key := m.Sum(nil)
	n := h.keyBytes
	if h.revision == 2 {
		n = 5
	} else {
		for range 50 {
			sum := md5.Sum(key[:n])
			key = sum[:]
		}
	}
	return key[:n]
}

// isUser is algorithm 6 of 7.6.3.4.
func (h *securityHandler) isUser(key []byte) bool {
	if h.revision == 2 {
		return bytes.Equal(rc4Once(key, passwordPadding), h.u[:32])
	}
	m := md5.New()
	m.Write(passwordPadding)
	m.Write(h.id)
	u := m.Sum(nil)
	for i := range 20 {
		u = rc4Once(xored(key, byte(i)), u)
	}
	return bytes.Equal(u, h.u[:16])
}

// userPassword is algorithm 7 of 7.6.3.4: the user password that the owner
// password opens.
func (h *securityHandler) userPassword(owner []byte) []byte {
	sum := md5.Sum(pad(owner))
	n := 5
	if h.revision >= 3 {
		n = h.keyBytes
		for range 50 {
			sum = md5.Sum(sum[:])
		}
	}
	key := sum[:n]
	user := h.o[:32]
	if h.revision == 2 {
		return rc4Once(key, user)
	}
	for i := 19; i >= 0; i-- {
		user = rc4Once(xored(key, byte(i)), user)
	}
	return user
}

func rc4Once(key, data []byte) []byte {
	out := make([]byte, len(data))
	rc, err := rc4.NewCipher(key)
	if err != nil {
		return out // keys are 5 to 16 bytes, so this cannot be
	}
	rc.XORKeyStream(out, data)
	return out
}

func xored(key []byte, with byte) []byte {
	out := bytes.Clone(key)
	for i := range out {
		out[i] ^= with
	}
	return out
}
