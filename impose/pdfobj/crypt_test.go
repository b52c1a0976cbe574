package pdfobj

import (
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"quoin/impose/witness"
)

// secret is a file with strings and streams to encrypt, two of them named
// differently: metadata may stay in the clear.
func secret() string {
	f := simple()
	f.objects[0] = "<</Type/Catalog/Pages 2 0 R/Metadata 5 0 R/Note(a string (with parentheses))/List[<00FF10>()]>>"
	f.objects = append(f.objects,
		stream("/Type/Metadata/Subtype/XML", "<?xpacket begin='' id=''?>"),
		stream("", ""),
		stream("", strings.Repeat("0123456789abcdef", 5000)))
	f.objects[0] = strings.Replace(f.objects[0], "/Note", "/Empty 6 0 R/Long 7 0 R/Note", 1)
	f.trailer = "/ID[<00112233445566778899AABBCCDDEEFF><00112233445566778899AABBCCDDEEFF>]"
	return f.String()
}

// encrypt lets qpdf encrypt the file, for it shares no code with us.
func encrypt(t testing.TB, text string, args ...string) string {
	t.Helper()
	qpdf := witness.Need(t, "qpdf")
	dir := t.TempDir()
	in, out := filepath.Join(dir, "in.pdf"), filepath.Join(dir, "out.pdf")
	if err := os.WriteFile(in, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	args = append([]string{"--allow-weak-crypto", "--static-id", "--stream-data=preserve"}, args...)
	cmd := exec.Command(qpdf, append(args, in, out)...)
	if said, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%s: %v\n%s", strings.Join(cmd.Args, " "), err, said)
	}
	data, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func TestEncryptedFiles(t *testing.T) {
	for _, c := range []struct {
		name string
		args []string
	}{
		{"RC4, 40 bits, revision 2", []string{"--encrypt", "", "owner", "40", "--"}},
		{"RC4, 128 bits, revision 3", []string{"--encrypt", "", "owner", "128", "--use-aes=n", "--"}},
		{"RC4, 128 bits, revision 4", []string{"--encrypt", "", "owner", "128", "--use-aes=n", "--force-V4", "--"}},
		{"AES, 128 bits", []string{"--encrypt", "", "owner", "128", "--use-aes=y", "--"}},
		{"AES, 128 bits, clear metadata", []string{"--encrypt", "", "owner", "128", "--use-aes=y", "--cleartext-metadata", "--"}},
		{"RC4, clear metadata", []string{"--encrypt", "", "owner", "128", "--use-aes=n", "--cleartext-metadata", "--"}},
		{"AES, 256 bits, revision 5", []string{"--encrypt", "", "owner", "256", "--force-R5", "--"}},
		{"AES, 256 bits, revision 6", []string{"--encrypt", "", "owner", "256", "--"}},
		{"AES, 256 bits, clear metadata", []string{"--encrypt", "", "owner", "256", "--cleartext-metadata", "--"}},
		{"AES, 256 bits, object streams", []string{"--object-streams=generate", "--encrypt", "", "owner", "256", "--"}},
		{"AES, 128 bits, object streams", []string{"--object-streams=generate", "--encrypt", "", "owner", "128", "--use-aes=y", "--"}},
		{"assembling only", []string{"--encrypt", "", "owner", "256", "--modify=assembly", "--"}},
		{"assembling only, AES 128", []string{"--encrypt", "", "owner", "128", "--use-aes=y", "--modify=assembly", "--"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := encrypt(t, secret(), c.args...)
			for _, broken := range []bool{false, true} {
				if broken { // decryption must also work on a rebuilt table
					text = strings.Replace(text, "startxref", "startxyz", 1)
				}
				checkSecret(t, text)
			}
		})
	}
}

func checkSecret(t *testing.T, text string) {
	t.Helper()
	content, d := firstContent(t, text, Limits{})
	if content != testContent {
		t.Errorf("content %q", content)
	}
	if !d.Encrypted() {
		t.Error("the file is not encrypted")
	}
	catalog := d.Catalog()
	if s, _ := d.String(catalog["Note"]); s != "a string (with parentheses)" {
		t.Errorf("string %q", s)
	}
	list := d.Array(catalog["List"])
	if len(list) != 2 || list[0] != String("\x00\xff\x10") || list[1] != String("") {
		t.Errorf("strings %q", list)
	}
	for key, want := range map[Name]string{
		"Metadata": "<?xpacket begin='' id=''?>",
		"Empty":    "",
		"Long":     strings.Repeat("0123456789abcdef", 5000),
	} {
		s := d.Stream(catalog[key])
		if s == nil {
			t.Fatalf("no stream %s", key)
		}
		r, err := s.Raw()
		if err != nil {
			t.Fatal(err)
		}
		got, err := io.ReadAll(r)
		if err != nil || string(got) != want {
			t.Errorf("%s: %.60q, %v", key, got, err)
		}
		if s.RawLength() != int64(len(want)) {
			t.Errorf("%s: length %d, want %d", key, s.RawLength(), len(want))
		}
		if s.Dict["Filter"] != nil {
			t.Errorf("%s: filter %v", key, s.Dict["Filter"])
		}
	}
}

func TestPasswordsAndPermissions(t *testing.T) {
	for _, c := range []struct {
		name     string
		args     []string
		password string
		want     error
	}{
		{"user password missing, 40", []string{"--encrypt", "user", "owner", "40", "--"}, "", ErrPassword},
		{"user password missing, 128", []string{"--encrypt", "user", "owner", "128", "--use-aes=y", "--"}, "", ErrPassword},
		{"user password missing, 256", []string{"--encrypt", "user", "owner", "256", "--"}, "", ErrPassword},
		{"user password, 40", []string{"--encrypt", "user", "owner", "40", "--"}, "user", nil},
		{"user password, 128", []string{"--encrypt", "user", "owner", "128", "--use-aes=y", "--"}, "user", nil},
		{"user password, 256", []string{"--encrypt", "user", "owner", "256", "--"}, "user", nil},
		{"owner password, 40", []string{"--encrypt", "user", "owner", "40", "--modify=n", "--"}, "owner", nil},
		{"owner password, 128", []string{"--encrypt", "user", "owner", "128", "--use-aes=n", "--modify=none", "--"}, "owner", nil},
		{"owner password, 256", []string{"--encrypt", "user", "owner", "256", "--modify=none", "--"}, "owner", nil},
		{"wrong password", []string{"--encrypt", "user", "owner", "256", "--"}, "Owner", ErrPassword},
		{"empty owner password, 40", []string{"--encrypt", "", "", "40", "--modify=n", "--"}, "", nil},
		{"empty owner password, 128", []string{"--encrypt", "", "", "128", "--use-aes=n", "--modify=none", "--"}, "", nil},
		{"empty owner password, 256", []string{"--encrypt", "", "", "256", "--allow-insecure", "--modify=none", "--"}, "", nil},
		{"no changes, 40", []string{"--encrypt", "", "owner", "40", "--modify=n", "--"}, "", ErrNotPermitted},
		{"no changes, 128", []string{"--encrypt", "", "owner", "128", "--use-aes=y", "--modify=none", "--"}, "", ErrNotPermitted},
		{"no changes, 256", []string{"--encrypt", "", "owner", "256", "--modify=none", "--"}, "", ErrNotPermitted},
	} {
		text := encrypt(t, secret(), c.args...)
		_, err := Open(strings.NewReader(text), int64(len(text)), Limits{Password: c.password})
		if !errors.Is(err, c.want) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// qpdf states the length of the key, which other writers forget.
func TestKeyLengthMissing(t *testing.T) {
	text := encrypt(t, secret(), "--encrypt", "", "owner", "128", "--use-aes=n", "--")
	checkSecret(t, swap(t, text, "/Length 128", "/Wength 128"))
	checkSecret(t, swap(t, text, "/Length 128", "/Length 960"))
}

// A stream may name its own crypt filter: what Raw yields is then in the
// clear, and the dictionary must no longer say otherwise.
func TestCryptFilterOfAStream(t *testing.T) {
	for _, c := range []struct{ dict, want string }{
		{"/Filter/Crypt/DecodeParms<</Name/Identity>>", "<<>>"},
		{"/Filter/Crypt", "<<>>"},
		{"/Filter[/Crypt]", "<<>>"},
		{"/Filter[/Crypt/AHx/Fl]/DecodeParms[<</Name/Identity>>null<</Predictor 12>>]",
			"<</DecodeParms[null<</Predictor 12>>]/Filter[/ASCIIHexDecode/FlateDecode]>>"},
	} {
		d := open(t, []byte(secret()))
		d.security.crypt = &crypt{key: make([]byte, 16), streams: methodRC4, filters: map[Name]method{"Identity": methodNone}}
		p := parser{lexer: newBytesLexer([]byte("<<" + c.dict + ">>")), maxDepth: 9}
		dict, err := p.object(0)
		if err != nil {
			t.Fatal(err)
		}
		s := NewStream(dict.(Dict), []byte("clear"))
		if err := d.security.crypt.attach(d, s); err != nil {
			t.Fatal(err)
		}
		raw, err := s.Raw()
		if err != nil {
			t.Fatal(err)
		}
		data, err := io.ReadAll(raw)
		if err != nil || string(data) != "clear" {
			t.Errorf("%s: %q, %v", c.dict, data, err)
		}
		if text, err := AppendObject(nil, s.Dict); err != nil || string(text) != c.want {
			t.Errorf("%s: %s, %v", c.dict, text, err)
		}
	}
}

func TestEncryptionIsUnderstoodOrRefused(t *testing.T) {
	for _, c := range []struct {
		dict string
		want error
	}{
		{"<</Filter/Standard/V 5/R 9>>", ErrEncryption},
		{"<</Filter/Standard/V 1/R 2/O(short)/U(short)>>", ErrEncryption},
		{"<</Filter/Adobe.PubSec/V 4>>", ErrEncryption},
		{"<</Filter/Standard/V 4/R 4/StmF/Gone/CF<<>>/O<" + strings.Repeat("00", 32) + ">/U<" + strings.Repeat("00", 32) + ">>>", ErrEncryption},
		{"(not a dictionary)", ErrEncryption},
		{"9 0 R", ErrEncryption},
		{"<</Filter/Standard/V 2/R 3/Length 999/O<" + strings.Repeat("00", 32) + ">/U<" + strings.Repeat("00", 32) + ">>>", ErrPassword},
		{"<</Filter/Standard/V 2/R 3/Length 16/O<" + strings.Repeat("00", 32) + ">/U<" + strings.Repeat("00", 32) + ">>>", ErrPassword},
		{"<</Filter/Standard/V 5/R 6/O<" + strings.Repeat("00", 48) + ">/U<" + strings.Repeat("00", 48) + ">>>", ErrEncryption},
	} {
		f := simple()
		f.trailer = "/Encrypt " + c.dict
		text := f.String()
		if _, err := Open(strings.NewReader(text), int64(len(text)), Limits{}); !errors.Is(err, c.want) {
			t.Errorf("%s: %v", c.dict, err)
		}
	}
}
