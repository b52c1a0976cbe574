package pdfobj

import (
	"bytes"
	"crypto/aes"
	"crypto/cipher"
	"crypto/sha256"
	"crypto/sha512"
)

// open256 is algorithm 2.A of ISO 32000-2, 7.6.4.3.3.
func (h *securityHandler) open256(password []byte) (key []byte, owner bool, err error) {
	password = password[:min(len(password), 127)]
	u, o := h.u[:48], h.o[:48]
	if bytes.Equal(h.hash(password, o[32:40], u), o[:32]) {
		return unwrap(h.hash(password, o[40:48], u), h.oe[:32]), true, nil
	}
	if bytes.Equal(h.hash(password, u[32:40], nil), u[:32]) {
		return unwrap(h.hash(password, u[40:48], nil), h.ue[:32]), false, nil
	}
	return nil, false, ErrPassword
}

func unwrap(key, wrapped []byte) []byte {
	out := make([]byte, len(wrapped))
	block, err := aes.NewCipher(key)
	if err != nil {
		return out // the key is a hash of 32 bytes, so this cannot be
	}
	cipher.NewCBCDecrypter(block, make([]byte, aes.BlockSize)).CryptBlocks(out, wrapped)
	return out
}

// hash is SHA-256 for revision 5 and algorithm 2.B of ISO 32000-2, 7.6.4.3.4,
// for revision 6. For an owner password, u is the 48 bytes of U.
func (h *securityHandler) hash(password, salt, u []byte) []byte {
	first := sha256.Sum256(bytes.Join([][]byte{password, salt, u}, nil))
	k := first[:]
	if h.revision < 6 {
		return k
	}
	for round := 0; ; round++ {
		k1 := bytes.Repeat(bytes.Join([][]byte{password, k, u}, nil), 64)
		block, err := aes.NewCipher(k[:16])
		if err != nil {
			return nil // a key of 16 bytes is right
		}
		e := k1
		cipher.NewCBCEncrypter(block, k[16:32]).CryptBlocks(e, k1)
		sum := 0
		for _, b := range e[:16] {
			sum += int(b) // 256 is 1 modulo 3
		}
		switch sum % 3 {
		case 0:
			s := sha256.Sum256(e)
			k = s[:]
		case 1:
			s := sha512.Sum384(e)
			k = s[:]
		case 2:
			s := sha512.Sum512(e)
			k = s[:]
		}
		if round >= 63 && int(e[len(e)-1]) <= round-31 {
			return k[:32]
		}
	}
}
