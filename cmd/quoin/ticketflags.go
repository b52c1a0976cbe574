package main

import (
	"github.com/spf13/pflag"

	"quoin/impose/ticket"
)

// ticketFlags ask for what the next department reads.
type ticketFlags struct {
	ticket, lanes string
}

func (f *ticketFlags) add(fs *pflag.FlagSet) {
	fileVar(fs, &f.ticket, "ticket", []string{".json"}, "write the finishing ticket to this `FILE`.json")
	fileVar(fs, &f.lanes, "lanes-csv", []string{".csv"}, "write the list of lanes to this `FILE`.csv")
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
	return writeAsked([]part{{"ticket", f.ticket, t.Write}, {"lanes", f.lanes, t.WriteLanes}}, im.writePart)
}
