package photo

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/witness"
)

const mm = geometry.Millimetre

// filled gives a picture of one colour.
func filled(img interface {
	image.Image
	Set(x, y int, c color.Color)
}, c color.Color) image.Image {
	for y := range img.Bounds().Dy() {
		for x := range img.Bounds().Dx() {
			img.Set(x, y, c)
		}
	}
	return img
}

func asPNG(t *testing.T, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func asJPEG(t *testing.T, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func file(t *testing.T, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// book writes pictures as a PDF.
func book(t *testing.T, room Room, pictures ...[]byte) string {
	t.Helper()
	dir := t.TempDir()
	out, err := os.Create(filepath.Join(dir, "book.pdf"))
	if err != nil {
		t.Fatal(err)
	}
	defer out.Close()
	b, err := NewBook(out)
	if err != nil {
		t.Fatal(err)
	}
	for _, data := range pictures {
		path := filepath.Join(dir, "picture")
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		if err := b.Add(path, room); err != nil {
			t.Fatal(err)
		}
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Name()
}

// Every kind of picture, drawn by two foreign readers, has its colour in the middle
// of its room; what is transparent shows the paper.
func TestPicturesHaveTheirColours(t *testing.T) {
	size := image.Rect(0, 0, 24, 16)
	red := color.NRGBA{R: 220, G: 20, B: 40, A: 255}
	bits := image.NewPaletted(size, color.Palette{color.Black, color.White})
	coloured := image.NewPaletted(size, color.Palette{color.White, red})
	pictures := []struct {
		name string
		data []byte
		want color.NRGBA
		far  int // how far converting may take it
	}{
		{"rgb.png", asPNG(t, filled(image.NewNRGBA(size), red)), red, 4},
		{"16 bits", asPNG(t, filled(image.NewNRGBA64(size), red)), red, 4},
		{"palette", asPNG(t, filled(coloured, red)), red, 4},
		{"grey.png", asPNG(t, filled(image.NewGray(size), color.Gray{Y: 90})), color.NRGBA{90, 90, 90, 255}, 4},
		{"bits", asPNG(t, filled(bits, color.Black)), color.NRGBA{0, 0, 0, 255}, 4},
		{"glass", asPNG(t, filled(image.NewNRGBA(size), color.NRGBA{R: 220, A: 0})), color.NRGBA{255, 255, 255, 255}, 4},
		{"rgb.jpg", asJPEG(t, filled(image.NewNRGBA(size), red)), red, 8},
		{"grey.jpg", asJPEG(t, filled(image.NewGray(size), color.Gray{Y: 90})), color.NRGBA{90, 90, 90, 255}, 6},
		{"cmyk.jpg", file(t, "cyan.jpg"), color.NRGBA{0, 174, 239, 255}, 120}, // readers differ; inverted it is red
	}
	var data [][]byte
	for _, p := range pictures {
		data = append(data, p.data)
	}
	path := book(t, Room{Size: geometry.Size{Across: 30 * mm, Around: 30 * mm}}, data...)
	witness.QPDFCheck(t, path)
	for i, p := range pictures {
		for reader, draw := range map[string]func(testing.TB, string, int, float64, ...witness.Option) image.Image{"mupdf": witness.MuPDF, "poppler": witness.Poppler} {
			page := draw(t, path, i+1, 50.8)
			if s := page.Bounds().Size(); s.X < 59 || s.X > 61 || s.Y < 59 || s.Y > 61 {
				t.Fatalf("%s: a page of %v", p.name, s)
			}
			for _, at := range []struct {
				x, y int
				want color.NRGBA
			}{{30, 30, p.want}, {30, 5, color.NRGBA{255, 255, 255, 255}}} { // 24 x 16 in a square leaves its edge
				c := color.NRGBAModel.Convert(page.At(at.x, at.y)).(color.NRGBA)
				if apart(c.R, at.want.R) > p.far || apart(c.G, at.want.G) > p.far || apart(c.B, at.want.B) > p.far {
					t.Errorf("%s by %s: %v at %d, %d, want %v", p.name, reader, c, at.x, at.y, at.want)
				}
			}
		}
	}
}

func apart(a, b uint8) int { return max(int(a)-int(b), int(b)-int(a)) }

// A picture that fills its room leaves no edge, and the same pictures give the same
// bytes; an interlaced one is read too.
func TestPicturesFillTheirRoom(t *testing.T) {
	red := asPNG(t, filled(image.NewNRGBA(image.Rect(0, 0, 24, 16)), color.NRGBA{R: 255, A: 255}))
	room := Room{Size: geometry.Size{Across: 30 * mm, Around: 30 * mm}, Fill: true}
	path := book(t, room, red, file(t, "interlaced.png"))
	page := witness.MuPDF(t, path, 1, 50.8)
	for _, y := range []int{1, 30, 58} {
		if r, g, _, _ := page.At(30, y).RGBA(); r < 0xf000 || g > 0x1000 {
			t.Errorf("no red at row %d", y)
		}
	}
	one, _ := os.ReadFile(path)
	two, _ := os.ReadFile(book(t, room, red, file(t, "interlaced.png")))
	if !bytes.Equal(one, two) {
		t.Error("the same pictures give other bytes")
	}
}

// segment puts an application segment behind a JPEG's beginning.
func segment(jpg []byte, kind byte, body string) []byte {
	head := append([]byte{0xff, 0xd8, 0xff, kind}, binary.BigEndian.AppendUint16(nil, uint16(len(body)+2))...)
	return append(append(head, body...), jpg[2:]...)
}

func TestBadPicturesAreRefused(t *testing.T) {
	grey := asJPEG(t, filled(image.NewGray(image.Rect(0, 0, 64, 64)), color.Gray{Y: 90}))
	good := asPNG(t, filled(image.NewNRGBA(image.Rect(0, 0, 64, 64)), color.NRGBA{R: 255, A: 255}))
	// IHDR of 40,000 x 40,000 pixels, with the checksum of PNG
	huge := bytes.Clone(good)
	binary.BigEndian.PutUint32(huge[16:], 40_000)
	binary.BigEndian.PutUint32(huge[20:], 40_000)
	binary.BigEndian.PutUint32(huge[29:], checksum(huge[12:29]))
	exif := "Exif\x00\x00MM\x00*\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00\x06\x00\x00\x00\x00\x00\x00"
	profile := "ICC_PROFILE\x00\x01\x01" + strings.Repeat("\x00", 16) + "CMYK" + strings.Repeat("\x00", 200)
	for _, c := range []struct {
		name string
		data []byte
		want string
	}{
		{"cut off", grey[:len(grey)/2], "damaged"},
		{"cut off", good[:len(good)-20], "damaged"},
		{"spoiled", append(bytes.Clone(good[:60]), append([]byte{0xff, 0xff}, good[62:]...)...), "damaged"},
		{"text", []byte("a picture of a cat"), "neither PNG nor JPEG"},
		{"nothing", nil, "neither PNG nor JPEG"},
		{"huge", huge, "40000 x 40000 pixels"},
		{"turned", segment(grey, 0xe1, exif), "Exif orientation 6"},
		{"strange profile", segment(grey, 0xe2, profile), "for other colours"},
		{"half a profile", segment(grey, 0xe2, strings.Replace(profile, "\x01\x01", "\x01\x02", 1)), "isn't whole"},
	} {
		if _, err := decode(c.data); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
	if r, err := decode(segment(grey, 0xe2, strings.Replace(profile, "CMYK", "GRAY", 1))); err != nil || len(r.profile) != 220 {
		t.Errorf("a profile of grey: %v", err)
	}
}

func checksum(b []byte) uint32 { return crc32.ChecksumIEEE(b) }
