package conform

import (
	"encoding/xml"
	"fmt"
	"io"
	"strings"
	"time"

	"quoin/impose/pdfobj"
)

// Namespaces of XMP, as public tables have them.
const (
	nsDC   = "http://purl.org/dc/elements/1.1/"
	nsXMP  = "http://ns.adobe.com/xap/1.0/"
	nsMM   = "http://ns.adobe.com/xap/1.0/mm/"
	nsPDF  = "http://ns.adobe.com/pdf/1.3/"
	nsPDFX = "http://www.npes.org/pdfx/ns/id/"
)

// maxPacket bounds an XMP packet.
const maxPacket = 16 << 20

// metadata checks the XMP packet and the document information.
func metadata(doc *pdfobj.Document) (list []Breach) {
	breach := func(rule, format string, args ...any) {
		list = append(list, Breach{Rule: rule, Text: fmt.Sprintf(format, args...)})
	}
	values, err := packet(doc)
	if err != nil {
		breach(Metadata, "the metadata can't be read: %v", err)
	}
	if got := values[xml.Name{Space: nsPDFX, Local: "GTS_PDFXVersion"}]; got != "PDF/X-4" {
		breach(Marker, "the metadata says %q", got)
	}
	for _, name := range []xml.Name{
		{Space: nsDC, Local: "title"}, {Space: nsXMP, Local: "CreateDate"}, {Space: nsXMP, Local: "ModifyDate"}, {Space: nsXMP, Local: "MetadataDate"},
		{Space: nsMM, Local: "DocumentID"}, {Space: nsMM, Local: "VersionID"}, {Space: nsMM, Local: "RenditionClass"}, {Space: nsPDF, Local: "Trapped"},
	} {
		if values[name] == "" {
			breach(Metadata, "%s is missing", name.Local)
		}
	}
	trapped := values[xml.Name{Space: nsPDF, Local: "Trapped"}]
	if trapped != "True" && trapped != "False" {
		breach(Trapped, "trapping is %q", trapped)
	}
	info := doc.Dict(doc.Trailer()["Info"])
	if t := doc.Name(info["Trapped"]); info["Trapped"] != nil && string(t) != trapped {
		breach(Metadata, "the document information says Trapped %s, the metadata %s", t, trapped)
	}
	if t := pdfobj.Text(doc, info["Title"]); t != "" && t != values[xml.Name{Space: nsDC, Local: "title"}] {
		breach(Metadata, "the document information has another title than the metadata")
	}
	list = append(list, sameDate(pdfobj.Text(doc, info["CreationDate"]), values[xml.Name{Space: nsXMP, Local: "CreateDate"}], "CreateDate")...)
	list = append(list, sameDate(pdfobj.Text(doc, info["ModDate"]), values[xml.Name{Space: nsXMP, Local: "ModifyDate"}], "ModifyDate")...)
	return list
}

// sameDate compares a date of the document information with one of XMP, where
// both are full.
func sameDate(info, meta, name string) []Breach {
	const form = "20060102150405"
	digits := strings.TrimPrefix(info, "D:")
	if len(digits) < len(form) {
		return nil
	}
	a, errA := time.Parse(form, digits[:len(form)])
	b, errB := time.Parse("2006-01-02T15:04:05", meta[:min(len(meta), 19)])
	if errA == nil && errB == nil && !a.Equal(b) {
		return []Breach{{Rule: Metadata, Text: fmt.Sprintf("%s is %s in the document information and %s in the metadata", name, info, meta)}}
	}
	return nil
}

// packet reads the properties of the XMP packet: elements and attributes of
// descriptions, with the first text inside of each.
func packet(doc *pdfobj.Document) (map[xml.Name]string, error) {
	values := map[xml.Name]string{}
	stream := doc.Stream(doc.Catalog()["Metadata"])
	if stream == nil {
		return values, fmt.Errorf("there is none")
	}
	r, err := doc.Decoded(stream)
	if err != nil {
		return values, err
	}
	d := xml.NewDecoder(io.LimitReader(r, maxPacket))
	var open []xml.Name
	for {
		token, err := d.Token()
		if err == io.EOF {
			return values, nil
		}
		if err != nil {
			return values, err
		}
		switch t := token.(type) {
		case xml.StartElement:
			open = append(open, t.Name)
			if t.Name.Local == "Description" {
				for _, a := range t.Attr {
					values[a.Name] = a.Value
				}
			}
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			said := strings.TrimSpace(string(t))
			for _, name := range open {
				if said != "" && values[name] == "" {
					values[name] = said
				}
			}
		}
	}
}
