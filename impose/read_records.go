package impose

import (
	"bytes"
	"os"

	"quoin/impose/checkdigit"
	"quoin/impose/data"
	"quoin/impose/job"
	"quoin/impose/say"
)

// openRecords opens the records of a job.
func openRecords(j *job.Job) (*data.Records, error) {
	d := j.Data
	if d == nil {
		return nil, say.Refuse(say.BadFile, "give it data and fields", "the job has no variable data")
	}
	def := data.Definition{Count: d.Count}
	for _, f := range j.Fields {
		def.Every = def.Every || len(f.Fonts) > 0 || f.Symbol == "" && f.Height > 0
	}
	if d.File != "" {
		def.File = j.Lies(j.Path(d.File))
	}
	for _, c := range d.Digits {
		def.Digits = append(def.Digits, data.Digits{Column: c.Column, Scheme: checkdigit.Scheme(c.Scheme), Add: c.Add})
	}
	for _, c := range d.Counters {
		def.Counters = append(def.Counters, data.Counter{Name: c.Name, Start: c.Start, Step: c.Step, Pad: c.Digits, Check: checkdigit.Scheme(c.Check), Letters: c.Letters})
	}
	for _, c := range d.Randoms {
		r := data.Random{Name: c.Name, Letters: c.Letters, Length: c.Length, Key: []byte(c.Seed), Start: c.Start}
		if c.Key != "" {
			key, err := os.ReadFile(j.Lies(j.Path(c.Key)))
			if err != nil {
				return nil, err
			}
			if r.Key = bytes.TrimSpace(key); len(r.Key) < leastKey {
				return nil, say.Refuse(say.BadFile, "make one: openssl rand -hex 32 > "+c.Key, "the key file %s holds %d bytes, which can be guessed", c.Key, len(r.Key))
			}
		}
		def.Randoms = append(def.Randoms, r)
	}
	def.Repeats = data.Repeats{Copies: d.Copies, Column: d.CopiesBy, First: d.First, Last: d.Last}
	return data.Open(def)
}

// leastKey is a key of 128 bits, if it is not written as text.
const leastKey = 16
