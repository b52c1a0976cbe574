package impose

import (
	"fmt"

	"quoin/geometry"
	"quoin/impose/barcode"
	"quoin/impose/job"
	"quoin/impose/say"
	"quoin/impose/vary"
)

// variedField returns a field of the job in the words of the run.
func variedField(in *Sources, i int, f job.Field) (vary.Field, error) {
	v := vary.Field{
		Name: f.Name, Value: f.Value, At: geometry.Position{Across: f.At.Across, Around: f.At.Around},
		Turn: f.Turn, Ink: f.Ink, Overprint: f.Overprint,
	}
	if v.Name == "" {
		v.Name = fmt.Sprintf("%d (%s)", i+1, f.Value)
	}
	if e, ok := in.Inks.Find(f.Ink); !ok || !e.Prints() {
		return v, say.Refuse(say.BadFile, "name a process ink or one of the artwork's, as quoin inspect lists them",
			"field %s is to be printed in the ink %q, which the job doesn't print", v.Name, f.Ink)
	}
	if f.Symbol == "" {
		v.Letters = &vary.Letters{
			Face: vary.Face(f.Font), Cap: f.Cap, Width: f.Width, Align: vary.Align(f.Align), Fit: vary.Fit(f.Fit),
			Least: f.Least, LeastShare: f.LeastWidth.Float(),
		}
		return v, nil
	}
	dpi := in.Job.Data.DPI
	if dpi == 0 && in.Job.Press != nil {
		dpi = in.Job.Press.Resolution.Device
	}
	if dpi == 0 {
		return v, say.Refuse(say.BadFile, "give --device-dpi, or the press's resolution", "the resolution of the device is not said, so modules can't be rounded to its pixels")
	}
	v.Symbol = &vary.Symbol{
		Kind: barcode.Kind(f.Symbol), Level: barcode.Level(f.Level), Modules: f.Modules,
		Wish: barcode.Wish{X: f.Module, Height: f.Height, DPI: dpi, Warehouse: f.Warehouse, Plain: f.Plain},
	}
	return v, nil
}
