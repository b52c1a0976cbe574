package press

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"sync"
	"text/template"
	"time"

	"quoin/impose/pdfobj"
)

// Info is what the document says about itself.
type Info struct {
	Title string
	// Date goes into every date field; the zero time writes none, since the
	// same input must give the same bytes.
	Date time.Time
	// Trapped tells whether the artworks are trapped.
	Trapped bool
	// Conforms says that the checks for PDF/X-4 found nothing, so that the
	// document may carry its marker.
	Conforms bool
}

// Producer is what the document names as its maker.
const Producer = "quoin"

// dict returns the document information dictionary (ISO 32000-1 14.3.3).
func (i Info) dict() pdfobj.Dict {
	d := pdfobj.Dict{
		"Title": textString(i.Title), "Producer": textString(Producer), "Creator": textString(Producer),
		"Trapped": pdfobj.Name(i.trapped()),
	}
	if i.Conforms {
		d["GTS_PDFXVersion"] = textString("PDF/X-4")
	}
	if !i.Date.IsZero() {
		stamp := textString(i.Date.UTC().Format("D:20060102150405Z"))
		d["CreationDate"], d["ModDate"] = stamp, stamp
	}
	return d
}

func (i Info) trapped() string {
	if i.Trapped {
		return "True"
	}
	return "False"
}

// packet is the XMP packet. The properties are those that PDF/X-4 asks for
// (ISO 15930-7, from memory); the namespace of pdfxid is in public XMP tables.
var packet = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("xmp").Funcs(template.FuncMap{"xml": escape}).Parse(
		"<?xpacket begin=\"\uFEFF\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n" +
			`<x:xmpmeta xmlns:x="adobe:ns:meta/">
 <rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
  <rdf:Description rdf:about=""
    xmlns:dc="http://purl.org/dc/elements/1.1/"
    xmlns:xmp="http://ns.adobe.com/xap/1.0/"
    xmlns:xmpMM="http://ns.adobe.com/xap/1.0/mm/"
    xmlns:pdf="http://ns.adobe.com/pdf/1.3/"
    xmlns:pdfxid="http://www.npes.org/pdfx/ns/id/">
   <dc:format>application/pdf</dc:format>
   <dc:title><rdf:Alt><rdf:li xml:lang="x-default">{{xml .Title}}</rdf:li></rdf:Alt></dc:title>
   <pdf:Producer>{{xml .Producer}}</pdf:Producer>
   <pdf:Trapped>{{.Trapped}}</pdf:Trapped>
   <xmp:CreatorTool>{{xml .Producer}}</xmp:CreatorTool>
{{- if .Date}}
   <xmp:CreateDate>{{.Date}}</xmp:CreateDate>
   <xmp:ModifyDate>{{.Date}}</xmp:ModifyDate>
   <xmp:MetadataDate>{{.Date}}</xmp:MetadataDate>
{{- end}}
   <xmpMM:DocumentID>{{xml .ID}}</xmpMM:DocumentID>
   <xmpMM:VersionID>1</xmpMM:VersionID>
   <xmpMM:RenditionClass>default</xmpMM:RenditionClass>
{{- if .Conforms}}
   <pdfxid:GTS_PDFXVersion>PDF/X-4</pdfxid:GTS_PDFXVersion>
{{- end}}
  </rdf:Description>
 </rdf:RDF>
</x:xmpmeta>
<?xpacket end="r"?>`))
})

// documentID makes a UUID of a digest of the content, so that the same content
// has the same name: version 8 of RFC 9562, which is for such uses.
func documentID(digest []byte) string {
	b := bytes.Clone(digest[:16])
	b[6], b[8] = b[6]&0x0f|0x80, b[8]&0x3f|0x80
	return fmt.Sprintf("uuid:%x-%x-%x-%x-%x", b[:4], b[4:6], b[6:8], b[8:10], b[10:])
}

// xmp returns the metadata packet of the document with this ID.
func (i Info) xmp(id string) ([]byte, error) {
	date := ""
	if !i.Date.IsZero() {
		date = i.Date.UTC().Format("2006-01-02T15:04:05Z")
	}
	var b bytes.Buffer
	err := packet().Execute(&b, map[string]any{
		"Title": i.Title, "Producer": Producer, "Trapped": i.trapped(), "Date": date,
		"ID": id, "Conforms": i.Conforms,
	})
	if err != nil {
		return nil, fmt.Errorf("metadata: %w", err)
	}
	return b.Bytes(), nil
}

func escape(s string) (string, error) {
	var b bytes.Buffer
	err := xml.EscapeText(&b, []byte(s))
	return b.String(), err
}
