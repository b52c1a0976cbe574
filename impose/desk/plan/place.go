package plan

import (
	"path"
	"strings"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/draw"
	"quoin/impose/say"
)

// place finds where on the frame a remark is about, as shown: the first label of
// an artwork that it names, or what it names by its code; nil where it is about
// all of the frame or about none of it.
func place(im *impose.Imposition, n say.Note) *[4]float64 {
	for i, a := range im.Job.Artworks {
		if strings.Contains(n.Text, a.File) || a.Product != "" && strings.Contains(n.Text, a.Product) || strings.Contains(n.Text, path.Base(a.File)) {
			return station(im, i)
		}
	}
	switch {
	case n.Code == geometry.CodeBleedClipped:
		return between(im)
	case strings.Contains(n.Code, "target"):
		return layer(im, draw.Targets)
	case strings.Contains(n.Code, "slug"):
		return layer(im, draw.Slug)
	case strings.Contains(n.Code, "mark"), strings.Contains(n.Code, "eye"), strings.Contains(n.Code, "slit"):
		return layer(im, draw.Marks)
	case strings.Contains(n.Code, "edge"), strings.Contains(n.Code, "shift"):
		return box(geometry.BoxAt(geometry.Position{}, geometry.Size{Across: im.AsSeen.Station[0].Trim.Min.Across, Around: im.Frame.Size.Around}))
	case strings.Contains(n.Code, "seam"):
		return box(geometry.BoxAt(geometry.Position{}, geometry.Size{Across: im.Frame.Size.Across, Around: im.AsSeen.Station[0].Trim.Min.Around}))
	}
	return nil
}

func box(b geometry.Box) *[4]float64 {
	return &[4]float64{b.Min.Across.MM(), b.Min.Around.MM(), b.Size().Across.MM(), b.Size().Around.MM()}
}

// station returns the first label of an artwork.
func station(im *impose.Imposition, art int) *[4]float64 {
	for i, st := range im.AsSeen.Station {
		if im.Places[i] == art {
			return box(st.Trim)
		}
	}
	return nil
}

// between returns the first label with what its bleed would need around it.
func between(im *impose.Imposition) *[4]float64 {
	if len(im.AsSeen.Station) == 0 {
		return nil
	}
	return box(im.AsSeen.Station[0].Trim.Outset(im.Layout.Bleed))
}

// layer returns the first item of a layer.
func layer(im *impose.Imposition, l draw.Layer) *[4]float64 {
	for _, item := range im.Frame.Items {
		if item.On() != l {
			continue
		}
		switch it := item.(type) {
		case draw.Fill:
			return box(it.Path.Bounds().Outset(geometry.Millimetre))
		case draw.Stroke:
			return box(it.Path.Bounds().Outset(geometry.Millimetre))
		case draw.Text:
			return box(it.Fill().Path.Bounds().Outset(geometry.Millimetre))
		}
	}
	return nil
}
