package pdfobj

import (
	"crypto/aes"
	"crypto/cipher"
	"crypto/md5"
	"crypto/rc4"
	"errors"
	"fmt"
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
