package main

import (
	"os"
	"strings"

	"github.com/spf13/pflag"

	"quoin/impose/job"
)

// accessFlags open artworks that are locked, restricted or very long. A
// password never stands on the command line, where others can read it.
type accessFlags struct {
	fs                        *pflag.FlagSet
	passwordFile, permittedBy string
	long                      bool
}

func (f *accessFlags) add(fs *pflag.FlagSet) {
	f.addPassword(fs)
	fs.StringVar(&f.permittedBy, "permitted-by", "", "place artworks whose permissions forbid it, with the leave of `name`, which the summary keeps")
	fs.BoolVar(&f.long, "long-content", false, "take artworks of more content than is usually looked at, however long it takes")
}

func (f *accessFlags) addPassword(fs *pflag.FlagSet) {
	f.fs = fs
	fs.StringVar(&f.passwordFile, "password-file", "", "`file` whose first line is the password of locked artworks")
}

// password reads the password; "" where none was asked for.
func (f *accessFlags) password() (string, error) {
	if f.passwordFile == "" {
		return "", nil
	}
	data, err := os.ReadFile(f.passwordFile)
	if err != nil {
		return "", err
	}
	line, _, _ := strings.Cut(string(data), "\n")
	if line = strings.TrimSuffix(line, "\r"); line == "" {
		return "", usagef("--password-file %s has nothing in its first line", "write the artwork's password there", f.passwordFile)
	}
	return line, nil
}

// apply puts the flags that were given over the job.
func (f *accessFlags) apply(j *job.Job) error {
	password, err := f.password()
	if err != nil {
		return err
	}
	leave, err := f.leave()
	if err != nil {
		return err
	}
	if password != "" {
		j.Password = password
	}
	if leave != "" {
		j.PermittedBy = leave
	}
	j.LongContent = j.LongContent || f.long
	return nil
}

// leave returns who permits what artworks forbid; "" where nobody was named.
func (f *accessFlags) leave() (string, error) {
	name := strings.TrimSpace(f.permittedBy)
	if f.fs.Changed("permitted-by") && name == "" {
		return "", usagef("--permitted-by names nobody", "say who gave leave, as in --permitted-by 'J. Miller'")
	}
	return name, nil
}
