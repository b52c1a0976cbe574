package pdfobj

import (
	"bytes"
	"crypto/md5"
	"crypto/rc4"
	"encoding/binary"
	"fmt"
)

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

// permits reports whether the permissions (Table 22) allow placing: bit 4 allows
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
