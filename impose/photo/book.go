package photo

import (
	"bytes"
	"fmt"
	"io"
	"os"

	"quoin/geometry"
	"quoin/impose/pdfobj"
	"quoin/impose/say"
	"quoin/impose/wholefile"
)

// Book is a PDF under way, with a page for each picture.
type Book struct {
	out   *pdfobj.Writer
	tree  pdfobj.Ref
	pages pdfobj.Array
}

// NewBook begins a book on w.
func NewBook(w io.Writer) (*Book, error) {
	out, err := pdfobj.NewWriter(w, pdfobj.WriterOptions{})
	if err != nil {
		return nil, err
	}
	return &Book{out: out, tree: out.Alloc()}, nil
}

// Room is what a picture has.
type Room struct {
	Size geometry.Size
	Fill bool // the picture fills it and is cut evenly where it ends; otherwise it is whole, in the middle
}

// Largest files and pictures, so that none exhausts the memory.
const (
	mostBytes  = 256 << 20
	mostPixels = 100_000_000
)

// Add reads a file to its end and adds its picture as a page of the room's size.
// Errors are refusals that don't name the file.
func (b *Book) Add(path string, room Room) error {
	data, err := read(path)
	if err != nil {
		return err
	}
	i, err := decode(data)
	if err != nil {
		return err
	}
	image, page, content := b.out.Alloc(), b.out.Alloc(), b.out.Alloc()
	if err := b.put(image, i); err != nil {
		return err
	}
	text, clip := placed(i.width, i.height, room)
	if err := b.out.PutStream(content, pdfobj.Dict{}, bytes.NewReader(text), int64(len(text)), true); err != nil {
		return err
	}
	b.pages = append(b.pages, page)
	return b.out.Put(page, pdfobj.Dict{
		"Type": pdfobj.Name("Page"), "Parent": b.tree, "Contents": content, "MediaBox": clip, "TrimBox": clip,
		"Resources": pdfobj.Dict{"XObject": pdfobj.Dict{"Im0": image}},
	})
}

// Pages returns how many pictures there are.
func (b *Book) Pages() int { return len(b.pages) }

// Close ends the book.
func (b *Book) Close() error {
	err := b.out.Put(b.tree, pdfobj.Dict{"Type": pdfobj.Name("Pages"), "Kids": b.pages, "Count": pdfobj.Integer(len(b.pages))})
	if err != nil {
		return err
	}
	catalog := b.out.Alloc()
	if err := b.out.Put(catalog, pdfobj.Dict{"Type": pdfobj.Name("Catalog"), "Pages": b.tree}); err != nil {
		return err
	}
	return b.out.Close(catalog, pdfobj.Ref{})
}

func read(path string) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, say.Refuse(say.Artwork, "check the path and the name of the picture", "the picture can't be read: %v", wholefile.Cause(err))
	case !info.Mode().IsRegular():
		return nil, say.Refuse(say.Artwork, "a picture must be a file", "the picture is no file")
	case info.Size() > mostBytes:
		return nil, say.Refuse(say.Artwork, "save the picture smaller", "the picture has %d bytes", info.Size())
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, say.Refuse(say.Artwork, "give this user the right to read the picture", "the picture can't be read: %v", wholefile.Cause(err))
	}
	return data, nil
}

// placed returns the content of a page with a picture in its room, and the room as
// a box.
func placed(width, height int, room Room) (content []byte, box pdfobj.Array) {
	w, h := room.Size.Across.Points(), room.Size.Around.Points()
	scale := min(w/float64(width), h/float64(height))
	clip := ""
	if room.Fill {
		scale = max(w/float64(width), h/float64(height))
		clip = fmt.Sprintf("0 0 %.5f %.5f re W n\n", w, h)
	}
	across, around := scale*float64(width), scale*float64(height)
	content = fmt.Appendf(nil, "q\n%s%.5f 0 0 %.5f %.5f %.5f cm\n/Im0 Do\nQ\n", clip, across, around, (w-across)/2, (h-around)/2)
	return content, pdfobj.Array{pdfobj.Integer(0), pdfobj.Integer(0), pdfobj.Real(w), pdfobj.Real(h)}
}
