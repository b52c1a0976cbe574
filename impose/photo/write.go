package photo

import (
	"bytes"

	"quoin/impose/pdfobj"
)

// put writes a picture as an image (ISO 32000-1, 8.9.5).
func (b *Book) put(ref pdfobj.Ref, r *raster) error {
	space, err := b.space(r)
	if err != nil {
		return err
	}
	dict := imageDict(r.width, r.height, r.bits, space)
	if r.alpha != nil {
		mask := b.out.Alloc()
		if err := b.out.PutStream(mask, imageDict(r.width, r.height, 8, pdfobj.Name("DeviceGray")), bytes.NewReader(r.alpha), int64(len(r.alpha)), true); err != nil {
			return err
		}
		dict["SMask"] = mask
	}
	if r.inverted {
		for range r.colours {
			dict["Decode"] = append(array(dict["Decode"]), pdfobj.Integer(1), pdfobj.Integer(0))
		}
	}
	if r.coded {
		dict["Filter"] = pdfobj.Name("DCTDecode")
		if r.plainRGB {
			dict["DecodeParms"] = pdfobj.Dict{"ColorTransform": pdfobj.Integer(0)}
		}
	}
	return b.out.PutStream(ref, dict, bytes.NewReader(r.samples), int64(len(r.samples)), !r.coded)
}

func array(o pdfobj.Object) pdfobj.Array {
	a, _ := o.(pdfobj.Array)
	return a
}

func imageDict(width, height, bits int, space pdfobj.Object) pdfobj.Dict {
	return pdfobj.Dict{
		"Type": pdfobj.Name("XObject"), "Subtype": pdfobj.Name("Image"), "Width": pdfobj.Integer(width), "Height": pdfobj.Integer(height),
		"BitsPerComponent": pdfobj.Integer(bits), "ColorSpace": space,
	}
}

// space returns the colour space of a picture: by its profile, or else the device's.
func (b *Book) space(r *raster) (pdfobj.Object, error) {
	device := map[int]pdfobj.Name{1: "DeviceGray", 3: "DeviceRGB", 4: "DeviceCMYK"}[r.colours]
	if r.profile == nil {
		return device, nil
	}
	ref := b.out.Alloc()
	dict := pdfobj.Dict{"N": pdfobj.Integer(r.colours), "Alternate": device}
	err := b.out.PutStream(ref, dict, bytes.NewReader(r.profile), int64(len(r.profile)), true)
	return pdfobj.Array{pdfobj.Name("ICCBased"), ref}, err
}
