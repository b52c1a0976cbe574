package main

import (
	"io"

	"github.com/spf13/pflag"

	"quoin/impose/ticket"
)

// ticketFlags ask for what the next department reads.
type ticketFlags struct {
	ticket, lanes string
}

func (f *ticketFlags) add(fs *pflag.FlagSet) {
	fs.StringVar(&f.ticket, "ticket", "", "write the finishing ticket to this `FILE`.json")
	fs.StringVar(&f.lanes, "lanes-csv", "", "write the list of lanes to this `FILE`.csv")
}

func (f *ticketFlags) check() error {
	if err := endsIn("ticket", f.ticket, ".json"); err != nil {
		return err
	}
	return endsIn("lanes-csv", f.lanes, ".csv")
}

func (f *ticketFlags) write(im *imposed) error {
	if f.ticket == "" && f.lanes == "" {
		return nil
	}
	summary, err := im.summary()
	if err != nil {
		return err
	}
	t := ticket.From(im.frame.Job, summary)
	for _, x := range []struct {
		role, path string
		write      func(io.Writer) error
	}{
		{"ticket", f.ticket, t.Write}, {"lanes", f.lanes, t.WriteLanes},
	} {
		if x.path == "" {
			continue
		}
		if err := writePart(im, x.role, x.path, x.write); err != nil {
			return err
		}
	}
	return nil
}
