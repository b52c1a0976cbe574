package main

import (
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"quoin/impose/job"
)

// verbRules are the combinations of flags that the command lines of some verbs
// can't have; no verb stands for all.
type verbRules struct {
	verbs []string
	rules []job.FlagRule
}

// flagRules is the table of them. Flags that say what a job can say have theirs in
// impose/job. What hangs on arguments, files or other values stands in the verb.
var flagRules = []verbRules{
	{nil, job.OneOf("--quiet and --verbose contradict each other", "give one of them", "quiet", "verbose")},
	{nil, job.OneOf("--house-file and --no-house contradict each other", "give one of them", "house-file", "no-house")},
	{nil, job.OneOf("--verify and --no-verify contradict each other", "give one of them; without either, what is new is proved", "verify", "no-verify")},
	{nil, job.OneOf("--pixels and --no-verify contradict each other", "give one of them", "pixels", "no-verify")},
	{nil, job.OneOf("the parts' size is given twice", "give --part-frames or --part-labels", "part-frames", "part-labels")},
	{nil, []job.FlagRule{
		{Given: []string{"queue-user|queue-ca|priority=rush|priority=low"}, Without: []string{"queue"}, Text: "--queue-user, --queue-ca and --priority are about a queue", Way: "name it with --queue URL"},
		{Given: []string{"target-repeats"}, Without: []string{"targets"}, Text: "--target-repeats is about a list of targets, and none is written", Way: "name a file behind --targets"},
	}},
	{[]string{"impose"}, []job.FlagRule{
		{Given: []string{"queue", "output=-"}, Text: "what is handed over comes back as files", Way: "name the PDF behind -o"},
	}},
	{[]string{"impose", "again"}, []job.FlagRule{
		{Given: []string{"json", "output=-"}, Text: "the PDF and the JSON can't both go to standard output", Way: "write the JSON to a file with --summary FILE"},
		{Given: []string{"verify", "output=-|plan-only"}, Text: "only a file can be verified", Way: "name one behind -o, without -n"},
		{Given: []string{"house|characterisation|profile"}, Without: []string{"targets"}, Text: "--house, --characterisation and --profile say what targets should be, and none are written", Way: "name a file behind --targets"},
	}},
	{[]string{"vary", "reprint"}, []job.FlagRule{
		{Given: []string{"output=-"}, Text: "a run of many parts can't go to standard output", Way: "name a file behind -o"},
	}},
	{[]string{"reprint"}, []job.FlagRule{
		{Given: []string{"records", "codes"}, Text: "--records and --codes contradict each other", Way: "give one of them"},
		{Given: []string{"register=none"}, Without: []string{"run"}, Text: registerless, Way: registerlessWay},
		{Given: []string{"register=none", "codes"}, Text: registerless, Way: registerlessWay},
	}},
	{[]string{"register"}, job.OneOf("--code, --csv and --void are asked for at once", "give one of them", "code", "csv", "void")},
	{[]string{"register"}, []job.FlagRule{
		{Given: []string{"void"}, Without: []string{"reason"}, Text: "no label is void without a reason", Way: "say it with --reason"},
	}},
	{[]string{"verify"}, []job.FlagRule{
		{Given: []string{"register|records|all"}, Without: []string{"run"}, Text: "--register, --records and --all are about a run of variable data", Way: "name its press file with --run"},
	}},
	{[]string{"inspect"}, []job.FlagRule{
		{Given: []string{"ink-limit"}, Without: []string{"coverage"}, Text: "--ink-limit goes with --coverage", Way: "as in: quoin inspect label.pdf --coverage --ink-limit 300"},
		{Given: []string{"from-cut"}, Without: []string{"coverage"}, Text: "--from-cut goes with --coverage", Way: "as in: quoin inspect label.pdf --coverage --from-cut 1.5mm"},
		{Given: []string{"press"}, Without: []string{"coverage"}, Text: "--press goes with --coverage", Way: "as in: quoin inspect label.pdf --coverage --press press.yaml"},
	}},
	{[]string{"gang"}, []job.FlagRule{
		{Given: []string{"widths=mixed", "lanes=mixed"}, Text: "--widths mixed needs whole lanes", Way: "leave out --lanes mixed, or --widths mixed"},
		{Given: []string{"rolls=whole", "lanes=mixed"}, Text: "mixed lanes give no whole rolls before they are sorted", Way: "leave --rolls or --lanes out"},
		{Given: []string{"ready-by"}, Without: []string{"queue"}, Text: "--ready-by is about work that is handed over", Way: "name the queue with --queue URL"},
		{Given: []string{"queue", "plan-only"}, Text: "a plan alone is not handed over", Way: "leave -n or --queue out"},
		{Given: []string{"csv", "json"}, Text: "--csv and --json are two forms of one report", Way: "give one of them"},
		{Given: []string{"at|printed|anew-from"}, Without: []string{"replan"}, Text: "--at, --printed and --anew-from are about an earlier plan", Way: "name its plan.json with --replan"},
		{Given: []string{"replan", "compare|curve"}, Text: "--compare and --curve are about a plan of its own", Way: "leave --replan out, or them"},
		{Given: []string{"nights"}, Without: []string{"day", "nights=1"}, Text: "--nights needs the day of the first night", Way: "add --day, as in --day 2026-03-01"},
		{Given: []string{"early"}, Without: []string{"day"}, Text: "--early needs the day of the night", Way: "add --day, as in --day 2026-03-01"},
	}},
	{[]string{"desk"}, []job.FlagRule{
		{Given: []string{"certificate"}, Without: []string{"certificate-key"}, Text: deskPair, Way: "give both, or neither"},
		{Given: []string{"certificate-key"}, Without: []string{"certificate"}, Text: deskPair, Way: "give both, or neither"},
		{Given: []string{"client-ca"}, Without: []string{"certificate"}, Text: "client certificates need TLS", Way: "add --certificate and --certificate-key"},
		{Given: []string{"password-file|client-ca"}, Without: []string{"listen"}, Text: "--password-file and --client-ca are for a desk that others reach", Way: "add --listen ADDRESS, or leave them out"},
		{Given: []string{"listen"}, Without: []string{"password-file", "client-ca"}, Text: "a desk that others reach needs a password or client certificates",
			Way: "add --password-file FILE, or --client-ca with --certificate and --certificate-key; without --listen the desk answers this machine alone"},
		{Given: []string{"listen", "password-file", "client-ca"}, Text: "--password-file and --client-ca are two ways in", Way: "give one of them"},
	}},
	{[]string{"queue"}, []job.FlagRule{
		{Given: []string{"add-user"}, Without: []string{"users"}, Text: "--add-user needs the file of users", Way: "name it with --users FILE"},
		{Given: []string{"users"}, Without: []string{"add-user", "queue-user", "workers=0"}, Text: queueUser, Way: queueUserWay},
		{Given: []string{"users", "watch|monitor"}, Without: []string{"add-user", "queue-user"}, Text: queueUser, Way: queueUserWay},
	}},
}

const (
	queueUser       = "the queue has users, and its own workers, watched folders and monitor are none of them"
	queueUserWay    = "give --queue-user FILE, or --workers 0 without --watch and --monitor"
	deskPair        = "--certificate and --certificate-key go together"
	registerless    = "without a register, a reprint needs the press file of its run and the numbers of its records"
	registerlessWay = "name the register with --register, or give --run and --records"
)

// contradiction refuses a command line that breaks a rule, or names a file whose
// ending doesn't say what to write. A rule about flags that the verb lacks is none
// of its.
func (v *verb) contradiction(fs *pflag.FlagSet) error {
	value := func(name string) string {
		if f := fs.Lookup(name); f != nil && f.Changed && (f.Value.String() != f.DefValue || f.Value.Type() == "string") {
			return f.Value.String()
		}
		return ""
	}
	lacks := func(flag string) bool {
		name, _, _ := strings.Cut(flag, "=")
		return fs.Lookup(name) == nil
	}
	var err error
	fs.Visit(func(f *pflag.Flag) {
		if file, ok := f.Value.(*fileFlag); ok && err == nil {
			err = file.ends(f.Name)
		}
	})
	if err != nil {
		return err
	}
	for _, t := range flagRules {
		if t.verbs != nil && !slices.Contains(t.verbs, v.name) {
			continue
		}
		for _, r := range t.rules {
			if !slices.ContainsFunc(r.Without, lacks) && r.Broken(value) {
				return usagef("%s", r.Way, r.Text)
			}
		}
	}
	return nil
}
