package job

import (
	"archive/zip"
	"bytes"
	"io"
)

// How workbooks begin: those that are read here, which are archives, and those of the
// old kind, or locked (MS-CFB 2.2).
var (
	zipMagic      = []byte("PK\x03\x04")
	compoundMagic = []byte{0xd0, 0xcf, 0x11, 0xe0}
)

// otherKind says why a file can't be a workbook of the kind that is read here, and
// the way out; "" where it may be one.
func otherKind(data []byte) (why, hint string) {
	const save = "open it in a spreadsheet and save it as .xlsx or .csv"
	switch {
	case bytes.HasPrefix(data, compoundMagic) && bytes.Contains(data, encryptedPackage):
		return "is a workbook locked with a password", "open it in a spreadsheet and save it without a password"
	case bytes.HasPrefix(data, compoundMagic):
		return "is a workbook of the old kind, .xls", save
	case !bytes.HasPrefix(data, zipMagic):
		return "is not a workbook, whatever its name says", "save it as .xlsx, or give it the ending of what it is, such as .csv"
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return "", ""
	}
	for _, f := range z.File {
		switch f.Name {
		case "mimetype":
			if kind := head(f); bytes.HasPrefix(kind, []byte("application/vnd.oasis.opendocument.")) {
				return "is an OpenDocument file, such as .ods", save
			}
		case "xl/workbook.bin":
			return "is a workbook in binary form, .xlsb", save
		case "word/document.xml", "ppt/presentation.xml":
			return "is no workbook but another document of an office program", "put its table into a spreadsheet, and save that as .xlsx or .csv"
		}
	}
	return "", ""
}

// encryptedPackage is the name under which a locked workbook lies in its container,
// in UTF-16 (MS-OFFCRYPTO 2.3.4.4).
var encryptedPackage = []byte("E\x00n\x00c\x00r\x00y\x00p\x00t\x00e\x00d\x00P\x00a\x00c\x00k\x00a\x00g\x00e\x00")

// head returns how a file of an archive begins.
func head(f *zip.File) []byte {
	r, err := f.Open()
	if err != nil {
		return nil
	}
	defer r.Close()
	text, _ := io.ReadAll(io.LimitReader(r, 128))
	return text
}
