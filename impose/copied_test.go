package impose

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"quoin/impose/witness"
)

// TestStreamsAreCopiedByteForByte asks qpdf for the stored bytes of a page's
// content, images, soft masks and forms, in the artwork and on the frame. What
// a JPEG, JPEG 2000, JBIG2 or fax encoder wrote reaches the press as it is.
func TestStreamsAreCopiedByteForByte(t *testing.T) {
	files, err := filepath.Glob("../testdata/placing/image-*.pdf")
	if err != nil || len(files) < 8 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	more, _ := filepath.Glob("../testdata/placing/softmask-*.pdf")
	files = append(append(files, more...), "../testdata/placing/spot-image.pdf", "../testdata/placing/pattern-in-form.pdf")
	filters := map[string]bool{}
	for _, path := range files {
		name := filepath.Base(path)
		if testing.Short() && name != "image-jpx.pdf" && name != "image-dct.pdf" {
			continue
		}
		_, out := imposed(t, placingJob(path))
		a, b := witness.QPDFJSON(t, path), witness.QPDFJSON(t, out)
		page := a.Get("Root", "Pages", "Kids", 0).(map[string]any)
		frame := b.Get("Root", "Pages", "Kids", 0, "Kids", 0)
		form, ok := b.From(frame, "Resources", "XObject").(map[string]any)["/Art1"].(string)
		if !ok {
			t.Fatalf("%s: no form on the frame", name)
		}
		c := copies{t: t, name: name, source: a, target: b, filters: filters, seen: map[string]bool{}}
		c.stream("content", page["/Contents"], form)
		c.resources(a.From(page, "Resources"), b.From(form, "Resources"))
	}
	for _, f := range []string{"DCTDecode", "JPXDecode", "JBIG2Decode", "CCITTFaxDecode", "FlateDecode"} {
		if !filters[f] && !testing.Short() {
			t.Errorf("no stream has the filter %s", f)
		}
	}
}

// copies compares streams in pairs.
type copies struct {
	t              *testing.T
	name           string
	source, target *witness.QPDF
	filters        map[string]bool
	seen           map[string]bool
}

func (c *copies) resources(a, b any) {
	for _, category := range []string{"/XObject", "/Pattern", "/ExtGState"} {
		from, _ := c.source.From(a, category[1:]).(map[string]any)
		to, _ := c.target.From(b, category[1:]).(map[string]any)
		for key, ref := range from {
			if category == "/ExtGState" {
				from, to := c.source.From(ref, "SMask").(map[string]any), c.target.From(to[key], "SMask").(map[string]any)
				c.stream(key+"/SMask/G", from["/G"], to["/G"])
				continue
			}
			c.stream(key, ref, to[key])
		}
	}
}

// stream compares a stream and those that it leads to, by references.
func (c *copies) stream(what string, a, b any) {
	from, isRef := a.(string)
	to, _ := b.(string)
	if !isRef || c.seen[from] {
		return
	}
	c.seen[from] = true
	raw := c.source.Raw(from)
	if !bytes.Equal(raw, c.target.Raw(to)) || len(raw) == 0 {
		c.t.Errorf("%s: the %d stored bytes of %s are not on the frame", c.name, len(raw), what)
	}
	dict, _ := c.source.Object(from).(map[string]any)
	copied, _ := c.target.Object(to).(map[string]any)
	for _, key := range []string{"/Width", "/Height", "/BitsPerComponent", "/ImageMask"} {
		if dict[key] != copied[key] {
			c.t.Errorf("%s: %s of %s is %v, not %v", c.name, key, what, copied[key], dict[key])
		}
	}
	for _, f := range []string{"DCTDecode", "JPXDecode", "JBIG2Decode", "CCITTFaxDecode", "FlateDecode"} {
		c.filters[f] = c.filters[f] || dict["/Filter"] == "/"+f
	}
	for _, key := range []string{"/SMask", "/Mask"} {
		if ref, ok := dict[key].(string); ok && strings.HasSuffix(ref, " R") {
			c.stream(what+key, ref, copied[key])
		}
	}
	if c.source.From(from, "Resources") != nil && what != "content" {
		c.resources(c.source.From(from, "Resources"), c.target.From(to, "Resources"))
	}
}
